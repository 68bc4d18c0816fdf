"""`critsheet make`: the main job."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import say
from critsheet.cli.job import default_folder, write_sheet
from critsheet.errors import InputError

if TYPE_CHECKING:
    from critsheet.sheet import Sheet

CAPTION_SUFFIXES = (".vtt", ".srt", ".txt", ".json")

_SHOT, _REVIEW, _LISTENING, _RESULT = "The shot", "The review", "Listening", "The result"
_Talk = Annotated[
    Path,
    typer.Argument(
        metavar="RECORDING|CAPTIONS",
        help="The mentor's talk: any sound or video file, or its captions (.vtt, .srt, .txt, .json).",
        show_default=False,
    ),
]
_ShotFile = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="The shot's film. It is looked for on the recorded screen, so that notes get the frames pointed at.",
        rich_help_panel=_SHOT,
    ),
]
_Fps = Annotated[
    str | None,
    typer.Option(
        metavar="RATE",
        help="Frames a second: 24, 25, 23.976 ...; the shot's, or 24, if left out.",
        rich_help_panel=_SHOT,
    ),
]
_Frames = Annotated[
    str | None,
    typer.Option(
        metavar="FIRST-LAST",
        help="The shot's frames as you count them: 101-188. With --shot the first is enough: 101.",
        rich_help_panel=_SHOT,
    ),
]
_Playhead = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="A log of the frames on screen, lines of seconds,frame; instead of looking for them.",
        rich_help_panel=_SHOT,
    ),
]
_Offset = Annotated[
    str | None,
    typer.Option(
        metavar="TIME",
        help="The recording is the shot played once, from this second on: 2.5 or 1:02.5.",
        rich_help_panel=_SHOT,
    ),
]
_Names = Annotated[
    str | None,
    typer.Option(
        metavar="NAMES",
        help='Characters and props, so that they are heard right: "Osk, Tibby, valve".',
        rich_help_panel=_SHOT,
    ),
]
_Title = Annotated[
    str | None,
    typer.Option(
        metavar="TEXT",
        help="What the sheet is called; the recording's name if left out.",
        rich_help_panel=_REVIEW,
    ),
]
_Mentor = Annotated[str | None, typer.Option(metavar="NAME", help="Who is talking.", rich_help_panel=_REVIEW)]
_Student = Annotated[str | None, typer.Option(metavar="NAME", help="Whose shot it is.", rich_help_panel=_REVIEW)]
_Submission = Annotated[
    str | None,
    typer.Option(metavar="N", help="Which hand-in of the shot this is: 1, 2 ...", rich_help_panel=_REVIEW),
]
_Previous = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE|DIR",
        help="The sheet of the hand-in before (sheet.json), or a folder of them: what became of its notes is shown.",
        rich_help_panel=_REVIEW,
    ),
]
_Captions = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="Captions of the recording. They give the words; the recording is what times jump to.",
        rich_help_panel=_LISTENING,
    ),
]
_Language = Annotated[str, typer.Option(metavar="CODE", help="Language of the talk.", rich_help_panel=_LISTENING)]
_Out = Annotated[
    Path | None,
    typer.Option(
        metavar="DIR",
        help="Folder to write; critsheet-NAME here, after the recording, if left out.",
        rich_help_panel=_RESULT,
    ),
]
_Quiet = Annotated[bool, typer.Option("--quiet", help="Write the folder and print nothing.", rich_help_panel=_RESULT)]
_Json = Annotated[
    bool,
    typer.Option("--json", help="Print the sheet as JSON instead of the checklist.", rich_help_panel=_RESULT),
]


def make(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    recording: _Talk,
    shot: _ShotFile = None,
    fps: _Fps = None,
    frames: _Frames = None,
    playhead: _Playhead = None,
    offset: _Offset = None,
    names: _Names = None,
    title: _Title = None,
    mentor: _Mentor = None,
    student: _Student = None,
    submission: _Submission = None,
    previous: _Previous = None,
    captions: _Captions = None,
    vocab: options.Vocab = None,
    model: options.Model = None,
    language: _Language = options.LANGUAGE,
    device: options.Device = options.DEVICES[0],
    out: _Out = None,
    templates: options.Templates = None,
    sheet_language: options.SheetLanguage = "en",
    quiet: _Quiet = False,
    as_json: _Json = False,
) -> None:
    """Listen to a critique and write the sheet.

    Writes a folder with the checklist to read (sheet.html), as a task list (sheet.md)
    and for other programs (sheet.json), and the talk as captions (captions.vtt).
    With the shot's film come pictures, and markers for editing programs (markers.otio).
    Made again in the same folder, a sheet keeps what was corrected (critsheet edit) and
    ticked. Everything stays on this computer.

    Example: critsheet make talk.mp4 --shot lift.mov --frames 101-188 --names "Osk, Tibby"
    """
    alone = recording.suffix.lower() in CAPTION_SUFFIXES
    if alone and captions is not None:
        raise InputError(
            f"{recording} and {captions} are both captions.",
            "Give a recording first, or one caption file alone.",
        )
    if playhead is not None and offset is not None:
        raise InputError("--playhead and --offset both say which frame was on screen.", "Give one of them.")
    from critsheet.make import Request
    from critsheet.speech import DEFAULT_MODEL

    first, last = options.frame_range(frames, first_will_do=shot is not None)
    request = Request(
        recording=None if alone else recording,
        captions=recording if alone else captions,
        title=options.text("--title", title),
        mentor=options.text("--mentor", mentor),
        student=options.text("--student", student),
        submission=options.submission(submission),
        previous=previous,
        fps=options.rate(fps),
        first=first,
        last=last,
        shot=shot,
        playhead=playhead,
        offset_s=options.seconds("--offset", offset),
        names=options.names(names),
        vocab=tuple(vocab or ()),
        model=model or DEFAULT_MODEL,
        language=options.language(language),
        device=options.device(device),
        sheet_language=sheet_language,
    )
    folder = out or default_folder(recording)
    sheet = write_sheet(request, folder, quiet, templates)
    _show(sheet, folder, quiet, as_json)


def _show(sheet: "Sheet", folder: Path, quiet: bool, as_json: bool) -> None:
    if as_json:
        from critsheet.sheet import to_json

        sys.stdout.buffer.write(to_json(sheet).encode())
        sys.stdout.flush()
    elif not quiet:
        from rich.console import Console

        from critsheet.render.terminal import print_checklist

        print_checklist(sheet, Console())
    if not quiet:
        say(f"The sheet lies in {folder}: open {folder / 'sheet.html'}")
