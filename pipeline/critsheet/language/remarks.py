"""A remark: one clause of the critique with its function and everything found in it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.language.said_frames import SaidFrames
from critsheet.language.terms import BodyFinding, Finding

FAULT, REMEDY, REASON, PRAISE, PLAN = "fault", "remedy", "reason", "praise", "plan"
DESCRIPTION, RETRACTION, CHATTER, OTHERS = "description", "retraction", "chatter", "others"
"""What a remark can do. A remark with no sign of anything else describes."""


@dataclass(frozen=True)
class SubjectFinding:
    """A character or prop: `name` as the user gave it, or as it is called; tokens start..end, end exclusive."""

    name: str
    start: int
    end: int
    by_name: bool


@dataclass(frozen=True)
class Remark:
    """One clause: tokens first..end (end exclusive), when it was said, what it does, what it names.

    `text` is what was said. Ranges inside findings count
    tokens from the start of the transcript. `unsure` are words that the recogniser may have misheard.
    """

    index: int
    first: int
    end: int
    start_s: float
    end_s: float
    after_pause: bool
    text: str
    function: str
    findings: tuple[Finding, ...]
    body: tuple[BodyFinding, ...]
    frames: tuple[SaidFrames, ...]
    subjects: tuple[SubjectFinding, ...]
    words: tuple[str, ...]
    unsure: tuple[str, ...]

    def has(self, function: str) -> bool:
        """Whether a rule of this function was found in the remark."""
        return any(finding.function == function for finding in self.findings)


_DECIDING = (
    (RETRACTION, ("retraction",), 3.0),
    (OTHERS, ("others",), 3.0),
    (CHATTER, ("chatter", "greeting", "signoff"), 0.9),
    (PLAN, ("plan", "order"), 1.2),
    (REMEDY, ("remedy", "must", "could"), 1.1),
    (FAULT, ("fault", "problem", "question", "habit"), 1.0),
    (PRAISE, ("praise", "resolved"), 1.0),
    (REASON, ("reason",), 0.6),
    (DESCRIPTION, ("description",), 0.5),
)
"""Functions with the rules that speak for them and their weight, in the order that settles ties.

Taking back and talk of others outweigh everything, since they cancel what the same words would say.
"""


def function_of(findings: Sequence[Finding]) -> str:
    """The function that the rules found in a clause speak for most; DESCRIPTION where none do."""
    counts = Counter(finding.function for finding in findings)
    best, best_score = DESCRIPTION, 0.0
    for function, rules, weight in _DECIDING:
        score = weight * sum(counts[rule] for rule in rules)
        if score > best_score:
            best, best_score = function, score
    return best
