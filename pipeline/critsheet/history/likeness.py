"""How alike two notes of different talks are: a sum of named evidence, so that an outcome can be explained.

The weights were set by hand on six of the pairs in tests/history/pairs; the others were written afterwards, to
measure them.
"""

import math
from collections import Counter
from collections.abc import Sequence

from critsheet.history.topics import Topic
from critsheet.language.learned import word_rarity
from critsheet.sheet import FrameRange

SAME_FRAMES, NEAR_FRAMES = 3, 12
"""Frames between two ranges that are still the same place, or the same half second: a shot is retimed in between."""

_WORDS, _SAME_RULE, _RULES_COUNTED = 3.5, 0.8, 2
_SAME_CATEGORY, _ONLY_ONES, _SECOND_CATEGORY, _TRADE_CATEGORY, _OTHER_CATEGORY = 1.2, 0.5, 0.6, 0.2, -0.8
_SAME_PARTS, _KIN_PARTS, _OTHER_PARTS = 1.0, 0.4, -1.2
_SAME_SUBJECT, _OTHER_SUBJECT = 0.3, -5.0
_SAME_PLACE, _NEAR_PLACE, _FAR_PLACE = 1.6, 0.5, -1.4
_BOTH_PRESSING = 0.5
_IN_WORDS = 0.3

_KIN = tuple(
    frozenset(family.split())
    for family in (
        "eyes lids",
        "brows face",
        "mouth jaw face beak",
        "head neck",
        "shoulders chest spine body hips",
        "arm elbow wrist hand wings",
        "hand fingers",
        "leg knee ankle foot",
        "foot toes",
    )
)
"""Parts that one and the same thing may be called by."""


class Comparer:
    """Compares the notes of two talks about one shot.

    What many of them have in common tells little: in a shot of a bird, every other note says "wing".
    """

    def __init__(self, earlier: Sequence[Topic], now: Sequence[Topic]) -> None:
        self._notes = len(earlier) + len(now)
        self._saying = Counter(stem for topic in (*earlier, *now) for stem in topic.stems)
        self._earlier = Counter(label for topic in earlier for label in topic.labels[:1])
        self._now = Counter(label for topic in now for label in topic.labels[:1])
        self._rarity = word_rarity()
        self._unknown = max(self._rarity.values(), default=1.0)

    def likeness(self, earlier: Topic, now: Topic) -> float:
        """How surely two notes are about the same thing: below 1 hardly, above 3 almost certainly."""
        return sum(self.evidence(earlier, now).values())

    def only_labels(self, earlier: Topic, now: Topic) -> bool:
        """Whether nothing but labels speaks for the two: no word, trade phrase or frame in common."""
        found = self.evidence(earlier, now)
        return max(found["words"], found["trade phrases"], found["frames"]) < _IN_WORDS

    def evidence(self, earlier: Topic, now: Topic) -> dict[str, float]:
        """What speaks for (above 0) and against (below 0) two notes being about the same thing, by name."""
        return {
            "words": _WORDS * self._cosine(earlier.stems, now.stems),
            "trade phrases": _SAME_RULE * min(_RULES_COUNTED, len(earlier.rules & now.rules)),
            "category": self._category(earlier, now),
            "body parts": _parts(earlier, now),
            "subject": _subject(earlier, now),
            "frames": _frames(earlier, now),
            "stress": _BOTH_PRESSING if earlier.pressing and now.pressing else 0.0,
        }

    def _cosine(self, one: frozenset[str], two: frozenset[str]) -> float:
        size = math.sqrt(self._weight(one) * self._weight(two))
        return self._weight(one & two) / size if size else 0.0

    def _weight(self, stems: frozenset[str]) -> float:
        """Rare words count more (inverse document frequency), over the corpus of critiques and among these notes.

        Among these a word that only the two notes compared say is as rare as one that only one of them says.
        """
        others = {stem: max(1, self._saying[stem] - 1) for stem in sorted(stems)}
        weights = (
            self._rarity.get(stem, self._unknown) * math.log((self._notes + 1) / count)
            for stem, count in others.items()
        )
        return sum(weight * weight for weight in weights)

    def _category(self, earlier: Topic, now: Topic) -> float:
        if not now.labels:
            return 0.0
        if (label := earlier.labels[0]) == now.labels[0]:
            return _SAME_CATEGORY + (_ONLY_ONES if self._earlier[label] == self._now[label] == 1 else 0.0)
        if set(earlier.labels) & set(now.labels):
            return _SECOND_CATEGORY
        kin = label in now.trade or now.labels[0] in earlier.trade
        return _TRADE_CATEGORY if kin else _OTHER_CATEGORY


def _parts(one: Topic, two: Topic) -> float:
    if not one.parts or not two.parts:
        return 0.0
    if shared := one.parts & two.parts:
        return _SAME_PARTS * len(shared) / min(len(one.parts), len(two.parts))
    kin = any(one.parts & family and two.parts & family for family in _KIN)
    return _KIN_PARTS if kin else _OTHER_PARTS


def _subject(one: Topic, two: Topic) -> float:
    if one.subject is None or two.subject is None:
        return 0.0
    return _SAME_SUBJECT if one.subject == two.subject else _OTHER_SUBJECT


def _frames(one: Topic, two: Topic) -> float:
    """Frames are a place in the shot, unless either note concerns all of it."""
    if not one.frames or not two.frames:
        return 0.0
    apart = min(_between(a, b) for a in one.frames for b in two.frames)
    if apart <= SAME_FRAMES:
        return _SAME_PLACE
    if apart <= NEAR_FRAMES:
        return _NEAR_PLACE
    return 0.0 if one.loose or two.loose else _FAR_PLACE


def _between(one: FrameRange, two: FrameRange) -> int:
    """Frames between two ranges, 0 where they meet."""
    return max(0, one.first - two.last, two.first - one.last)
