"""`critsheet demo`: the main job on the invented critiques that come with Critsheet."""

from pathlib import Path
from typing import Any

from critsheet.cli import options
from critsheet.cli.console import say
from critsheet.cli.job import write_sheet
from critsheet.errors import OutputError

FOLDER = Path("demo")
_SOUNDS = (".opus", ".m4a")


def demo() -> None:
    """Try Critsheet on the recordings that come with it.

    Writes the folder demo here, with the recordings and a sheet for each.
    """
    for settings in _samples():
        sound = _copy(_sound(settings))
        folder = FOLDER / settings.stem
        say(f"{settings.stem}: listening ...")
        sheet = write_sheet(_request(settings, sound), folder, quiet=False)
        say(f"{sheet.review.title}: {len(sheet.notes)} notes, open {folder / 'sheet.html'}")


def _samples() -> list[Path]:
    from critsheet import resources

    return sorted(resources.folder("sample_audio").glob("*.toml"))


def _sound(settings: Path) -> Path:
    return next(path for path in map(settings.with_suffix, _SOUNDS) if path.is_file())


def _copy(sound: Path) -> Path:
    """The recording beside its sheet's folder, where the page finds it wherever Critsheet is installed."""
    from critsheet.sheet import write_whole

    copy = FOLDER / sound.name
    try:
        FOLDER.mkdir(exist_ok=True)
        present = copy.read_bytes() if copy.exists() else None
    except OSError as error:
        raise OutputError(f"Cannot write {FOLDER}: {error.strerror}.", "Go to another folder and try again.") from error
    if present is None:
        write_whole(copy, sound.read_bytes())
    elif present != sound.read_bytes():
        raise OutputError(f"{copy} exists and is another recording.", "Move it away, or go to another folder.")
    return copy


def _request(settings: Path, sound: Path) -> Any:
    import tomllib

    from critsheet.make import Request

    known = tomllib.loads(settings.read_text(encoding="utf-8"))
    first, last = options.frame_range(known.get("frames"))
    return Request(
        recording=sound,
        title=known.get("title"),
        mentor=known.get("mentor"),
        student=known.get("student"),
        submission=known.get("submission"),
        fps=options.rate(str(known.get("fps", 24))),
        first=first,
        last=last,
        names=options.names(known.get("names")),
    )
