"""Decodes a recording's sound for the recogniser: mono, 16 kHz, in step with the recording's clock."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet.errors import InputError, NothingSaid
from critsheet.media.opening import MAX_SECONDS, open_recording, start_s

if TYPE_CHECKING:
    import av
    import av.container
    import numpy as np
    from av.audio.frame import AudioFrame
    from av.audio.resampler import AudioResampler
    from numpy.typing import NDArray

SAMPLE_RATE = 16_000
"""Samples a second that Whisper models are trained on (OpenAI, "Robust Speech Recognition", 2022, section 2.2)."""

_SAMPLE_BYTES = 2
_FULL_SCALE = 32768
_GAP_S = 0.1
"""Sound missing for longer (a pause of the recorder, lost packets) becomes silence, so that times stay true."""

_CUT_SHORT_S = 3.0
_CUT_SHORT_SHARE = 0.02
"""A whole file's last packet lies this close to its declared end; where it does not, the end of the file is gone."""

_DECLARE_THEIR_END = ("mov", "matroska", "flac", "wav")
"""Containers whose declared length is exact; the others estimate it from the bit rate."""


def decode_sound(path: Path) -> "NDArray[np.float32]":
    """The sound as float32 samples from -1 to 1, mono, SAMPLE_RATE a second, sample 0 at the recording's 0:00.

    Channels are mixed; gaps in the file become silence. Raises InputError for a file that is no recording, was cut
    short or is longer than MAX_SECONDS, and NothingSaid where it has no sound track or an empty one.
    """
    import av
    import numpy as np

    with open_recording(path) as container:
        if not container.streams.audio:
            raise NothingSaid(f"{path} has no sound.", "Record again with the microphone on, or give captions instead.")
        track = container.streams.best("audio")
        sound, end_s = _Sound(container), 0.0
        for packet in container.demux([*container.streams.audio, *container.streams.video]):
            end_s = max(end_s, _end_s(packet))
            if packet.stream is not track:
                continue
            try:
                for frame in packet.decode():
                    sound.add(frame)  # type: ignore[arg-type]
            except av.error.InvalidDataError:
                continue  # a damaged packet: what was said in it is lost, the rest is not
            if sound.seconds > MAX_SECONDS:
                raise InputError(
                    f"{path} is longer than {MAX_SECONDS // 3600} hours.", "Cut it into one recording a shot."
                )
        sound.finish()
        _check_whole(path, container, end_s)
    if not sound.samples:
        raise NothingSaid(f"The sound track of {path} is empty.", "Record again with the microphone on.")
    return np.frombuffer(sound.samples, dtype=np.int16).astype(np.float32) / np.float32(_FULL_SCALE)


class _Sound:
    """Decoded 16-bit samples that grow frame by frame, each at its own time of the recording."""

    def __init__(self, container: "av.container.InputContainer") -> None:
        self.samples = bytearray()
        self._start_s = start_s(container)
        self._last_s = container.duration / 1_000_000 if container.duration is not None else MAX_SECONDS
        self._resampler: AudioResampler | None = None
        self._form: tuple[str, str, int] | None = None

    @property
    def seconds(self) -> float:
        return len(self.samples) / (_SAMPLE_BYTES * SAMPLE_RATE)

    def add(self, frame: "AudioFrame") -> None:
        from av.audio.resampler import AudioResampler

        form = (frame.format.name, frame.layout.name, frame.sample_rate)
        gap_s = self._gap_s(frame)
        if form != self._form or gap_s:
            self.finish()
            self.samples.extend(bytes(_SAMPLE_BYTES * round(gap_s * SAMPLE_RATE)))
            self._form, self._resampler = form, AudioResampler("s16", "mono", SAMPLE_RATE)
        frame.pts = None
        self._take(frame)

    def finish(self) -> None:
        """Collect what the resampler still holds."""
        if self._resampler is not None:
            self._take(None)
            self._resampler = None

    def _take(self, frame: "AudioFrame | None") -> None:
        assert self._resampler is not None
        for piece in self._resampler.resample(frame):
            self.samples.extend(memoryview(piece.planes[0])[: piece.samples * _SAMPLE_BYTES])

    def _gap_s(self, frame: "AudioFrame") -> float:
        """Seconds of silence owed before this frame; a time stamp past the end of the file is not believed."""
        if frame.time is None:
            return 0.0
        at_s = frame.time - self._start_s
        gap_s = at_s - self.seconds
        return gap_s if gap_s > _GAP_S and at_s <= self._last_s else 0.0


def _end_s(packet: "av.Packet[Any]") -> float:
    if packet.pts is None or packet.time_base is None:
        return 0.0
    return float((packet.pts + (packet.duration or 0)) * packet.time_base)


def _check_whole(path: Path, container: "av.container.InputContainer", end_s: float) -> None:
    if container.duration is None or not container.format.name.startswith(_DECLARE_THEIR_END):
        return
    declared_s = container.duration / 1_000_000
    found_s = end_s - start_s(container)
    if declared_s - found_s > max(_CUT_SHORT_S, _CUT_SHORT_SHARE * declared_s):
        raise InputError(
            f"{path} is cut short: of {_clock(declared_s)} only {_clock(max(0.0, found_s))} is there.",
            "Copy or export the recording again, to its end.",
        )


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"
