"""The folder that a sheet is handed over in: its files appear all at once and overwrite nobody's work."""

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from critsheet.errors import CritsheetError, OutputError
from critsheet.render.captions import to_webvtt
from critsheet.render.chapters import to_chapters, to_shot_chapters
from critsheet.render.markdown import to_markdown
from critsheet.render.markers import to_markers
from critsheet.render.page import to_html
from critsheet.render.recording import RecordingLink
from critsheet.sheet import Sheet, load, to_json, write_whole
from critsheet.vocabulary import CategoryEntry

SHEET, MARKDOWN, PAGE, CAPTIONS = "sheet.json", "sheet.md", "sheet.html", "captions.vtt"
CHAPTERS, SHOT_CHAPTERS, MARKERS, STILLS = "chapters.vtt", "shot-chapters.vtt", "markers.otio", "stills"
_OURS = {SHEET, MARKDOWN, PAGE, CAPTIONS, CHAPTERS, SHOT_CHAPTERS, MARKERS, STILLS}
_LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
"""Left by file browsers in every folder that is looked at; nobody's work."""
_WAY_OUT = "Move it away, or give another folder with --out."


def typed_beside(sheet: Path) -> Path:
    """Where the corrections of a sheet lie while they are being typed, or could not be taken in (critsheet edit)."""
    return sheet.with_name(f"{sheet.stem}-corrections.md")


def contents(
    sheet: Sheet,
    categories: Mapping[str, CategoryEntry],
    recording: RecordingLink | None,
    stills: Mapping[str, bytes],
    templates: Path | None = None,
) -> dict[str, bytes]:
    """Every file of the folder, by its path in it. `stills` are the pictures, by the names they have in the sheet.

    `templates` is a school's folder, see `render.templates`.
    """
    page = to_html(sheet, categories, recording, stills, templates)
    return {**_texts(sheet), PAGE: page.encode(), **stills}


def _texts(sheet: Sheet) -> dict[str, bytes]:
    """The files that say the same wherever the sheet lies; those of frames only where there are any."""
    texts = {
        SHEET: to_json(sheet),
        MARKDOWN: to_markdown(sheet),
        CAPTIONS: to_webvtt(sheet.transcript),
        CHAPTERS: to_chapters(sheet),
    }
    if markers := to_markers(sheet):
        texts |= {SHOT_CHAPTERS: to_shot_chapters(sheet), MARKERS: markers}
    return {name: text.encode() for name, text in texts.items()}


def check(folder: Path, recording_sha256: Callable[[], str]) -> Sheet | None:
    """Passes where `folder` may be written: it is new, empty, or holds a sheet of this recording.

    Returns that sheet, whose corrections and ticks are to be kept. `recording_sha256` is asked only where it matters:
    hashing a film takes a while. Raises OutputError.
    """
    try:
        names = _names_in(folder)
        return _replaceable(folder, names, recording_sha256) if names else None
    except OSError as error:
        raise _unwritable(folder, error) from error


def _names_in(folder: Path) -> set[str]:
    nearest = next(path for path in (folder, *folder.absolute().parents) if path.exists())
    if not nearest.is_dir():
        raise OutputError(f"{nearest} is a file, not a folder.", "Give another folder with --out.")
    if not os.access(nearest, os.W_OK | os.X_OK):
        # Found out now, not after minutes of listening.
        raise OutputError(f"{nearest} may not be written to.", "Choose another folder with --out.")
    here, whole = Path.cwd(), folder.resolve()
    if whole == here or whole in here.parents:
        raise OutputError(f"{folder} is the folder you are working in.", "Give --out the name of a new folder in it.")
    return {path.name for path in folder.iterdir()} - _LITTER if folder.exists() else set()


def _replaceable(folder: Path, names: set[str], recording_sha256: Callable[[], str]) -> Sheet:
    if typed_beside(folder / SHEET).name in names:
        raise OutputError(
            f"{folder} holds corrections that are not taken in yet.",
            f"Go on with critsheet edit {folder / SHEET}, or give another folder with --out.",
        )
    if SHEET not in names or names - _OURS:
        raise OutputError(f"{folder} exists and holds other files.", _WAY_OUT)
    try:
        sheet = load(folder / SHEET)
    except CritsheetError as error:
        raise OutputError(f"{folder} exists and its sheet cannot be read.", _WAY_OUT) from error
    if sheet.review.recording.sha256 != recording_sha256():
        raise OutputError(f"{folder} holds the sheet of another recording.", _WAY_OUT)
    _check_untouched(folder, (sheet,), "Move that file away, or give another folder with --out.")
    return sheet


def _check_untouched(folder: Path, sheets: Sequence[Sheet], way_out: str) -> None:
    """Refuses where people worked in the files that they open in an editor: they say what none of `sheets` does."""
    cut = {still.file for sheet in sheets for note in (*sheet.notes, *sheet.left_out) for still in note.stills}
    found = {path.relative_to(folder).as_posix() for path in (folder / STILLS).glob("*") if path.name not in _LITTER}
    texts = [_texts(sheet) for sheet in sheets]
    for name in dict.fromkeys(name for each in texts for name in each):
        path = folder / name
        if path.is_file() and path.read_bytes() not in [each.get(name) for each in texts]:
            found.add(name)
    if changed := sorted(found - cut):
        raise OutputError(f"{folder / changed[0]} was changed by hand, which would be lost.", way_out)


def write(folder: Path, sheet: Sheet, files: Mapping[str, bytes], old: Sheet | None) -> None:
    """Write the files into `folder`, all or none, in place of `old`, an earlier sheet of the same recording.

    Raises OutputError where that would lose work, or where the disk refuses.
    """
    if check(folder, lambda: sheet.review.recording.sha256) != old:
        raise OutputError(f"{folder} was changed meanwhile.", "Run the same command again.")
    write_all(folder, files)


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files into `folder`, all or none, in place of it where it is there. Raises OutputError."""
    folder = folder.resolve()
    workplace: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        workplace = Path(tempfile.mkdtemp(prefix=".critsheet-", dir=folder.parent))
        new = workplace / "new"
        new.mkdir()
        for name, content in files.items():
            (new / name).parent.mkdir(exist_ok=True)
            _write_through(new / name, content)
        _put(new, folder, workplace / "old")
    except OSError as error:
        raise _unwritable(folder, error) from error
    finally:
        if workplace is not None:
            shutil.rmtree(workplace, ignore_errors=True)


def holds(path: Path) -> bool:
    """Whether the sheet at `path` lies in a folder as `write` writes it, with its other forms beside it."""
    return path.name == SHEET and any((path.parent / name).is_file() for name in (PAGE, MARKDOWN))


def stills_in(folder: Path, sheet: Sheet) -> dict[str, bytes]:
    """The sheet's pictures that lie in `folder`, by name."""
    names = {still.file for note in (*sheet.notes, *sheet.left_out) for still in note.stills}
    try:
        return {name: (folder / name).read_bytes() for name in sorted(names) if (folder / name).is_file()}
    except OSError as error:
        raise OutputError(f"Cannot read {folder / STILLS}: {error.strerror or error}.", "Check the folder.") from error


def update(folder: Path, old: Sheet, new: Sheet, files: Mapping[str, bytes]) -> None:
    """Write a changed sheet's files over those of `old`; whatever else lies in the folder stays.

    Each file is written whole, sheet.json last: until then the same can be done again. Raises OutputError where a
    file was changed by hand.
    """
    try:
        _check_untouched(folder, (old, new), "Move that file away first.")
        for name in sorted(files, key=lambda name: name == SHEET):
            if not (folder / name).is_file() or (folder / name).read_bytes() != files[name]:
                write_whole(folder / name, files[name])
        for name in {CHAPTERS, SHOT_CHAPTERS, MARKERS, *stills_in(folder, old)} - set(files):
            (folder / name).unlink(missing_ok=True)
    except OSError as error:
        raise _unwritable(folder, error) from error


def _write_through(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _put(new: Path, folder: Path, aside: Path) -> None:
    """Rename `new` to `folder`; what was there waits aside, and returns after any mishap, even Ctrl-C."""
    try:
        if folder.exists():
            folder.rename(aside)
        new.rename(folder)
    except BaseException:
        if aside.exists() and not folder.exists():
            aside.rename(folder)
        raise


def _unwritable(folder: Path, error: OSError) -> OutputError:
    return OutputError(
        f"Cannot write {folder}: {error.strerror or error}.",
        "Choose another folder with --out, or free some space.",
    )
