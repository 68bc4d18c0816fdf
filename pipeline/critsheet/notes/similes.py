"""Similes: "like a plate on a tray". They make a fault vivid to the ear; on a checklist the plain words do."""

import re

_LEAST_LEFT = 3
"""A simile is only left out where so many plain words stay."""

_SIMILE = re.compile(
    r"(?<=\S)(?<!look)(?<!looks)(?<!feel)(?<!feels)(?<!sounds)(?<!seems)(?<!'s),? "
    r"(?:(?:a bit |almost |just |more |sort of )?like(?= (?:a|an|the|some|somebody|someone|he's|she's|it's|they're|"
    r"you're|you|when|two|three|one|my|your|he|she|they|we|in|on|there's|this|that)\b)|as if|as though)"
    r"(?:(?! (?:and|then|so|but)\b|[,;]).)*",
    re.IGNORECASE,
)
IS_SIMILE = re.compile(
    r"^(?:it's|he's|she's|they're|it is|it was|he looks|it looks|it feels|that's)\s+(?:\w+ )?like\b", re.IGNORECASE
)
"""A clause that is nothing but a simile: "it's like a wet towel"."""


def without_simile(text: str) -> str:
    """The text without its similes, where enough is left."""
    plain = _SIMILE.sub("", text)
    return plain if len(plain.split()) >= _LEAST_LEFT else text
