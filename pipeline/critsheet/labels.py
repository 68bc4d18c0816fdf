"""What a note and an earlier note have in common: their labels, the frames they are about, a student's tick.

The labels mean what tests/eval/GUIDE.md says.
"""

from collections.abc import Mapping
from typing import Annotated, Literal, get_args

from pydantic import Field

from critsheet.screen import Strict

Kind = Literal["fix", "keep", "plan"]
Category = Literal[
    "acting", "staging", "camera", "posing", "weight", "timing", "spacing", "arcs", "overlap",
    "anticipation", "contrast", "eyes", "face", "lipsync", "hands", "contact", "limbs", "polish",
    "appeal", "secondary", "workflow",
]  # fmt: skip
BodyPart = Literal[
    "eyes", "lids", "brows", "mouth", "jaw", "face", "head", "neck", "shoulders", "chest", "spine",
    "hips", "arm", "elbow", "wrist", "hand", "fingers", "leg", "knee", "ankle", "foot", "toes", "tail",
    "wings", "ears", "beak", "body",
]  # fmt: skip
Place = Literal["start", "middle", "end"]
Scope = Literal["moment", "shot", "habit"]
Strength = Literal["must", "should", "could"]
FollowUp = Literal["resolved", "repeated"]
ByHand = Literal[
    "action", "kind", "category", "also", "subject", "body", "moments", "frames", "place", "scope", "strength",
    "followup", "doubts",
]  # fmt: skip
FrameSource = Literal["said", "shown", "logged", "placed", "by hand"]
CHOICES: Mapping[str, tuple[str, ...]] = {
    "category": get_args(Category),
    "also": get_args(Category),
    "body": get_args(BodyPart),
    "place": get_args(Place),
    "scope": get_args(Scope),
    "followup": get_args(FollowUp),
}
"""The values of each label that has a fixed set of them, by its name in a note."""
Share = Annotated[float, Field(ge=0, le=1)]


class FrameRange(Strict):
    """Frames of the shot that a note is about, both ends included, and how they are known."""

    first: int
    last: int
    source: FrameSource = "said"
    confidence: Share = 1.0


class Done(Strict):
    """A student's tick: when, and what they say about it."""

    at: str
    comment: str = ""
