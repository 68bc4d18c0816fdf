"""Turns what a mentor suggests into what a student does: "I would keep those closed" gives "keep those closed".

Only the wrapping is taken off; the words that remain are the mentor's own.
"""

import re

from critsheet.notes.phrasings import (
    ADVERBS,
    NEEDS,
    NOT_ACTIONS,
    OPENERS,
    SOFTENERS,
    WANT,
    WHO,
    WOULD,
    YOU,
    as_object,
    first_word,
)
from critsheet.notes.tentative import forbidden, tried
from critsheet.notes.thoughts import thoughts
from critsheet.notes.verbs import FINITE, PREPOSITIONS, VERBS

__all__ = ["VERBS", "imperative", "suggestion_in", "without_openers"]

_NOT_DONE = frozenset("see tell feel hear know imagine say be notice".split())
"""After "you can", these words describe ("you can see it here"), they ask for nothing."""

_LOOKING = frozenset("look watch feel test have get go compare scrub put take want start do stop show".split())
"""After "if you", these words say when something shows, not what to do."""


_FEW, _SOON = 3, 4
"""A remedy without a verb has three words at least, and its "first" among the first four."""
_SUBJECTS = frozenset("i you he she it they we there this that who what".split())
_WHEN = frozenset("between when after before while during as so and".split())
_COMPARED = frozenset(
    "slower faster quicker bigger smaller longer shorter higher lower later earlier sooner softer sharper stronger "
    "heavier lighter wider deeper straighter tighter looser closer".split()
)
_LATER = frozenset("then behind after afterwards later last second follow following".split())


def without_openers(clause: str) -> str:
    """The clause without "so", "and then", "okay" and the like before it."""
    return OPENERS.sub("", clause).strip(" ,;:-—")


def imperative(clause: str) -> str | None:
    """The clause as a command in the mentor's own words, or None where it suggests nothing.

    Fillers and repeats are taken to be gone already.
    """
    text = without_openers(clause.replace("’", "'"))
    text = re.sub(rf"^{ADVERBS}\s*,?\s+(?=\S)", "", text, flags=re.IGNORECASE)
    made = tried(text, imperative) or forbidden(text, imperative)
    for shape in (_asked_of_you, _wished, _would, _needed, _commanded, _named_only):
        made = made or shape(text)
    return made.strip(" ,;:-—") if made else None


def suggestion_in(clause: str) -> tuple[str, str] | None:
    """The first suggestion in a clause, also where it starts half-way, with the words before it; None where none is.

    Without punctuation a clause often holds the fault and then the remedy.
    """
    before: list[str] = []
    for words in thoughts(clause.split()):
        if made := imperative(" ".join(words)):
            return " ".join(before).strip(" ,;:-—"), made
        before += words
    return None


def _asked_of_you(text: str) -> str | None:
    match = re.match(rf"^(?:maybe |perhaps |so )?{YOU}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    if re.match(r"^(?:so |maybe )?if\b", text, re.IGNORECASE) and (
        first_word(rest) not in VERBS or first_word(rest) in _LOOKING
    ):
        return None
    return None if first_word(rest) in _NOT_DONE else rest


def _wished(text: str) -> str | None:
    """ "I want her to look", "I'd love to see more of it", "I want a fight"."""
    match = re.match(rf"^{SOFTENERS}{WANT}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    if shown := re.match(r"^(?:to )?(?:be able to )?(?:see|feel|hear|get|read|know|have)\s+(.*)$", rest, re.IGNORECASE):
        return f"show {shown[1]}"
    if done := re.match(r"^to\s+(.*)$", rest, re.IGNORECASE):
        shows_you = re.match(r"^(?:show|tell|give|send) you\b", done[1], re.IGNORECASE)
        return done[1] if first_word(done[1]) in VERBS and not shows_you else None
    return _wished_of(rest)


def _wished_of(rest: str) -> str | None:
    """ "Her to look" gives "have her look"; "that she looks", "make sure that she looks"; "a fight", "show a fight"."""
    if there := re.match(r"^there to be\s+(.*)$", rest, re.IGNORECASE):
        return f"show {there[1]}"
    if re.match(r"^that (?:he|she|it|they|the|his|her)\b", rest, re.IGNORECASE):
        return f"make sure {rest}"
    who = re.match(r"^(?P<who>(?:[\w'-]+\s+){1,4}?)to (?P<be>be )?(?P<rest>.*)$", rest, re.IGNORECASE)
    if who:
        return f"{'make' if who['be'] else 'have'} {who['who'].strip()} {who['rest']}"
    return None if first_word(rest) in {"you", "that", "it"} else f"show {rest}"


def _would(text: str) -> str | None:
    match = re.match(rf"^{SOFTENERS}{WOULD}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    first = first_word(rest)
    if first == "say":
        return imperative(re.sub(r"^say,?\s+", "", rest, flags=re.IGNORECASE))
    if first == "have":
        return (
            None if re.match(r"^have (?:been|thought|gone|liked|loved|said|done|had)\b", rest, re.IGNORECASE) else rest
        )
    if first in {"go", "be"}:
        return rest if re.match(r"^(?:go|be) (?:for|a|back|with|through|much|more|careful)\b", rest) else None
    return None if first in NOT_ACTIONS else rest


def _needed(text: str) -> str | None:
    """ "The hips need to lead" gives "have the hips lead"; "it should be slower", "make it slower"."""
    match = re.match(
        rf"^{WHO}\s*{SOFTENERS}(?:{NEEDS} to|gotta|'s gotta|should|must|ought to|oughta|could|'ve got to|'s got to)"
        rf"\s+{SOFTENERS}(?P<be>be\s+)?(?P<rest>\S.*)$",
        text,
        re.IGNORECASE,
    )
    if match:
        who, rest = as_object(match["who"]), re.sub(r"^(?:have to|need to|want to)\s+", "", match["rest"])
        if rest.lower().startswith(("have been", "be able", "not ", "use ", "do with ")):
            return _given(text)
        return f"make {who} {rest}" if match["be"] else f"have {who} {rest}"
    if there := re.match(
        r"^there\s+(?:must|should|needs to|need to|has to|ought to) be (?P<rest>\S.*)$", text, re.IGNORECASE
    ):
        return f"have {there['rest']}"
    return _given(text)


def _given(text: str) -> str | None:
    """ "The landing wants more weight" gives "give the landing more weight"."""
    given = re.match(
        rf"^{WHO}\s*{SOFTENERS}(?:needs|wants|need|could use|could do with)\s+(?P<rest>(?!to\b)\S.*)$",
        text,
        re.IGNORECASE,
    )
    return f"give {as_object(given['who'])} {given['rest']}" if given else None


def _commanded(text: str) -> str | None:
    first = first_word(text)
    if first == "give" and re.match(r"^give (?:me|us)\b", text, re.IGNORECASE):
        return "show " + re.sub(r"^give (?:me|us)\s+", "", text, flags=re.IGNORECASE)
    if first not in VERBS or re.match(r"^(?:let|show) (?:me|us)\b", text, re.IGNORECASE):
        return None
    if re.match(r"^frames? (?:\d|(?:one|two|three|four|five|six|seven|eight|nine|ten|\w+teen|\w+ty)\b)", text, re.I):
        return None
    if re.match(
        r"^(?:look|watch|see|feel|play|go|do)\s+(?:at\b|this|that|it|here|how|you|the way)", text, re.IGNORECASE
    ):
        return None
    return text


def _named_only(text: str) -> str | None:
    """A remedy without a verb: "more drag on the tail", "no blink until he turns", "head first, chest two behind"."""
    words = re.findall(r"[\w']+", text.lower())
    if (
        len(words) < _FEW
        or words[0] in PREPOSITIONS | _WHEN
        or any(word in FINITE or word in _SUBJECTS or "'" in word for word in words)
    ):
        return None
    if words[0] in {"more", "less", "fewer", "no", "nothing"}:
        return f"{'show' if words[0] == 'more' else 'have'} {text}"
    if words[0] in _COMPARED:
        return f"make it {text}"
    return (
        f"have {text[0].lower()}{text[1:]}"
        if "first" in words[1:_SOON] and any(word in _LATER for word in words[2:])
        else None
    )
