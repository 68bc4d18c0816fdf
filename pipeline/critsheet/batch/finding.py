"""Finds the recordings in a folder tree, and says where the sheet of each goes."""

import hashlib
import os
from collections import Counter
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from critsheet.cli.job import default_name
from critsheet.errors import CritsheetError, InputError
from critsheet.render.folder import SHEET
from critsheet.sheet import load

SOUND_AND_FILM = frozenset(
    ".wav .mp3 .m4a .aac .flac .ogg .oga .opus .wma .aif .aiff .caf .amr .mp4 .m4v .mov .mkv .webm .avi .wmv .mpg "
    ".mpeg .mts .m2ts .flv .3gp .mxf".split()
)
CAPTIONS = (".vtt", ".srt")


@dataclass(frozen=True)
class Recording:
    """A recording, its captions where some lie beside it, and the folder of its sheet, relative to the result's.

    `path` is a caption file where it stands alone. `shown` is the path within the tree.
    """

    path: Path
    captions: Path | None
    folder: Path
    shown: str


def _raise(folder: str, why: str) -> None:
    raise InputError(f"Cannot read {folder}: {why}.", "Ask for leave to read it, or move it away.")


def find(
    tree: Path, out: Path, shots: Collection[Path] = (), refuse: Callable[[str, str], None] = _raise
) -> list[Recording]:
    """The recordings below `tree`, in order of path.

    Passed over: hidden files and folders, links to folders, the result's folder, folders with a sheet, and `shots`, the
    films that the recordings talk about. `refuse` is told of a folder in the tree that cannot be read, and why.
    Raises InputError where there is no tree to read.
    """
    if not tree.is_dir():
        raise InputError(f"There is no folder {tree}.", "Give the folder with your recordings.")
    aside = {os.path.realpath(path) for path in shots}
    found: list[tuple[Path, Path | None]] = []
    for folder, names in _folders(tree, os.path.realpath(out), refuse):
        found += _in_one_folder([folder / name for name in names if os.path.realpath(folder / name) not in aside])
    return _placed(tree, out, sorted(found, key=lambda one: one[0].relative_to(tree).parts))


def _folders(tree: Path, out: str, refuse: Callable[[str, str], None]) -> Iterator[tuple[Path, list[str]]]:
    def cannot(error: OSError) -> None:
        folder, why = os.fspath(error.filename), error.strerror or str(error)
        _raise(folder, why) if folder == os.fspath(tree) else refuse(os.path.relpath(folder, tree), why)

    for inside, folders, names in os.walk(tree, onerror=cannot):
        folders[:] = [name for name in folders if not name.startswith(".")]
        folder = Path(inside)
        if SHEET in names or (folder != tree and os.path.realpath(inside) == out):
            folders.clear()
        else:
            yield folder, [name for name in names if not name.startswith(".")]


def _in_one_folder(paths: list[Path]) -> Iterator[tuple[Path, Path | None]]:
    """Recordings with their captions, and captions without a recording."""
    sounds = [path for path in paths if path.suffix.lower() in SOUND_AND_FILM and path.is_file()]
    captions = {path.stem: path for path in sorted(paths) if path.suffix.lower() in CAPTIONS and path.is_file()}
    yield from ((path, captions.get(path.stem)) for path in sounds)
    stems = {sound.stem for sound in sounds}
    yield from ((path, None) for stem, path in captions.items() if stem not in stems)


def _placed(tree: Path, out: Path, found: list[tuple[Path, Path | None]]) -> list[Recording]:
    """Each with a folder of its own, which it keeps whatever comes to lie beside it later."""
    inside = [path.relative_to(tree) for path, _ in found]
    wanted = Counter(_in_any_case(path.parent / default_name(path)) for path in inside)
    wanted.update({_in_any_case(folder) for path in inside for folder in path.parents})
    placed: list[Recording] = []
    for (path, words), within in zip(found, inside, strict=True):
        name = default_name(path)
        own = within.parent / f"{name or 'recording'}-{hashlib.sha256(os.fsencode(path.name)).hexdigest()[:6]}"
        plain = within.parent / name
        alone = wanted[_in_any_case(plain)] == 1
        # Its captions, or another of its name, may have been there before it and have the sheet in this place.
        holder = None if alone and not words else _sheet_of(out / plain / SHEET)
        fits = holder == _as_text(path.name) if holder else alone and not (out / own / SHEET).is_file()
        placed.append(Recording(path, words, plain if fits and name else own, str(within)))
    return placed


def _in_any_case(path: Path) -> str:
    return str(path).casefold()


def _as_text(name: str) -> str:
    """A file name as a sheet gives it."""
    return name.encode("utf-8", "replace").decode("utf-8")


def _sheet_of(sheet: Path) -> str | None:
    """The file name of the recording that a sheet is of; None where there is no sheet."""
    try:
        return _recording_in(sheet, sheet.stat().st_mtime_ns)
    except (OSError, CritsheetError):
        return None


@lru_cache(maxsize=4096)
def _recording_in(sheet: Path, _changed: int) -> str:
    """Kept for the next look at a watched folder; a sheet takes a while to read."""
    return load(sheet).review.recording.file
