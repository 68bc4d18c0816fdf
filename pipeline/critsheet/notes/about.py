"""What a draft holds, gathered once for every decision about it: words, trade terms, parts, names, frames."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from critsheet.language.learned import Features
from critsheet.language.remarks import Remark
from critsheet.notes.drafts import Draft
from critsheet.notes.evidence import COMMON_STEMS, found_evidence, plain_stems
from critsheet.sheet import Kind

_PART, _PHRASE, _TRADE, _CUE = 0.15, 0.1, 0.07, 0.3
"""Scales of evidence that is not words: the smaller, the more examples it takes to trust it. Found by trial on
critiques left out of training."""


@dataclass(frozen=True)
class About:
    """A draft and what it holds. `spoken_of` is the character that the talk was about before it."""

    draft: Draft
    spoken_of: str | None = None

    @property
    def kind(self) -> Kind:
        """Fix, keep or plan."""
        return self.draft.kind

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """The draft's remarks in order of time."""
        return self.draft.remarks

    @cached_property
    def stems(self) -> list[str]:
        """The stems of all words, names masked."""
        return [form for remark in self.remarks for form in plain_stems(remark)]

    @cached_property
    def telling_stems(self) -> frozenset[str]:
        """The stems that tell what the note is about."""
        return frozenset(self.stems) - COMMON_STEMS

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """The body parts named, in order of first mention."""
        return tuple(dict.fromkeys(found.part for remark in self.remarks for found in remark.body))

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The characters and props meant, by name before by pronoun, in order of first mention."""
        found = [subject for remark in self.remarks for subject in remark.subjects]
        ordered = sorted(found, key=lambda subject: not subject.by_name)
        return tuple(dict.fromkeys(subject.name for subject in ordered))

    @cached_property
    def evidence(self) -> Features:
        """Named evidence on what the note is about: words, parts, trade terms."""
        counts = Counter(f"word {form}" for form in self.stems)
        counts.update(f"pair {one} {two}" for one, two in zip(self.stems, self.stems[1:], strict=False))
        row = {name: 1.0 + math.log(count) for name, count in counts.items()}
        row |= {"always": 1.0, f"kind {self.kind}": _PART}
        row |= {f"part {part}": _PART for part in self.parts}
        return row | trade_evidence(self.remarks)

    @cached_property
    def manner(self) -> Features:
        """The same with the cues of how it was said: stressed, optional, as a habit, as still open."""
        cues = {name: _CUE * value for name, value in found_evidence(self.remarks).items()}
        stress = {f"stress {function}": 1.0 for function in ("must", "could") if self.has(function)}
        return {**self.evidence, **cues, **stress}

    def has(self, function: str) -> bool:
        """Whether a rule of this function was found in the note."""
        return any(remark.has(function) for remark in self.remarks)


def trade_evidence(remarks: Sequence[Remark]) -> dict[str, float]:
    """The categories that the vocabulary speaks for, in all and by function."""
    row: dict[str, float] = {}
    for remark in remarks:
        for found in remark.findings:
            if found.category:
                row[f"trade {found.category}"] = _TRADE
                row[f"{found.function} {found.category}"] = _PHRASE
    return row
