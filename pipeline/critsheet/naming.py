"""Finds names in text and puts stand-ins in their place.

A full name is found however it is written. A single part of it (a first name, a last name) is found as a word of its
own; one that is an ordinary word as well (Will, Rose) only where it bears a capital inside a sentence.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

ORDINARY = 4.0
"""Zipf frequency from which a word is ordinary English: once in 100,000 words (common practice, no source)."""
SHORTEST_PART = 3
"""Letters: shorter parts ("de", "Li") stand in too many words' places; the full name is still found."""
_BETWEEN = r"[\s_.-]+"
_PARTS = re.compile(r"[^\s_.,-]+")
_SENTENCE_END = re.compile(r"[.!?…:][\"'”’)\]]*\s*$")


class Names:
    """Names with their stand-ins; the longest is looked for first."""

    def __init__(self, stand_ins: Mapping[str, str]) -> None:
        self._stand_ins: dict[str, str] = {}
        self._ordinary: set[str] = set()
        parts: dict[str, str] = {}
        for name, stand_in in stand_ins.items():
            words = _PARTS.findall(name)
            if words:
                self._stand_ins.setdefault(" ".join(words).casefold(), stand_in)
            for word in words:
                if len(word) >= SHORTEST_PART and any(map(str.isalpha, word)):
                    parts.setdefault(word.casefold(), stand_in)
        for part, stand_in in parts.items():
            self._stand_ins.setdefault(part, stand_in)
        self._ordinary = {one for one in self._stand_ins if " " not in one and _is_ordinary(one)}
        self._pattern = self._compiled()

    def _compiled(self) -> re.Pattern[str] | None:
        ordered = sorted(self._stand_ins, key=lambda one: (-len(one), one))
        each = [_BETWEEN.join(map(re.escape, one.split(" "))) for one in ordered]
        return re.compile(rf"(?<!\w)(?:{'|'.join(each)})(?!\w)", re.IGNORECASE) if each else None

    def replaced(self, text: str) -> str:
        """The text with a stand-in for every name in it."""
        if self._pattern is None:
            return text
        return self._pattern.sub(self._stand_in, text)

    def found(self, text: str) -> bool:
        """Whether there is a name in the text."""
        return self.replaced(text) != text

    def _stand_in(self, match: re.Match[str]) -> str:
        said = match.group()
        key = " ".join(_PARTS.findall(said)).casefold()
        if key in self._ordinary and not _is_named(match):
            return said
        return self._stand_ins.get(key, said)


def _is_named(match: re.Match[str]) -> bool:
    """Whether an ordinary word is used as a name: it bears a capital that no beginning of a sentence gives it."""
    before = match.string[: match.start()]
    return match.group()[:1].isupper() and bool(before.strip()) and not _SENTENCE_END.search(before)


@lru_cache(maxsize=65536)
def _is_ordinary(word: str) -> bool:
    from wordfreq import zipf_frequency

    return bool(zipf_frequency(word, "en") >= ORDINARY)
