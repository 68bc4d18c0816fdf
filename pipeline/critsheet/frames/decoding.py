"""From what each moment looks like to what was shown: forward-backward over shot frames and "not on screen".

L. R. Rabiner, "A tutorial on hidden Markov models", Proc. IEEE 77, 1989. A playhead mostly rests, plays on or steps;
sometimes it is dragged; now and then it jumps anywhere.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from critsheet.frames.bank import Bank
from critsheet.frames.following import Moment
from critsheet.frames.repeats import Repeats
from critsheet.frames.showing import SAMPLES_A_SECOND

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_STAYS = 0.97
"""How often the shot stays on screen, or off it, from one moment to the next."""
_RESTS, _PLAYS, _DRAGGED, _JUMPS = 0.4, 0.35, 0.22, 0.03
_SPEEDS = ((1.0, 0.6), (0.5, 0.15), (2.0, 0.15), (-1.0, 0.1))
"""Playing speeds and how common they are."""
_PRESENCE_SLOPE, _PRESENCE_LIMIT = 35.0, 12.0
_PIXELS_THAT_COUNT = 90.0
"""Independent witnesses among the moving pixels: neighbours err together. Measured on the generated recordings."""
_PIXELS_WHEN_FREE = 30.0
"""While the picture is zoomed or moved its place is less exact, and all pixels err together the more."""
_MANY_PIXELS = 3000
_LEAST_NOISE = 2.0
_WINDOW, _OVERLAP = 400, 50
"""Changed moments decoded together, and those looked ahead so that the seams do not show."""


@dataclass(frozen=True)
class Belief:
    """The probability of each frame at a moment; what is missing to 1 is that of "not on screen"."""

    moment: Moment
    frames: "Floats"


def decode(bank: Bank, repeats: Repeats, moments: Iterable[Moment]) -> Iterator[Belief]:
    """What to believe of every moment, in order, knowing those before and after it."""
    steps = _Steps(bank, repeats)
    source, waiting = iter(moments), list[Moment]()
    start: Floats | None = None
    while True:
        waiting += islice(source, _WINDOW + _OVERLAP - len(waiting))
        if not waiting:
            return
        last = len(waiting) < _WINDOW + _OVERLAP
        count = len(waiting) if last else _WINDOW
        beliefs, start = _smoothed(steps, waiting, count, start)
        yield from (Belief(moment, belief) for moment, belief in zip(waiting, beliefs, strict=False))
        waiting = waiting[count:]


class _Steps:
    """How a playhead moves between two moments, as a kernel on the ring of frames."""

    def __init__(self, bank: Bank, repeats: Repeats) -> None:
        import numpy as np

        self.repeats = repeats

        self.count = count = len(bank)
        kernel = np.zeros(count)
        each = bank.rate / SAMPLES_A_SECOND
        away = (np.arange(count) + count // 2) % count - count // 2
        kernel[0] += _RESTS
        for speed, share in _SPEEDS:
            bump = np.exp(-0.5 * ((away - speed * each) / (0.6 + 0.12 * abs(speed) * each)) ** 2)
            kernel += _PLAYS * share * bump / max(bump.sum(), 1e-12)
        drag = np.exp(-np.abs(away) / (1.5 * each))
        kernel += _DRAGGED * drag / drag.sum() + _JUMPS / count
        self._forth = np.fft.rfft(kernel / kernel.sum())

    def on(self, belief: "Floats") -> "Floats":
        """The belief one moment later; the last entry is "not on screen"."""
        return self._moved(belief, self._forth)

    def back(self, message: "Floats") -> "Floats":
        """What later moments say, as seen from one moment before."""
        import numpy as np

        frames, none = message[:-1], message[-1]
        moved = np.maximum(np.fft.irfft(np.fft.rfft(frames) * self._forth.conj(), self.count), 0)
        leaves, enters = 1 - _STAYS, (1 - _STAYS) / self.count
        return np.append(_STAYS * moved + leaves * none, _STAYS * none + enters * frames.sum())

    def _moved(self, belief: "Floats", kernel: "NDArray[np.complex128]") -> "Floats":
        import numpy as np

        frames, none = belief[:-1], belief[-1]
        moved = np.maximum(np.fft.irfft(np.fft.rfft(frames) * kernel, self.count), 0)
        leaves = 1 - _STAYS
        return np.append(_STAYS * moved + leaves * none / self.count, _STAYS * none + leaves * frames.sum())


def _smoothed(
    steps: _Steps, moments: Sequence[Moment], count: int, start: "Floats | None"
) -> "tuple[list[Floats], Floats]":
    """Beliefs of the first `count` moments, and the forward message after them."""
    import numpy as np

    if start is None:
        start = np.append(np.full(steps.count, 0.5 / steps.count), 0.5)
    seen = [None if moment.same else _evidence(moment, steps) for moment in moments]
    forth: list[Floats] = []
    message = start
    for evidence in seen:
        if evidence is not None:
            message = steps.on(message) * evidence
            message = message / max(message.sum(), 1e-300)
        forth.append(message)
    beliefs: list[Floats] = [np.zeros(0)] * len(moments)
    later = np.ones(steps.count + 1)
    for index in range(len(moments) - 1, -1, -1):
        both = forth[index] * later
        beliefs[index] = (both / max(both.sum(), 1e-300))[:-1]
        evidence = seen[index]
        if evidence is not None:
            later = steps.back(later * evidence)
            later = later / max(later.max(), 1e-300)
    return beliefs[:count], forth[count - 1]


def _evidence(moment: Moment, steps: _Steps) -> "Floats":
    """How likely the picture is under each frame, and under "not on screen"."""
    import numpy as np

    likeness = moment.likeness
    present = np.clip(_PRESENCE_SLOPE * moment.margin, -_PRESENCE_LIMIT, _PRESENCE_LIMIT)
    if likeness is None:
        return np.append(np.full(steps.count, np.exp(present)), 1.0)
    shared = steps.repeats.shared(likeness.costs)
    least = float(shared.min())
    witnesses = (_PIXELS_WHEN_FREE if moment.free else _PIXELS_THAT_COUNT) * moment.trust**3
    witnesses *= min(1.0, likeness.pixels / _MANY_PIXELS)
    worse = (shared - least).astype(np.float64) * witnesses / max(least, _LEAST_NOISE)
    return np.append(np.exp(present - np.minimum(worse, 60)), 1.0)
