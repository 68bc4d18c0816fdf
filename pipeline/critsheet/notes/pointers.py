"""What "it" and "them" in a remedy stand for, where the words before leave one answer.

The thing that the last clauses spoke of is their subject ("the camera drifts, lock it off"), as people
understand it; failing that the body part named last.
"""

import re
from collections.abc import Sequence

from critsheet.notes.verbs import DETERMINERS, FINITE, PREPOSITIONS, VERBS

_FAR = 4
"""A thing not spoken of in so many clauses is out of mind."""

_SHORTEST_NAME, _LONGEST_NAME = 2, 4
_SIDES = "(?:left|right|back|front|near|far|upper|lower|whole)"
_PLURAL = frozenset("them those these".split())
_POINTING = frozenset("the his her their its your my our that this these those both".split())
_SAYS = PREPOSITIONS | DETERMINERS | frozenset("not just too so very all gone been got".split())
_POINTER = re.compile(
    r"^(?P<verb>(?:(?:don't|never|just) )?[\w']+(?: (?:up|down|off|out|in|on|back|over))?) "
    r"(?P<what>it|them|'em|(?:that|this|those|these)(?= (?:up|down|in|out|to|until|till|off|on|over|through|closed|"
    r"open|alive|a|with|from|at|for|before|after|so|and|when|by|later|earlier|sooner|just|all|as|there|here|\d\S*)\b|[,.;]|$))"
    r"(?=[ ,.;]|$)",
    re.IGNORECASE,
)


def named(text: str, before: Sequence[str], parts: Sequence[str]) -> str:
    """The command with its first "it" or "them" named, or as it is; `before` are the thoughts said before it,
    `parts` the body parts of the note as they were called."""
    match = _POINTER.match(text)
    if not match:
        return text
    plural = match["what"].lower() in _PLURAL | {"'em"}
    thing = _thing(before[-_FAR:], plural) or _part(before[-2:], parts, plural)
    return text[: match.start("what")] + thing + text[match.end("what") :] if thing else text


def _thing(before: Sequence[str], plural: bool) -> str | None:
    for thought in reversed(before):
        topic = topic_of(thought)
        if topic and _is_plural(topic) == plural:
            return topic
    return None


def topic_of(thought: str) -> str | None:
    """The thing a clause is about: its subject, where that is a thing with an article before it."""
    text = re.sub(r"^(?:so|and|but|now|then|okay)\s+", "", thought.replace("’", "'"), flags=re.IGNORECASE)
    words = text.rstrip(" ,;:.?!").split()
    if len(words) < _SHORTEST_NAME or words[0].lower() not in _POINTING:
        return None
    for at in range(1, min(_LONGEST_NAME, len(words))):
        word = words[at].lower()
        if word.endswith("'s") and at + 1 < len(words):
            following = words[at + 1].lower()
            says = following in _SAYS or following.endswith("ing")
            return _thing_named([*words[:at], words[at][:-2]]) if says else None
        if word[-1] in ",;:":
            return None
        if at > 1 and (word in FINITE or word in PREPOSITIONS or _third_person(word)):
            return _thing_named(words[:at])
    whole = len(words) <= _LONGEST_NAME and not any(word.lower() in FINITE | PREPOSITIONS for word in words)
    return _thing_named(words) if whole else None


def _thing_named(words: Sequence[str]) -> str:
    first = words[0].lower()
    return " ".join([first if first in {"his", "her", "their", "its"} else "the", *words[1:]])


def _third_person(word: str) -> bool:
    return word.endswith("s") and (word[:-1] in VERBS or word.removesuffix("es") in VERBS)


def _is_plural(thing: str) -> bool:
    last = thing.lower().rsplit(maxsplit=1)[-1]
    return (last.endswith("s") and not last.endswith("ss")) or last in {"feet", "teeth"}


def _part(before: Sequence[str], parts: Sequence[str], plural: bool) -> str | None:
    """The body part named last, as it was called: "the left foot"."""
    text = " ".join(before).lower()
    for part in reversed(parts):
        if _is_plural(part) != plural:
            continue
        found = re.findall(rf"\b(?:{'|'.join(sorted(_POINTING))}) ((?:{_SIDES} )*{re.escape(part)})\b", text)
        if found:
            return f"the {found[-1]}"
    return None
