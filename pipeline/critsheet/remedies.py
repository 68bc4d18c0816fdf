"""How an action reads whose mentor named a fault and no remedy: "Fix the left knee: it pops"."""

import re

_WITHOUT_REMEDY = re.compile(r"(?:If there is time, f|F)ix\b[^:;(]*: ")


def without_remedy(action: str) -> bool:
    """Whether an action of a fix only names a fault, since the mentor gave no remedy."""
    return bool(_WITHOUT_REMEDY.match(action))
