"""What "it" and "them" stand for, and what a note is about: the things that a mentor's own words name.

People take "it" for what the last clauses spoke of: their subject ("the camera drifts, lock it off"), failing that
the body part or prop named last. Where nothing fits, the note's labels say what it is about.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.notes.verbs import DETERMINERS, FINITE, HAPPENS, PREPOSITIONS, VERBS, third_person

_FAR = 5
"""A thing not spoken of in so many clauses is out of mind."""

_FADES, _LIKELY = 0.5, 1.4
"""How much likelier a thing must be for each clause that lies between, and how likely at least; by trial."""

_EARLY = 4
"""In words: a pronoun later in a command mostly stands for what the command itself names."""

_LONGEST_NAME, _MANY_PARTS = 4, 3
_PLURAL = frozenset("them 'em themselves these those they".split())
_POINTING = frozenset("the his her their its your my our that this these those both a an".split())
_YOURS = frozenset("my your our".split())
_OWN = frozenset("his her their its".split())
_SIDES = frozenset("left right back front near far upper lower top bottom other whole".split())
_SAYS = PREPOSITIONS | DETERMINERS | frozenset("not just too so very all gone been got like still".split())
_ENDS = (
    FINITE
    | PREPOSITIONS
    | frozenset(
        "i you he she it we they who which what when where while because if as than and or but so then now here there "
        "still even already too very really all also again not him them me us that this these those never always like "
        "going coming getting doing be being been goes go same that's it's he's she's there's who's what's".split()
    )
)
"""At these words the name of a thing is over."""

_VAGUE = frozenset(
    "way ways thing things bit bits lot lots one ones moment time times rest same fact end start beginning whole other "
    "second first third last minute side sides problem point frame frames drawing drawings note notes idea kind sort "
    "stuff part parts place version round pass shot week weeks number next only best most little big main own starting "
    "couple bunch five six seven eight nine ten half more few year years day days seconds difference bang "
    "nitpick mess thought question poster joke".split()
)
_POINTER = re.compile(
    r"(?<![\w'])(?P<what>it|them|'em|(?:that|this|those|these)(?= (?:up|down|in|out|to|until|till|off|on|over|through|"
    r"closed|open|alive|a|with|from|at|for|before|after|so|and|when|by|later|earlier|sooner|just|all|as|there|here|"
    r"round|"
    r"around|first|again|away|\d\S*)\b|[,.;]|$)|(?<=let )(?:that|this)(?= (?:be|go|come|flop|hang|drop|fall|drag|lag|"
    r"swing|"
    r"settle|land|lead|follow|sit|stay|move|happen|breathe|hold|read|ride|die)\b)|"
    r"one(?= (?:in|there|here|at|on|before|after|as|when|where|right)\b|$))(?![\w-])(?!'[^s ])",
    re.IGNORECASE,
)
_IDIOM = re.compile(r"\b(?:call it|go for it|on with it|have at it|leave it|make it so|catch it)$", re.IGNORECASE)


@dataclass(frozen=True)
class Named:
    """What a note names: `people` that "it" cannot stand for, `props`, and `parts` of bodies as they were called."""

    people: Sequence[str]
    props: Sequence[str]
    parts: Sequence[str]


@dataclass(frozen=True)
class _Thing:
    name: str
    plural: bool
    is_subject: bool
    after_preposition: bool


def named(text: str, before: Sequence[str], known: Named) -> tuple[str, bool | None]:
    """The command with its first "it" or "them" named, and None; else as it is, and whether it means several.

    `before` are the thoughts said before it. A pronoun late in the command, or after a thing that it can stand for,
    stays.
    """
    match = _POINTER.search(text)
    if not match or len(text[: match.start()].split()) > _EARLY or _IDIOM.search(text[: match.end()]):
        return text, None
    if match["what"].lower() == "one" and len(text[: match.start()].split()) > 1:
        return text, None
    plural = match["what"].lower() in _PLURAL
    if names_one(text[: match.start()], known, plural=plural):
        return text, None
    thing = None if match["what"].lower() == "one" else meant(before, known, plural=plural)
    thing = None if thing and thing.partition(" ")[2] in text else thing
    return (text[: match.start()] + thing + text[match.end() :], None) if thing else (text, plural)


def names_one(text: str, known: Named, *, plural: bool) -> bool:
    """Whether a text names a thing that "it" (or several that "them") can stand for after it."""
    return any(thing.plural == plural for thing in _things(text, known))


def meant(before: Sequence[str], known: Named, *, plural: bool) -> str | None:
    """What "it" (or "them") stands for after these thoughts; None where nothing is likely enough."""
    scored = [
        (_likely(thing, known) - _FADES * distance, -distance, place, thing.name)
        for distance, thought in enumerate(reversed(before[-_FAR:]))
        for place, thing in enumerate(_things(thought, known))
        if thing.plural == plural
    ]
    best = max(scored, default=None)
    return _definite(best[-1]) if best and best[0] >= _LIKELY else None


def _likely(thing: _Thing, known: Named) -> float:
    """How likely people speak on of a thing: its clause is about it, it is a body part or prop, no mere place."""
    name = thing.name.lower()
    known_one = bool(set(name.split()) & set(known.parts)) or any(prop.lower() in name for prop in known.props)
    return 2.0 * thing.is_subject + 0.4 * known_one + 1.0 * (not thing.after_preposition)


def _things(thought: str, known: Named) -> list[_Thing]:
    """The things that a thought names with an article, or as a body part, in order; no persons, nothing vague."""
    words = re.findall(r"[\w'’-]+|[,.;:?!…()]", thought.replace("’", "'"))
    found: list[_Thing] = []
    place = 0
    while place < len(words):
        size, verb = _name_at(words, place, known.parts)
        if size:
            name = " ".join(words[place : place + size])
            name = name.removesuffix("'s") if verb else name
            person = any(who.lower() == name.lower().removeprefix("the ") for who in known.people)
            if name.lower().rsplit(maxsplit=1)[-1] not in _VAGUE and not person:
                after = place > 0 and words[place - 1].lower() in PREPOSITIONS
                subject = place <= 1 and not after and _is_spoken_of(words, place + size, verb=verb)
                found.append(_Thing(name, _is_plural(name), subject, after))
        place += max(1, size)
    return found


def _is_spoken_of(words: Sequence[str], place: int, *, verb: bool) -> bool:
    """Whether something is said of the name that ends here, or it stands alone."""
    if verb or place >= len(words) or not words[place][0].isalnum() or words[place].lower() not in PREPOSITIONS:
        return True
    return any(word.lower() in FINITE or third_person(word.lower()) for word in words[place:])


def _name_at(words: Sequence[str], place: int, parts: Sequence[str]) -> tuple[int, bool]:
    """How many words from here name a thing (0 where none is named), and whether the last one holds "is"."""
    first = words[place].lower()
    own = first in parts or (first in _SIDES and place + 1 < len(words) and words[place + 1].lower() in parts)
    if not own and first not in _POINTING - _YOURS:
        return 0, False
    start = at = place if own else place + 1
    while at < len(words) and at - start < _LONGEST_NAME:
        word, following = words[at].lower(), words[at + 1].lower() if at + 1 < len(words) else ""
        if not word[0].isalnum() or word in _ENDS or word.endswith(("n't", "'re", "'ll", "'ve", "'d", "ly")):
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


def topic_of(thought: str, known: Named) -> tuple[str, str] | None:
    """The thing a clause is about and the rest with "it" or "they" for it; None where it does not begin with one.

    "The tail's a log" gives ("the tail", "it's a log").
    """
    words = thought.replace("’", "'").split()
    bare = [word.rstrip(",.;:") for word in words]
    size, verb = _name_at(bare, 0, known.parts) if all(bare) and bare else (0, False)
    if not size or size >= len(words) or words[:size] != bare[:size]:
        return None
    name = " ".join(bare[:size])
    name = name.removesuffix("'s") if verb else name
    if name.lower().rsplit(maxsplit=1)[-1] in _VAGUE or name.lower().partition(" ")[2] in map(str.lower, known.people):
        return None
    pronoun = "they" if _is_plural(name) else "it"
    if verb:
        return _definite(name), " ".join(["it's" if pronoun == "it" else "they're", *words[size:]])
    follows = bare[size].lower()
    says = follows in FINITE or third_person(follows) or (pronoun == "they" and follows in VERBS | HAPPENS)
    return (_definite(name), " ".join([pronoun, *words[size:]])) if says else None


def _definite(name: str) -> str:
    """The name with the article or owner it has once it was named: "a hand" gives "the hand"."""
    first, _, rest = name.partition(" ")
    if first.lower() in _OWN:
        return f"{first.lower()} {rest}"
    return f"the {rest}" if first.lower() in _POINTING and rest else f"the {name}"


def _is_plural(thing: str) -> bool:
    last = thing.lower().rsplit(maxsplit=1)[-1]
    both = " and " in thing or thing.lower().startswith(("both", "these", "those"))
    return both or (last.endswith("s") and not last.endswith(("ss", "us", "is"))) or last in {"feet", "teeth", "people"}


_PLAIN = {
    "lipsync": "lip sync",
    "polish": "clean-up",
    "secondary": "secondary motion",
    "contact": "contacts",
    "workflow": "way of working",
    "appeal": "drawing",
    "contrast": "exaggeration",
}
_OF_SOMEBODY = frozenset(
    "acting posing weight timing spacing arcs overlap anticipation eyes face hands lipsync limbs".split()
)
"""Categories that belong to a character: "Osk's timing", yet "the camera"."""

_OF_NOBODY = frozenset("camera staging workflow".split())


def label_lead(
    category: str, who: str | None, parts: Sequence[str], *, prop: bool = False, plural: bool | None = None
) -> str:
    """What a note is about by its labels: "Wenna's elbow", "the feet", "the timing".

    `parts` are the body parts as they were called; `prop` says that `who` is a thing; `plural` says which of them
    "it" or "them" can mean.
    """
    called = [name for name in dict.fromkeys(parts) if plural is None or _is_plural(name) == plural]
    called = called[:1] if plural is False else called
    name = (who if who[0].isupper() else f"the {who}") if who else ""
    owner = f"{name}'s" if name else "the"
    if 0 < len(called) < _MANY_PARTS and not prop:
        return f"{owner} {' and '.join(called)}"
    if name and (prop or category not in _OF_SOMEBODY | _OF_NOBODY):
        return name
    return f"{owner if category in _OF_SOMEBODY else 'the'} {_PLAIN.get(category, category)}"
