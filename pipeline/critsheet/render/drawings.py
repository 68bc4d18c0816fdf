"""What is drawn on the page, as its templates may use it: see `page_context`."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Time:
    """A place in the recording: `at` in seconds, `clock` for reading, `href` where it can be played or ""."""

    at: str
    clock: str
    href: str


@dataclass(frozen=True)
class Ruler:
    """Where in the shot a note is, drawn 100 wide: `spans` are start and width."""

    spans: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Rule:
    """A line across a strip at `y`, with its `label` or ""; `strong` lines are drawn heavier."""

    y: float
    label: str
    strong: bool


@dataclass(frozen=True)
class Bracket:
    """A note on a strip: a bracket from `y` to `y + height` at `x`, its number at the height of `centre`.

    `look` is first, todo, keep or plan; `about` where the place is only roughly known. `text` says all of it in words.
    `time` is None where the bracket leads to the note, otherwise where it plays.
    """

    x: float
    y: float
    height: float
    centre: float
    look: str
    about: bool
    number: int
    note: str
    text: str
    time: Time | None


@dataclass(frozen=True)
class Strip:
    """A drawing that runs down the page: rules across it, brackets on it, in units of a pixel.

    `left` is where brackets begin. `outline` is a path: how much is asked at each frame, or the frame on screen.
    """

    width: float
    height: float
    left: float
    rules: tuple[Rule, ...]
    brackets: tuple[Bracket, ...]
    outline: str
