"""What a recording holds, without decoding it, and every way in which a file can fail to be one."""

import hashlib
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet.errors import InputError

if TYPE_CHECKING:
    import av.container

MAX_SECONDS = 4 * 3600
"""A review lasts minutes. Four hours of sound take 0.9 GB of memory, and no one waits longer."""

_FORMATS = (
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,wav,w64,rf64,mp3,ogg,flac,aac,aiff,avi,asf,mpegts,mpeg,flv,"
    "caf,au,amr,ac3,eac3,wv,tta,ape,mxf,gxf,dv"
)
"""Containers of sound and film. Left out on purpose: playlists and scripts, which open further files or addresses."""

_OPEN_OPTIONS = {"format_whitelist": _FORMATS, "protocol_whitelist": "file"}
_FORMAT_HINT = "Use an audio or video file, such as wav, mp3, m4a, ogg, flac, mp4, mov, mkv or webm."
_TEXT_SAMPLE_BYTES = 4096


@dataclass(frozen=True)
class Probe:
    """What a recording holds: seconds from its start to its end, and which kinds of stream.

    `container` is the family name of the file format ("mov,mp4,m4a,3gp,3g2,mj2"), `sha256` the hex fingerprint.
    """

    duration_s: float
    has_sound: bool
    has_pictures: bool
    container: str
    sha256: str


def sha256(path: Path) -> str:
    """The SHA-256 of a file's bytes in hex. Raises InputError where it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise _unreadable(path, error) from error


def probe(path: Path) -> Probe:
    """Open a recording just far enough to say what it holds.

    Raises InputError for no such file, a folder, an empty file, anything that is not sound or film, a file whose
    index is missing because it was cut short, and one longer than MAX_SECONDS.
    """
    with open_recording(path) as container:
        has_sound = bool(container.streams.audio)
        has_pictures = any(not _is_cover(stream) for stream in container.streams.video)
        if not has_sound and not has_pictures:
            raise InputError(f"{path} holds neither sound nor pictures.", _FORMAT_HINT)
        duration_s = _duration_s(container)
        name = container.format.name
    if duration_s > MAX_SECONDS:
        raise InputError(
            f"{path} is {duration_s / 3600:.1f} hours long; a review may last up to {MAX_SECONDS // 3600} hours.",
            "Cut it into one recording for each shot.",
        )
    return Probe(duration_s, has_sound, has_pictures, name, sha256(path))


def open_recording(path: Path) -> "av.container.InputContainer":
    """An open PyAV container, for use in a `with` block; the network and other files stay out of its reach.

    Raises InputError for everything that is not a recording.
    """
    import av

    _check_file(path)
    try:
        # "file:" keeps names such as "http:x" or "take%03d.png" from meaning anything but this file.
        return av.open(f"file:{path}", options=dict(_OPEN_OPTIONS), metadata_errors="ignore")
    except (av.FFmpegError, ValueError) as error:
        raise _not_a_recording(path) from error


def start_s(container: "av.container.InputContainer") -> float:
    """The time stamp, in seconds, at which players show 0:00."""
    return container.start_time / 1_000_000 if container.start_time is not None else 0.0


def _check_file(path: Path) -> None:
    try:
        if path.is_dir():
            raise InputError(f"{path} is a folder, not a recording.", "Name one file inside it.")
        if not path.exists():
            raise InputError(f"There is no file {path}.", "Check the name and the folder.")
        if not path.is_file():
            raise InputError(f"{path} is not an ordinary file.", _FORMAT_HINT)
        with path.open("rb") as file:
            if not file.read(1):
                raise InputError(f"{path} is empty.", "Record or copy it again.")
    except OSError as error:
        raise _unreadable(path, error) from error


def _unreadable(path: Path, error: OSError) -> InputError:
    return InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the file's name and permissions.")


def _not_a_recording(path: Path) -> InputError:
    with path.open("rb") as file:
        head = file.read(_TEXT_SAMPLE_BYTES)
    if b"ftyp" in head[:16] or b"moov" in head or b"mdat" in head:
        return InputError(
            f"{path} is cut short: its index, written last, is missing.",
            "Copy or export the recording again, to its end.",
        )
    if b"\0" not in head:
        return InputError(f"{path} is text, not a recording.", "Give captions as a .vtt, .srt, .txt or .json file.")
    return InputError(f"{path} is not a recording that can be opened.", _FORMAT_HINT)


def _is_cover(stream: Any) -> bool:
    """Whether a video stream is only a cover picture stored inside a sound file."""
    from av.stream import Disposition

    return bool(stream.disposition & Disposition.attached_pic)


def _duration_s(container: "av.container.InputContainer") -> float:
    """Seconds from start to end: as declared, or from the last packet where a recorder left that out."""
    if container.duration is not None:
        return max(0.0, container.duration / 1_000_000)
    end = Fraction(0)
    for packet in container.demux():
        if packet.pts is not None and packet.time_base is not None:
            end = max(end, (packet.pts + (packet.duration or 0)) * packet.time_base)
    return max(0.0, float(end) - start_s(container))
