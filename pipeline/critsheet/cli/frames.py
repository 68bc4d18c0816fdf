"""`critsheet frames`: which frame of the shot a recording shows, as a table and a figure."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import progress, say
from critsheet.errors import OutputError

if TYPE_CHECKING:
    from critsheet.frames.figure import Mark

TABLE, FIGURE = "playhead.csv", "playhead.svg"

_Recording = Annotated[
    Path, typer.Argument(metavar="RECORDING", help="The recording of the mentor's screen.", show_default=False)
]
_ShotFile = Annotated[
    Path, typer.Option("--shot", metavar="FILE", help="The student's shot, as a film file.", show_default=False)
]
_Out = Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder to write.", show_default=False)]
_Frames = Annotated[
    str | None,
    typer.Option(metavar="FIRST-LAST", help="The shot's frames as you count them, or the first alone: 101-188, 101."),
]
_Sheet = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="The sheet made of this recording (sheet.json), to mark its notes."),
]
_Quiet = Annotated[bool, typer.Option("--quiet", help="Write the folder and print nothing.")]


def frames(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    recording: _Recording,
    shot: _ShotFile,
    out: _Out,
    frames: _Frames = None,
    sheet: _Sheet = None,
    quiet: _Quiet = False,
) -> None:
    """Find which frame of the shot was on screen, moment by moment.

    Writes a playhead log with five rows a second (playhead.csv: seconds, first and last frame, confidence;
    no frames where the shot is not on screen) and a figure to judge it by (playhead.svg).

    Example: critsheet frames review.mp4 --shot shot.mp4 --out playhead
    """
    first, _ = options.frame_range(frames, first_will_do=True)
    _check(out)
    marks = _marks(sheet)
    from critsheet.frames.figure import to_svg
    from critsheet.frames.logs import to_csv
    from critsheet.frames.matching import match_pictures

    with progress(quiet) as tell:
        playhead = match_pictures(recording, shot, 1 if first is None else first, tell)
    _write(out, {FIGURE: to_svg(playhead, f"{recording.name} shows {shot.name}", marks), TABLE: to_csv(playhead)})
    if not quiet:
        seen = sum(bool(showing.spans) for showing in playhead.showings)
        say(f"The shot is on screen in {seen} of {len(playhead.showings)} moments looked at.")
        for remark in playhead.remarks:
            say(f"Mind: {remark}.")
        say(f"The table and the figure lie in {out}: open {out / FIGURE}")


def _check(folder: Path) -> None:
    """Refuses a place that is no folder, or where the files are there already, before minutes of work."""
    if folder.exists() and not folder.is_dir():
        raise OutputError(f"{folder} is a file, not a folder.", "Give another folder with --out.")
    for name in (TABLE, FIGURE):
        if (folder / name).exists():
            raise OutputError(f"{folder / name} exists.", "Move it away, or give another folder with --out.")


def _marks(path: Path | None) -> "tuple[Mark, ...]":
    if path is None:
        return ()
    from critsheet.frames.figure import Mark
    from critsheet.sheet import load

    notes = load(path).notes
    return tuple(Mark(note.rank, tuple((each.start, each.end) for each in note.moments)) for note in notes)


def _write(folder: Path, files: dict[str, str]) -> None:
    """Both files or none."""
    from critsheet.sheet import write_whole

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"Cannot write {folder}: {error.strerror or error}.", "Choose another with --out.") from error
    written: list[Path] = []
    try:
        for name, text in files.items():
            write_whole(folder / name, text)
            written.append(folder / name)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise
