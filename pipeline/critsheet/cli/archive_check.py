"""`critsheet archive check`: whether the archive is sound; saves and mends what is hurt."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import progress, say
from critsheet.errors import ArchiveError, InputError

if TYPE_CHECKING:
    from critsheet.archive.checking import Health, Hurt
    from critsheet.archive.saving import Saved

_Save = Annotated[
    Path | None,
    typer.Option(
        "--save", metavar="FOLDER", help="Write every sheet that can be read into a new folder.", show_default=False
    ),
]
_Mend = Annotated[bool, typer.Option("--mend", help="Make lists and search index anew from the sheets themselves.")]
_FAULTS = {
    "lost": "it cannot be read",
    "current": "it cannot be read as it was last; an earlier form can",
    "earlier": "an earlier form of it cannot be read",
    "tables": "it is whole, but listed or searched wrongly",
}


def check(save: _Save = None, mend: _Mend = False, archive: options.ArchivePlace = None) -> None:
    """Say whether the archive is sound, else what is hurt and what can be saved.

    --save writes every sheet that can still be read, as it was last or in an
    earlier form, into folders by class: file them in a new archive with critsheet
    archive add. --mend makes the lists and the search's index anew; do that after
    upgrading Critsheet, too, so that searches know its new words.

    Example: critsheet archive check --save rescued
    """
    if save and mend:
        raise InputError("--save and --mend are different things.", "Save first, then mend.")
    if save:
        _tell_saved(_saved(archive, save), save)
        return
    health = _checked(archive, mend)
    _tell(health)
    if not health.sound:
        raise typer.Exit(ArchiveError.exit_status)


def _saved(archive: str | None, folder: Path) -> "Saved":
    from critsheet.archive.saving import save_all

    with progress(quiet=False) as tell:
        return save_all(archive, folder, lambda share: tell("Saving the sheets", share))


def _checked(archive: str | None, mending: bool) -> "Health":
    """How the archive is; where it is to be mended, how it is after that."""
    from critsheet import vocabulary
    from critsheet.archive.checking import check as look
    from critsheet.archive.mending import mend

    pack = vocabulary.load(())
    with progress(quiet=False) as tell:
        health = look(archive, pack, lambda share: tell("Checking the sheets", share))
        if not mending or (health.sound and not health.outdated):
            return health
        mend(archive, health, pack, lambda share: tell("Making lists and index anew", share))
        return look(archive, pack, lambda share: tell("Checking the sheets again", share))


def _tell(health: "Health") -> None:
    from critsheet.render.words import plain

    if health.sound:
        typer.echo(f"The archive is sound: {_sheets(health.sheets)}, each whole.")
    else:
        whole = health.sheets - len(health.hurt)
        are = "is as it was" if whole == 1 else "are as they were"
        typer.echo(f"The archive is hurt. {whole:,} of {_sheets(health.sheets)} {are} filed.")
    for line in (*health.damage, *(["The search's index is damaged."] if health.index_hurt else [])):
        typer.echo(plain(line))
    for one in health.hurt:
        typer.echo(plain(_line(one)))
    if health.index_hurt is None:
        say("The search's index was not proven, as the archive may not be written to.")
    if health.outdated:
        say("The vocabulary has changed since: searches may miss its new words. Run: critsheet archive check --mend")
    if not health.sound:
        say(_way_out(health))


def _line(one: "Hurt") -> str:
    named = f" “{one.title}”" if one.title else ""
    whose = f" of {one.student}" if one.student else ""
    return f"Sheet {one.number}{named}{whose}: {'; '.join(_FAULTS[fault] for fault in one.faults)}."


def _way_out(health: "Health") -> str:
    lost = any({"lost", "current", "earlier"} & set(one.faults) for one in health.hurt)
    if health.damage or lost:
        return (
            "Save what can be read: critsheet archive check --save FOLDER. Then file it in a new archive: "
            "critsheet archive add FOLDER --archive NEW. Sheets that are lost here may still lie where they were made."
        )
    return "No sheet is lost. Mend it: critsheet archive check --mend"


def _tell_saved(saved: "Saved", folder: Path) -> None:
    from critsheet.render.words import plain

    count = len(saved.whole) + len(saved.earlier) + len(saved.found)
    typer.echo(plain(f"Saved in {folder}: {_sheets(count)}."))
    parts = (
        (saved.earlier, "In an earlier form, as the last one cannot be read"),
        (saved.found, "In the last form that was found"),
        (saved.lost, "Not saved, as they cannot be read"),
    )
    for numbers, what in parts:
        if numbers:
            typer.echo(f"{what}: {', '.join(map(str, numbers))}.")
    if count:
        say(f"File them in a new archive: critsheet archive add {folder} --archive NEW")
    if saved.lost:
        raise typer.Exit(ArchiveError.exit_status)


def _sheets(count: int) -> str:
    return "1 sheet" if count == 1 else f"{count:,} sheets"
