"""Renders recordings of a mentor's screen with a known playhead: a window, its picture, and all that happens to it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
from clips import Clip, Picture

FPS = 25
"""Pictures a second of the recordings."""


@dataclass(frozen=True)
class Look:
    """What one tick of the recording shows: a shot frame (index) or another screen, and how."""

    frame: float = 0.0
    other: str | None = None
    zoom: float = 1.0
    centre: tuple[float, float] = (0.5, 0.5)
    drawing: float = 0.0


@dataclass(frozen=True)
class Screen:
    """The screen's size, where the viewer lies in it (x, y, width, height), and what the viewer adds to the picture."""

    size: tuple[int, int] = (1280, 720)
    viewer: tuple[int, int, int, int] = (160, 60, 900, 560)
    backdrop: int = 38
    ghost: float = 0.0
    counter: bool = False
    cursor: bool = True
    mirrored: bool = False
    gain: float = 1.0
    lift: float = 0.0
    stretch: float = 1.0
    chrome: bool = True
    seed: int = 4


@dataclass
class Script:
    """Builds what happens tick by tick: each verb of a player appends looks."""

    clip: Clip
    looks: list[Look] = field(default_factory=list)
    now: Look = field(default_factory=Look)

    def _add(self, ticks: float, **ends: float | tuple[float, float]) -> "Script":
        """Go on for some ticks while the named fields move evenly to their ends."""
        start, count = self.now, max(1, round(ticks))
        for tick in range(1, count + 1):
            part = tick / count
            moved = {
                name: tuple(a + (b - a) * part for a, b in zip(getattr(start, name), end, strict=True))
                if isinstance(end, tuple)
                else getattr(start, name) + (end - getattr(start, name)) * part
                for name, end in ends.items()
            }
            self.now = replace(start, **moved)  # type: ignore[arg-type]
            self.looks.append(self.now)
        return self

    def hold(self, seconds: float) -> "Script":
        return self._add(seconds * FPS)

    def play(self, seconds: float, speed: float = 1.0, **ends: float | tuple[float, float]) -> "Script":
        """Play on, round and round, at a speed; negative plays backwards."""
        begun, count = len(self.looks), len(self.clip.pictures)
        self._add(seconds * FPS, frame=self.now.frame + seconds * speed * float(self.clip.rate), **ends)
        self.looks[begun:] = [replace(look, frame=look.frame % count) for look in self.looks[begun:]]
        self.now = self.looks[-1]
        return self

    def to(self, frame: float) -> "Script":
        """Jump to a frame."""
        self.now = replace(self.now, frame=frame)
        self.looks.append(self.now)
        return self

    def step(self, count: int, each_s: float = 0.4) -> "Script":
        """Step frame by frame, forwards or backwards."""
        for _ in range(abs(count)):
            self.to(min(len(self.clip.pictures) - 1, max(0, int(self.now.frame) + (1 if count > 0 else -1))))
            self.hold(each_s)
        return self

    def scrub(self, frame: float, seconds: float) -> "Script":
        """Drag the playhead to a frame."""
        return self._add(seconds * FPS, frame=frame)

    def look(self, zoom: float, centre: tuple[float, float], seconds: float) -> "Script":
        """Zoom and pan while paused."""
        return self._add(seconds * FPS, zoom=zoom, centre=centre)

    def draw(self, seconds: float, amount: float = 1.0) -> "Script":
        return self._add(seconds * FPS, drawing=amount)

    def wipe(self) -> "Script":
        self.now = replace(self.now, drawing=0.0)
        return self

    def away(self, other: str, seconds: float) -> "Script":
        """Another screen for a while: window, menu, stranger, desktop."""
        back, self.now = self.now, replace(self.now, other=other)
        self.hold(seconds)
        self.now = back
        return self


def _backdrop(screen: Screen) -> Picture:
    width, height = screen.size
    canvas = np.full((height, width, 3), screen.backdrop, np.uint8)
    if not screen.chrome:
        return canvas
    x, y, wide, tall = screen.viewer
    cv2.rectangle(canvas, (0, 0), (width, 34), (72, 66, 62), -1)
    for number, word in enumerate(("Shot", "Edit", "Show", "Marks", "Help")):
        cv2.putText(
            canvas, word, (20 + 90 * number, 23), cv2.FONT_HERSHEY_SIMPLEX, 0.5, (210, 210, 210), 1, cv2.LINE_AA
        )
    cv2.rectangle(canvas, (0, 35), (x - 8, height), (58, 54, 50), -1)
    for row in range(8):
        cv2.rectangle(canvas, (16, 60 + 62 * row), (max(20, x - 24), 104 + 62 * row), (90 + 9 * row, 84, 80), -1)
        cv2.putText(canvas, f"take {row + 3}", (20, 86 + 62 * row), cv2.FONT_HERSHEY_PLAIN, 0.9, (220, 220, 220), 1)
    cv2.rectangle(canvas, (x, y + tall + 8), (x + wide, min(height, y + tall + 60)), (60, 60, 66), -1)
    return canvas


def _other(screen: Screen, kind: str, tick: int) -> Picture:
    """A screen that does not show the shot: a text window that scrolls, a desktop."""
    width, height = screen.size
    random = np.random.default_rng(screen.seed + (tick // 40 if kind == "window" else 0))
    canvas = np.full((height, width, 3), 244 if kind == "window" else 96, np.uint8)
    cv2.rectangle(canvas, (0, 0), (width, 44), (180, 150, 120), -1)
    for row in range(24):
        length = int(random.integers(10, 60))
        words = "".join(chr(97 + int(letter)) if letter < 26 else " " for letter in random.integers(0, 31, length))
        ink = (40, 40, 40) if kind == "window" else (170, 190, 160)
        cv2.putText(canvas, words, (60, 90 + 26 * row), cv2.FONT_HERSHEY_SIMPLEX, 0.55, ink, 1, cv2.LINE_AA)
    for _ in range(5):
        x, y = int(random.integers(width // 2, width - 175)), int(random.integers(60, height - 130))
        ink = tuple(int(value) for value in random.integers(40, 230, 3))
        cv2.rectangle(canvas, (x, y), (x + 170, y + 120), ink, -1)
    return canvas


def _strokes(random: np.random.Generator) -> list[np.ndarray]:
    """Curves and rings as a mentor draws them, in shares of the picture."""
    strokes = []
    for _ in range(4):
        start, bend = random.uniform(0.25, 0.75, 2), random.uniform(-0.25, 0.25, (2, 2))
        t = np.linspace(0, 1, 40)[:, None]
        strokes.append(start + bend[0] * t + bend[1] * t * t)
    centre, turn = random.uniform(0.35, 0.65, 2), np.linspace(0, 2 * np.pi, 50)
    strokes.append(centre + 0.09 * np.stack([np.cos(turn), 1.6 * np.sin(turn)], 1))
    return strokes


class Renderer:
    """Draws looks onto screens."""

    def __init__(self, clip: Clip, screen: Screen, stranger: Clip) -> None:
        self.clip, self.screen, self.stranger = clip, screen, stranger
        self._backdrop = _backdrop(screen)
        self._strokes = _strokes(np.random.default_rng(screen.seed))

    def fit(self, look: Look, shape: tuple[int, ...]) -> np.ndarray:
        """Shot pixels to viewer pixels, 2 by 3."""
        _, _, wide, tall = self.screen.viewer
        height, width = shape[:2]
        scale = min(wide / (width * self.screen.stretch), tall / height) * look.zoom
        across, down = scale * self.screen.stretch, scale
        cx = 0.5 if look.zoom <= 1 else look.centre[0]
        cy = 0.5 if look.zoom <= 1 else look.centre[1]
        # pixel centres: the middle of shot pixel i lies at i + 0.5
        tx = wide / 2 - cx * width * across + 0.5 * across - 0.5
        ty = tall / 2 - cy * height * down + 0.5 * down - 0.5
        return np.array([[across, 0, tx], [0, down, ty]], np.float64)

    def _picture(self, clip: Clip, index: int) -> Picture:
        picture = clip.pictures[index]
        if self.screen.ghost and clip is self.clip:
            before = clip.pictures[max(0, index - 1)]
            after = clip.pictures[min(len(clip.pictures) - 1, index + 1)]
            ghosts = cv2.addWeighted(before, 0.5, after, 0.5, 0)
            picture = cv2.addWeighted(picture, 1 - self.screen.ghost, ghosts, self.screen.ghost, 0)
        if self.screen.mirrored and clip is self.clip:
            picture = picture[:, ::-1]
        return picture

    def draw(self, look: Look, tick: int) -> Picture:
        """The whole screen at one tick."""
        if look.other in ("window", "desktop"):
            return _other(self.screen, look.other, tick)
        canvas = self._backdrop.copy()
        x, y, wide, tall = self.screen.viewer
        clip = self.stranger if look.other == "stranger" else self.clip
        index = int(look.frame) % len(clip.pictures) if look.other is None else (tick // 2) % len(clip.pictures)
        picture = self._picture(clip, index)
        matrix = self.fit(look, picture.shape)
        if matrix[1, 1] < 0.7:  # scaling down as a player does: smooth first
            shrink = matrix[1, 1] * 1.0
            size = (max(1, round(picture.shape[1] * shrink)), max(1, round(picture.shape[0] * shrink)))
            ratio = np.array([size[0] / picture.shape[1], size[1] / picture.shape[0]])
            picture = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
            shift = matrix[:, 2] + 0.5 - 0.5 * np.array([matrix[0, 0], matrix[1, 1]])
            matrix = np.diag([matrix[0, 0] / ratio[0], matrix[1, 1] / ratio[1]])
            matrix = np.hstack([matrix, (shift - 0.5 + 0.5 * np.diag(matrix))[:, None]])
        view = cv2.warpAffine(
            picture, matrix, (wide, tall), flags=cv2.INTER_LINEAR, borderValue=(self.screen.backdrop,) * 3
        )
        if self.screen.gain != 1.0 or self.screen.lift:
            view = cv2.convertScaleAbs(view, alpha=self.screen.gain, beta=self.screen.lift)
        canvas[y : y + tall, x : x + wide] = view
        self._add_ink(canvas, look)
        self._add_signs(canvas, look, tick, index)
        return canvas

    def _add_ink(self, canvas: Picture, look: Look) -> None:
        x, y, wide, tall = self.screen.viewer
        count = look.drawing * len(self._strokes)
        for number, stroke in enumerate(self._strokes):
            part = min(1.0, count - number)
            if part <= 0:
                break
            points = stroke[: max(2, round(part * len(stroke)))] * (wide, tall) + (x, y)
            cv2.polylines(canvas, [points.astype(np.int32)], False, (60, 40, 235), 5, cv2.LINE_AA)

    def _add_signs(self, canvas: Picture, look: Look, tick: int, index: int) -> None:
        x, y, wide, tall = self.screen.viewer
        if self.screen.chrome:
            at = x + round(wide * index / len(self.clip.pictures))
            cv2.rectangle(canvas, (at, y + tall + 10), (at + 3, y + tall + 40), (60, 170, 230), -1)
        if self.screen.counter:
            cv2.putText(canvas, f"{1001 + index}", (x + 24, y + tall - 24), cv2.FONT_HERSHEY_SIMPLEX, 1.1, (0, 0, 0), 6)
            cv2.putText(
                canvas, f"{1001 + index}", (x + 24, y + tall - 24), cv2.FONT_HERSHEY_SIMPLEX, 1.1, (255,) * 3, 2
            )
        if look.other == "menu":
            cv2.rectangle(canvas, (x + 20, y + 10), (x + wide - 20, y + tall - 10), (236, 236, 236), -1)
            for row in range(12):
                words = f"{row + 1} choose this one or the one after it"
                at = (x + 50, y + 50 + row * (tall - 60) // 12)
                cv2.putText(canvas, words, at, cv2.FONT_HERSHEY_SIMPLEX, 0.6, (30, 30, 30), 1, cv2.LINE_AA)
        if self.screen.cursor:
            turn = tick / FPS
            tip = np.array([x + wide * (0.5 + 0.4 * np.sin(0.9 * turn)), y + tall * (0.5 + 0.4 * np.cos(0.63 * turn))])
            arrow = (tip + np.array([[0, 0], [0, 22], [6, 17], [15, 16]])).astype(np.int32)
            cv2.fillPoly(canvas, [arrow], (250, 250, 250), cv2.LINE_AA)
            cv2.polylines(canvas, [arrow], True, (10, 10, 10), 1, cv2.LINE_AA)


def record(looks: Iterable[Look], renderer: Renderer, path: Path, crf: int = 23, fps: int = FPS) -> Path:
    """Write the recording of a script."""
    width, height = renderer.screen.size
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=fps, options={"crf": str(crf), "preset": "veryfast"})
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.thread_count = 2
        for picture in _pictures(looks, renderer):
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode(None))
    return path


def _pictures(looks: Iterable[Look], renderer: Renderer) -> Iterator[Picture]:
    for tick, look in enumerate(looks):
        yield renderer.draw(look, tick)


def truth_at(looks: list[Look], seconds: Fraction) -> int | None:
    """The shot index on screen at a second of the recording, None where the shot is not."""
    look = looks[min(len(looks) - 1, int(seconds * FPS))]
    return int(look.frame) if look.other is None else None
