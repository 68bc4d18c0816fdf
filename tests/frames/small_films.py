"""A small shot, and the recording of a screen that shows it in a window, made in a moment."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from critsheet.frames.showing import SAMPLES_A_SECOND, Area, Playhead, Showing

Picture = NDArray[np.uint8]
WIDE, TALL, FRAMES, FIRST = 160, 96, 24, 101
AREA = Area(64, 32, 160, 96)
SCREEN = (320, 192)
INK = (20, 20, 240)
RECORDED_RATE = 10


def write(pictures: Iterable[Picture], path: Path, rate: Fraction = Fraction(24)) -> Path:
    with av.open(str(path), "w") as container:
        stream = None
        for picture in pictures:
            if stream is None:
                stream = container.add_stream("libx264", rate=rate, options={"crf": "12", "g": "12"})
                stream.height, stream.width = picture.shape[:2]
                stream.pix_fmt = "yuv420p"
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        assert stream is not None
        container.mux(stream.encode(None))
    return path


def shot_picture(index: int) -> Picture:
    """A green bar that moves six pixels a frame over a blue and grey ground."""
    picture = np.full((TALL, WIDE, 3), (150, 120, 110), np.uint8)
    picture[TALL * 2 // 3 :] = (90, 90, 90)
    x = 4 + 6 * index
    picture[20:80, x : x + 10] = (60, 200, 60)
    return picture


def shot(path: Path) -> Path:
    return write((shot_picture(index) for index in range(FRAMES)), path)


@dataclass(frozen=True)
class Tick:
    """A tenth of a second: the shot's frame on screen, None for another window, and how much is drawn, 0 to 1."""

    frame: int | None
    drawn: float = 0.0
    mirrored: bool = False


def screen_picture(tick: Tick) -> Picture:
    picture = np.full((SCREEN[1], SCREEN[0], 3), 40, np.uint8)
    picture[::9, ::7] = 200
    if tick.frame is not None:
        shown = shot_picture(tick.frame - FIRST)
        if tick.mirrored:
            shown = shown[:, ::-1].copy()
        shown[30:36, 10 : 10 + round(100 * tick.drawn)] = INK
        x, y = round(AREA.x), round(AREA.y)
        picture[y : y + TALL, x : x + WIDE] = shown
    return picture


def recording(ticks: Iterable[Tick], path: Path) -> tuple[Path, Playhead]:
    """The recording, and what a perfect eye sees in it."""
    ticks = list(ticks)
    write(map(screen_picture, ticks), path, Fraction(RECORDED_RATE))
    step = RECORDED_RATE // SAMPLES_A_SECOND
    showings = tuple(
        Showing(n / SAMPLES_A_SECOND, (), 0.95)
        if tick.frame is None
        else Showing(n / SAMPLES_A_SECOND, ((tick.frame, tick.frame),), 0.95, AREA)
        for n, tick in enumerate(ticks[::step])
    )
    return path, Playhead(showings, "shown")


def ink(picture: Picture) -> float:
    """The share of a picture that is ink."""
    blue, green, red = (picture[..., colour].astype(int) for colour in range(3))
    return float(((red > 150) & (green < 110) & (blue < 110)).mean())
