"""Finds the recordings in a folder tree, and says where the sheet of each goes."""

import hashlib
import os
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from critsheet.cli.job import default_name
from critsheet.errors import InputError
from critsheet.render.folder import SHEET

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


def find(tree: Path, out: Path, shots: Collection[Path] = ()) -> list[Recording]:
    """The recordings below `tree`, in order of path.

    Passed over: hidden files and folders, links to folders, the result's folder, folders with a sheet, and `shots`, the
    films that the recordings talk about. Raises InputError where the folder cannot be read.
    """
    if not tree.is_dir():
        raise InputError(f"There is no folder {tree}.", "Give the folder with your recordings.")
    aside = {os.path.realpath(path) for path in shots}
    found: list[Recording] = []
    for folder, names in _folders(tree, os.path.realpath(out)):
        paths = [folder / name for name in names if os.path.realpath(folder / name) not in aside]
        found += _in_one_folder(tree, paths)
    return sorted(found, key=lambda one: one.path.relative_to(tree).parts)


def _folders(tree: Path, out: str) -> Iterator[tuple[Path, list[str]]]:
    def refuse(error: OSError) -> None:
        raise InputError(
            f"Cannot read {error.filename}: {error.strerror}.", "Ask for leave to read it, or move it away."
        ) from error

    for inside, folders, names in os.walk(tree, onerror=refuse):
        folders[:] = [name for name in folders if not name.startswith(".")]
        if SHEET in names or os.path.realpath(inside) == out:
            folders.clear()
        else:
            yield Path(inside), [name for name in names if not name.startswith(".")]


def _in_one_folder(tree: Path, paths: list[Path]) -> Iterator[Recording]:
    sounds = [path for path in paths if path.suffix.lower() in SOUND_AND_FILM and path.is_file()]
    captions = {path.stem: path for path in sorted(paths) if path.suffix.lower() in CAPTIONS and path.is_file()}
    alone = [path for stem, path in captions.items() if stem not in {sound.stem for sound in sounds}]
    shared = Counter(default_name(path).casefold() for path in (*sounds, *alone))
    for path in (*sounds, *alone):
        name = default_name(path)
        if shared[name.casefold()] > 1:
            # Told apart by the whole file name, so that none depends on which others lie beside it.
            name = f"{name}-{hashlib.sha256(os.fsencode(path.name)).hexdigest()[:6]}"
        within = path.relative_to(tree)
        yield Recording(path, captions.get(path.stem) if path in sounds else None, within.parent / name, str(within))
