"""Decodes a film's pictures as shades of grey: upright, on the recording's clock, a few in memory at a time."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet.errors import InputError
from critsheet.media.opening import open_recording, start_s

if TYPE_CHECKING:
    import av
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]

_LUMA_FIRST = ("yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "yuvj444p", "nv12", "gray")
"""Pixel formats whose first plane is the brightness, eight bits a pixel."""

_THREADS = 2
_CLOSE_S = 1e-4
"""Time stamps are rounded: a picture due at a moment counts as shown at it."""

_LONGEST_HOLD_S = 2.0
"""A shot's frame that lasts longer than this is a fault of its time stamps, not a drawing held."""


@dataclass
class Film:
    """A film's pictures: `width` and `height` as shown (upright), average `rate`, declared `duration_s` (0 unknown).

    Reading it sets `damaged`, the number of packets that could not be decoded.
    """

    path: Path
    width: int
    height: int
    rate: Fraction
    duration_s: float
    damaged: int = field(default=0)

    def pictures(self, *, key_only: bool = False) -> "Iterator[tuple[float, Grey]]":
        """Each picture with the second at which it appears, in order; with `key_only` those stored whole alone.

        Damaged packets are skipped and counted.
        """
        for seconds, frame in self._frames(key_only):
            yield seconds, _upright(frame)

    def sampled(self, rate: int) -> "Iterator[tuple[float, Grey]]":
        """The picture on screen at 0, 1/rate, 2/rate ... seconds, to the film's end, whatever its frame rate does."""
        number, shown, seconds = 0, None, 0.0
        for seconds, frame in self._frames():
            picture = None
            while shown is not None and number / rate < seconds - _CLOSE_S:
                picture = _upright(shown) if picture is None else picture
                yield number / rate, picture
                number += 1
            shown = frame
        picture = None if shown is None else _upright(shown)
        while picture is not None and (number == 0 or number / rate < max(self.duration_s, seconds) - _CLOSE_S):
            yield number / rate, picture
            number += 1

    def _frames(self, key_only: bool = False) -> "Iterator[tuple[float, av.VideoFrame]]":
        import av

        with open_recording(self.path) as container:
            stream: Any = container.streams.best("video")
            stream.thread_type, stream.thread_count = "AUTO", _THREADS
            if key_only:
                stream.codec_context.skip_frame = "NONKEY"
            begun, self.damaged = start_s(container), 0
            for packet in container.demux(stream):
                try:
                    frames: Any = packet.decode()
                except av.error.InvalidDataError:
                    self.damaged += 1
                    continue
                for frame in frames:
                    if frame.time is not None:
                        yield max(0.0, frame.time - begun), frame


def open_film(path: Path) -> Film:
    """What a film's pictures are like. Raises InputError for a file that holds none."""
    with open_recording(path) as container:
        stream = container.streams.best("video")
        if stream is None:
            raise InputError(f"{path} holds no pictures.", "Give the recording of the screen, or a film of the shot.")
        rate = stream.guessed_rate or stream.average_rate or Fraction(24)
        duration_s = container.duration / 1_000_000 if container.duration else 0.0
    film = Film(path, 0, 0, rate, duration_s)
    _, first = next(film._frames(), (0.0, None))
    if first is None:
        raise InputError(f"No picture of {path} can be decoded.", "Export it again, as mp4 with h264.")
    turned = round(first.rotation / 90) % 2 == 1
    width, height = (first.height, first.width) if turned else (first.width, first.height)
    return Film(path, width, height, rate, duration_s)


def shot_pictures(film: Film) -> "Iterator[Grey]":
    """Every frame of a shot in order; one that its file stores once and holds longer comes as often as it shows."""
    before_s, last = 0.0, None
    for seconds, picture in film.pictures():
        if last is not None:
            held = seconds - before_s
            for _ in range(max(1, round(held * film.rate)) if held < _LONGEST_HOLD_S else 1):
                yield last
        before_s, last = seconds, picture
    if last is not None:
        yield last


def _upright(frame: "av.VideoFrame") -> "Grey":
    import numpy as np

    if frame.format.name in _LUMA_FIRST:
        plane = frame.planes[0]
        rows: Grey = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
        picture = rows[: frame.height, : frame.width]
    else:
        picture = np.asarray(frame.to_ndarray(format="gray"), np.uint8)
    turns = round(frame.rotation / 90) % 4
    return np.ascontiguousarray(np.rot90(picture, turns)) if turns else picture.copy()
