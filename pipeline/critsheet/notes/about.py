"""What a draft holds, gathered once for every decision about it: words, trade terms, parts, names, frames."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from critsheet.language.learned import Features
from critsheet.language.remarks import Remark
from critsheet.notes.drafts import Draft
from critsheet.notes.evidence import COMMON_STEMS, found_evidence, plain_stems
from critsheet.sheet import Kind


@dataclass(frozen=True)
class About:
    """A draft and what it holds. `earlier` tells whether the critique speaks of an earlier submission at all."""

    draft: Draft
    earlier: bool

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
        """Named evidence for the labels of the note."""
        row = {"always": 1.0, f"kind {self.kind}": 1.0}
        row |= {f"word {form}": 1.0 for form in self.stems}
        row |= {f"pair {one} {two}": 1.0 for one, two in zip(self.stems, self.stems[1:], strict=False)}
        row |= {f"part {part}": 1.0 for part in self.parts}
        row |= found_evidence(self.remarks)
        row |= trade_evidence(self.remarks)
        if self.earlier:
            row["earlier submission"] = 1.0
        return row

    def has(self, function: str) -> bool:
        """Whether a rule of this function was found in the note."""
        return any(remark.has(function) for remark in self.remarks)


_TRADE_WEIGHT = {"fault": 2.0, "remedy": 1.5, "praise": 1.5, "word": 1.0}
"""A phrase that states a fault tells more of a category than a word of the trade."""


def trade_evidence(remarks: Sequence[Remark]) -> dict[str, float]:
    """How much the vocabulary speaks for each category, in all and by function."""
    row: dict[str, float] = {}
    for remark in remarks:
        for found in remark.findings:
            if found.category:
                for name in (f"trade {found.category}", f"{found.function} {found.category}"):
                    row[name] = row.get(name, 0.0) + _TRADE_WEIGHT.get(found.function, 1.0)
    return {name: min(value, 4.0) for name, value in row.items()}


def about(drafts: Sequence[Draft], remarks: Sequence[Remark]) -> list[About]:
    """Each draft with what it holds."""
    earlier = any(remark.has("resolved") or remark.has("repeated") for remark in remarks)
    return [About(draft, earlier) for draft in drafts]
