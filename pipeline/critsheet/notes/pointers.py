"""What "it" and "them" stand for, and what a note is about: the things that a mentor's own words name.

People take "it" for what the last clauses spoke of: their subject ("the camera drifts, lock it off"), failing that
the thing named last. Where nothing fits, the note's labels say what it is about.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from critsheet.notes.verbs import DETERMINERS, FINITE, PREPOSITIONS, VERBS

_FAR = 5
"""A thing not spoken of in so many clauses is out of mind."""

_LONGEST_NAME = 4
_PLURAL = frozenset("them 'em themselves these those".split())
_POINTING = frozenset("the his her their its your my our that this these those both a an".split())
_OWN = frozenset("his her their its".split())
_SIDES = frozenset("left right back front near far upper lower top bottom other whole".split())
_SAYS = PREPOSITIONS | DETERMINERS | frozenset("not just too so very all gone been got".split())
_ENDS = (
    FINITE
    | PREPOSITIONS
    | frozenset(
        "i you he she it we they who which what when where while because if as than and or but so then now here there "
        "still even already too very really all also again not him them me us that this these those never always "
        "going coming getting doing being goes go out's same".split()
    )
)
"""After these words the name of a thing is over."""

_VAGUE = frozenset(
    "way ways thing things bit bits lot lots one ones moment time times rest same fact end start beginning whole other "
    "second first third last minute side sides problem point frame frames drawing drawings note notes idea kind sort "
    "stuff part parts place version round pass shot week weeks one's number next way's only best most little big "
    "couple bunch five six seven eight nine ten half more number few year years day days seconds".split()
)
_POINTER = re.compile(
    r"(?<![\w'])(?P<what>it|them|'em|(?:that|this|those|these)(?= (?:up|down|in|out|to|until|till|off|on|over|through|"
    r"closed|open|alive|a|with|from|at|for|before|after|so|and|when|by|later|earlier|sooner|just|all|as|there|here|\d\S*)"
    r"\b|[,.;]|$))(?![\w-])(?!'[^s ])",
    re.IGNORECASE,
)
@dataclass(frozen=True)
class Thing:
    """A thing named in a thought: its words, whether there are several, whether the thought is about it."""

    name: str
    plural: bool
    is_subject: bool


def named(text: str, before: Sequence[str], people: Sequence[str], parts: Sequence[str]) -> tuple[str, bool | None]:
    """The command with its first "it" or "them" named, and None; else as it is, and whether it means several.

    `before` are the thoughts said before it, `people` the names that "it" cannot stand for, `parts` the body parts
    of the note as they were called.
    """
    match = _POINTER.search(text)
    if not match:
        return text, None
    plural = match["what"].lower() in _PLURAL
    if any(thing.plural == plural for thing in things(text[: match.start()], parts, people)):
        return text, None
    thing = _meant(before[-_FAR:], people, parts, plural)
    if not thing:
        return text, plural
    return text[: match.start("what")] + thing + text[match.end("what") :], None


def _meant(before: Sequence[str], people: Sequence[str], parts: Sequence[str], plural: bool) -> str | None:
    for thought in reversed(before):
        fitting = [thing for thing in things(thought, parts, people) if thing.plural == plural]
        subjects = [thing for thing in fitting if thing.is_subject]
        if fitting:
            return _definite((subjects or fitting)[-1].name)
    return None


def things(thought: str, parts: Sequence[str] = (), people: Sequence[str] = ()) -> list[Thing]:
    """The things that a thought names with an article, or as a body part, in order; no persons, nothing vague."""
    words = re.findall(r"[\w'’-]+|[,.;:?!…()]", thought.replace("’", "'"))
    found: list[Thing] = []
    place = 0
    while place < len(words):
        size, verb = _name_at(words, place, parts)
        name = words[place : place + size]
        if size:
            name[-1] = name[-1].removesuffix("'s") if verb else name[-1]
            text = " ".join(name)
            if name[-1].lower() not in _VAGUE and not any(who.lower() in text.lower() for who in people):
                found.append(Thing(text, _is_plural(text), place <= 1 and _goes_on(words, place + size, verb)))
        place += max(1, size)
    return found


def _goes_on(words: Sequence[str], place: int, verb: bool) -> bool:
    """Whether something is said of the name that ends here, or it stands alone."""
    return verb or place >= len(words) or not words[place][0].isalnum() or words[place].lower() not in PREPOSITIONS


def _name_at(words: Sequence[str], place: int, parts: Sequence[str]) -> tuple[int, bool]:
    """How many words from here name a thing (0 where none is named), and whether the last one holds "is"."""
    first = words[place].lower()
    if first in _POINTING:
        start = place + 1
    elif first in parts or (first in _SIDES and place + 1 < len(words) and words[place + 1].lower() in parts):
        start = place
    else:
        return 0, False
    at = start
    while at < len(words) and at - start < _LONGEST_NAME:
        word, following = words[at].lower(), words[at + 1].lower() if at + 1 < len(words) else ""
        if not word[0].isalnum() or word in _ENDS or word.endswith(("n't", "'re", "'ll", "'ve", "ly")):
            break
        if at > start and (third_person(word) or (word.endswith("ing") and words[at - 1].endswith("s"))):
            break
        if word.endswith("'s"):
            if not following or following in _SAYS or not following[0].isalnum() or following.endswith(("ing", "ly")):
                return at + 1 - place, True
        elif word in parts and following not in parts:
            return at + 1 - place, False
        at += 1
    return (at - place if at > start else 0), False


def topic_of(thought: str, parts: Sequence[str]) -> tuple[str, str] | None:
    """The thing a clause is about and the rest with "it" or "they" for it; None where it does not begin with one.

    "The tail's a log" gives ("the tail", "it's a log").
    """
    words = thought.replace("’", "'").split()
    bare = [word.rstrip(",") for word in words]
    size, verb = _name_at(words, 0, parts) if words else (0, False)
    if not size or size >= len(words) or bare[size - 1].removesuffix("'s").lower() in _VAGUE:
        return None
    name = " ".join([*bare[: size - 1], bare[size - 1].removesuffix("'s") if verb else bare[size - 1]])
    pronoun = "they" if _is_plural(name) else "it"
    if verb:
        return _definite(name), " ".join(["it's" if pronoun == "it" else "they're", *words[size:]])
    follows = words[size].lower()
    says = follows in FINITE or third_person(follows) or (pronoun == "they" and follows in VERBS)
    return (_definite(name), " ".join([pronoun, *words[size:]])) if says and words[size - 1] == bare[size - 1] else None


def _definite(name: str) -> str:
    """The name with the article or owner it has once it was named: "a hand" gives "the hand"."""
    first, _, rest = name.partition(" ")
    if first.lower() in _OWN:
        return f"{first.lower()} {rest}"
    return f"the {rest}" if first.lower() in _POINTING and rest else f"the {name}"


def third_person(word: str) -> bool:
    """Whether a word looks like a verb of the third person: "slides"."""
    return word.endswith("s") and (word[:-1] in VERBS or word.removesuffix("es") in VERBS)


def _is_plural(thing: str) -> bool:
    last = thing.lower().rsplit(maxsplit=1)[-1]
    both = " and " in thing or thing.lower().startswith(("both", "these", "those"))
    return both or (last.endswith("s") and not last.endswith(("ss", "us", "is"))) or last in {"feet", "teeth", "people"}


_PLAIN = {"lipsync": "lip sync", "polish": "clean-up", "secondary": "secondary motion", "contact": "contacts"}
_PLAIN |= {"workflow": "way of working", "appeal": "drawing", "contrast": "exaggeration"}
_OF_SOMEBODY = frozenset(
    "acting posing weight timing spacing arcs overlap anticipation eyes face hands lipsync limbs".split()
)
"""Categories that belong to a character: "Osk's timing", yet "the camera"."""

_MANY_PARTS = 3


def label_lead(category: str, who: str | None, parts: Mapping[str, str], plural: bool | None = None) -> str:
    """What a note is about by its labels: "Wenna's elbow", "the feet", "the timing".

    `parts` are the body parts as they were called; `plural` says which of them "it" or "them" can mean.
    """
    owner = (f"{who}'s" if who[0].isupper() else f"the {who}'s") if who else "the"
    called = [name for name in dict.fromkeys(parts.values()) if plural is None or _is_plural(name) == plural]
    if 0 < len(called) < _MANY_PARTS:
        return f"{owner} {' and '.join(called)}"
    return f"{owner if category in _OF_SOMEBODY else 'the'} {_PLAIN.get(category, category)}"

