"""From a recording to its transcript, with what was heard before read from the user's cache."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from critsheet import media
from critsheet.errors import InputError
from critsheet.sheet import Transcript
from critsheet.speech import catalogue
from critsheet.speech.languages import LANGUAGES
from critsheet.speech.listening import listen
from critsheet.speech.recogniser import Whisper
from critsheet.speech.store import Shelf, cache_folder

_METHOD = 1
"""Raised whenever the way of listening changes, so that no older transcript passes for a new one."""

_LIBRARIES = ("faster-whisper", "ctranslate2", "av")

DEVICES = ("cpu", "cuda")


@dataclass(frozen=True)
class SpeechOptions:
    """How to listen: a model by name or folder, what computes, and the language by its code."""

    model: str = catalogue.DEFAULT_MODEL
    device: str = "cpu"
    language: str = "en"


def transcribe(path: Path, options: SpeechOptions, progress: Callable[[float], None]) -> Transcript:
    """What is said in a recording, word by word, with times in seconds from its start.

    `progress` is told the share done, from 0 to 1, never falling. What was heard is kept in the user's cache under
    the recording's fingerprint and every setting: an interrupted run goes on where it stopped, and a finished one is
    read back. Raises InputError (no recording, another language), NothingSaid (silence, music, no sound track) or
    ModelError.
    """
    _check(options)
    folder = catalogue.folder_of(options.model)
    rising = _Rising(progress)
    shelf = Shelf(cache_folder() / "heard" / media.sha256(path) / _key(options, folder))
    with shelf.alone():
        transcript = _kept(shelf)
        if transcript is None:
            transcript = listen(
                media.decode_sound(path),
                options.language,
                lambda: Whisper(folder, options.device, options.language),
                shelf,
                rising.tell,
            )
            shelf.write("transcript", transcript.model_dump(mode="json"))
    rising.tell(1.0)
    return transcript


class _Rising:
    """Passes on a share only where it has grown."""

    def __init__(self, progress: Callable[[float], None]) -> None:
        self._progress = progress
        self._last = -1.0

    def tell(self, share: float) -> None:
        if share > self._last:
            self._last = share
            self._progress(share)


def _check(options: SpeechOptions) -> None:
    if options.language not in LANGUAGES:
        raise InputError(
            f"There is no language called {options.language!r}.",
            "Give its two-letter code, such as en for English or fr for French.",
        )
    if options.device not in DEVICES:
        raise InputError(f"There is no device called {options.device!r}.", f"Choose one of: {', '.join(DEVICES)}.")


def _key(options: SpeechOptions, folder: Path) -> str:
    """A name for all that decides what is heard, the recording aside."""
    weights = (folder / "model.bin").stat()
    own = options.model != catalogue.DEFAULT_MODEL
    settings: dict[str, Any] = {
        "method": _METHOD,
        "language": options.language,
        "device": options.device,
        "model": [folder.name, weights.st_size, weights.st_mtime_ns if own else 0],
        "libraries": {name: version(name) for name in _LIBRARIES},
    }
    return hashlib.sha256(json.dumps(settings, sort_keys=True).encode()).hexdigest()[:16]


def _kept(shelf: Shelf) -> Transcript | None:
    document = shelf.read("transcript")
    try:
        return None if document is None else Transcript.model_validate(document)
    except ValidationError:
        return None
