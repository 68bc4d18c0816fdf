"""Writes small recordings of a tone, with and without pictures, in any container."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

TONE_HZ = 440
PICTURES_A_SECOND = 12

Record = Callable[..., Path]


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """`record(name, codec, seconds=3, rate=48000, layout="mono", pictures=False, starts_at=0)` writes a recording."""

    def write(
        name: str,
        codec: str | None,
        *,
        seconds: float = 3.0,
        rate: int = 48000,
        layout: str = "mono",
        pictures: bool = False,
        starts_at: float = 0.0,
        options: dict[str, str] | None = None,
    ) -> Path:
        path = tmp_path / name
        with av.open(str(path), "w", options=options or {}) as container:
            sound = container.add_stream(codec, rate=rate, layout=layout) if codec else None
            film = container.add_stream("mpeg4", rate=PICTURES_A_SECOND) if pictures else None
            if film is not None:
                film.width, film.height, film.pix_fmt = 64, 48, "yuv420p"
                _write_pictures(container, film, seconds + starts_at)
            if sound is not None:
                _write_tone(container, sound, seconds, starts_at)
        return path

    return write


def _write_pictures(container: av.container.OutputContainer, stream: av.VideoStream, seconds: float) -> None:
    grey = np.full((48, 64, 3), 90, np.uint8)
    for number in range(round(seconds * PICTURES_A_SECOND)):
        frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
        frame.pts, frame.time_base = number, Fraction(1, PICTURES_A_SECOND)
        container.mux(stream.encode(frame))
    container.mux(stream.encode(None))


def _write_tone(
    container: av.container.OutputContainer, stream: av.AudioStream, seconds: float, starts_at: float
) -> None:
    rate, channels = stream.rate, stream.layout.nb_channels
    tone = 0.5 * np.sin(2 * np.pi * TONE_HZ * np.arange(round(seconds * rate)) / rate)
    samples = (np.repeat(tone, channels) * 32767).astype(np.int16).reshape(1, -1)
    frame = av.AudioFrame.from_ndarray(samples, format="s16", layout=stream.layout.name)
    frame.sample_rate = rate
    fifo = av.AudioFifo()
    fifo.write(frame)
    size = stream.codec_context.frame_size or 1024
    written = round(starts_at * rate)
    while piece := fifo.read(size) or fifo.read(size, partial=True):
        piece.pts, piece.time_base = written, Fraction(1, rate)
        written += piece.samples
        container.mux(stream.encode(piece))
    container.mux(stream.encode(None))
