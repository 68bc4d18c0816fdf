"""Decodes single pictures of a film in colour, upright, without reading all of it."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from critsheet.media.opening import open_recording, start_s

if TYPE_CHECKING:
    import av
    import av.container
    import numpy as np
    from numpy.typing import NDArray

    Colour = NDArray[np.uint8]

SKIP_S = 6.0
"""Further ahead it is quicker to look for a picture that is stored whole than to decode all that lies between."""

_THREADS = 2
_CLOSE_S = 1e-4
"""Time stamps are rounded: a picture due at a moment counts as shown at it."""


def pictures_at(path: Path, moments: Sequence[float]) -> "Iterator[tuple[float, Colour]]":
    """For each moment, in seconds and in order of time, itself and the picture on screen then.

    Pictures are arrays (height, width, 3) of blue, green and red bytes. A moment after the end gives the last picture;
    damaged packets are skipped. Raises InputError for a file that cannot be opened.
    """
    with open_recording(path) as container:
        film = _Forward(container)
        for moment in sorted(moments):
            if (frame := film.at(moment)) is not None:
                yield moment, _upright(frame)


class _Forward:
    """A film read forwards, with leaps where the next moment is far ahead."""

    def __init__(self, container: "av.container.InputContainer") -> None:
        self._container = container
        self._begun_s = start_s(container)
        stream: Any = container.streams.best("video")
        stream.thread_type, stream.thread_count = "AUTO", _THREADS
        self._stream = stream
        self._frames = self._decoded()
        self._shown: av.VideoFrame | None = None
        self._next: av.VideoFrame | None = None

    def at(self, moment: float) -> "av.VideoFrame | None":
        """The frame on screen at a moment, which lies no earlier than the last one asked for."""
        if moment - self._seconds(self._next or self._shown) > SKIP_S:
            self._leap(moment)
        while self._next is None or self._seconds(self._next) <= moment + _CLOSE_S:
            self._shown, self._next = self._next or self._shown, next(self._frames, None)
            if self._next is None:
                break
        return self._shown or self._next

    def _leap(self, moment: float) -> None:
        import av

        try:
            self._container.seek(round((self._begun_s + moment) * av.time_base))
        except av.FFmpegError:
            return  # no index: everything is decoded, which takes longer
        self._frames, self._shown, self._next = self._decoded(), None, None

    def _decoded(self) -> "Iterator[av.VideoFrame]":
        import av

        for packet in self._container.demux(self._stream):
            try:
                frames: Any = packet.decode()
            except av.error.InvalidDataError:
                continue
            yield from (frame for frame in frames if frame.time is not None)

    def _seconds(self, frame: "av.VideoFrame | None") -> float:
        return 0.0 if frame is None or frame.time is None else max(0.0, frame.time - self._begun_s)


def _upright(frame: "av.VideoFrame") -> "Colour":
    import numpy as np

    picture = frame.to_ndarray(format="bgr24").astype(np.uint8, copy=False)
    turns = round(frame.rotation / 90) % 4
    return np.ascontiguousarray(np.rot90(picture, turns)) if turns else picture
