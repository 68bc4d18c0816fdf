"""Turns what a mentor suggests into what a student does: "I would keep those closed" gives "keep those closed".

Only the wrapping is taken off; the words that remain are the mentor's own. Where a wrapping can be mere talk as
well ("you could set your watch by them"), what it wraps decides.
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
    caused,
    first_word,
)
from critsheet.notes.tentative import forbidden, tried
from critsheet.notes.verbs import FINITE, GERUNDS, PREPOSITIONS, VERBS

__all__ = ["VERBS", "imperative", "without_openers"]

_NOT_DONE = frozenset(
    "see tell feel hear know imagine say be notice read understand believe forget wish guess even only always never "
    "practically almost actually really stretch call think ever remember like want".split()
)
"""After "you can", these words describe ("you can see it here"), they ask for nothing."""

_LOOKING = frozenset(
    "look watch feel test have get go compare scrub put take want start do stop show cover squint flip track draw run "
    "step hold count mumble hide play freeze pause zoom trace pull think change".split()
)
"""After "if you", these words say when something shows, not what to do."""

_TALKED = frozenset("start begin show draw point check run go track touch flag step play".split())
"""After "I want to", these words say what the mentor does next."""

_IDIOM = re.compile(
    r"^(?:set (?:your|my|a) (?:watch|clock)|take (?:my word|it from me|your pick)|go (?:figure|mad|daft|to \d)|"
    r"mark my words|bear with|save (?:your|him|her|it)self|hang on(?! to)|hold on(?! to)|"
    r"wait(?: a (?:sec|second|minute))?(?:[.,!?]|$)|stop (?:it )?(?:here|there|right there)|stop me|"
    r"get (?:it|that|this|me|what|rid of me)$|"
    r"(?:don't|do not|never) (?:get me|ask|worry|like|know|mind|care|think|need|want|believe|even|tell|be |you|see|"
    r"hear|"
    r"feel|say|remember|have)|not\b|"
    r"(?:have|make|show|give) (?:(?:\w+ )?(?:is|are|was|were)|and|or|but|not|so|then|a look)\b|"
    r"watch (?!out\b|for\b|that\b|your\b|real\b|some\b|a \b)|come on|come to think|"
    r"have (?:you|i|we|they|he|she|(?:never|ever|been|got|to|a think|a feeling|an idea))\b|hear a pin|fit a|drive a|"
    r"park a|do (?:people|"
    r"you|i|we|they|he|she|it|n't)\b|give or take|tell (?:your|him|her|them|me|us)\b|\w+ if (?:you|it)\b|"
    r"try me|look (?:like|here|there)|fix that for you|let (?:me|us|you)\b|make sense|kick yourself|count on|trust me)|"
    r"\bmyself\b",
    re.IGNORECASE,
)
"""What has the form of a command and commands nothing in the shot."""

_FEW, _SOON = 3, 4
"""A remedy without a verb has three words at least, and its "first" among the first four."""
_SUBJECTS = frozenset("i you he she it they we there this that who what".split())
_WHEN = frozenset("between when after before while during as so and".split())
_COMPARED = frozenset(
    "slower faster quicker bigger smaller longer shorter higher lower later earlier sooner softer sharper stronger "
    "heavier lighter wider deeper straighter tighter looser closer".split()
)
_LATER = frozenset("then behind after afterwards later last second follow following".split())
_UNTIL = frozenset("until till before".split())
_FRONTED = re.compile(
    r"^(?P<front>(?:before|after|when|once|next time|at|on|from|in|as|while)\b(?![^,]*\b(?:look|see|watch|I|I'm)\b)"
    r"[^,]{2,60}), (?P<rest>\S.*)$",
    re.IGNORECASE,
)
_VAGUE_WHO = frozenset("anybody anyone nobody everyone everybody somebody someone people you who what there".split())


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
    for shape in (_asked_of_you, _wished, _would, _needed, _commanded, _named_only, _fronted):
        made = made or shape(text)
    made = re.sub(rf"^{SOFTENERS}", "", made.strip(" ,;:-—"), flags=re.IGNORECASE) if made else ""
    return made if made and first_word(made) not in _SUBJECTS and not _IDIOM.search(made) else None


def _asked_of_you(text: str) -> str | None:
    match = re.match(rf"^(?:maybe |perhaps |so )?{YOU}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    asked = re.match(r"^(?:(?:so |maybe )?if|would you|will you|can we|could we|you'd)\b", text, re.IGNORECASE)
    if asked and (first_word(rest) not in VERBS or ("if" in asked[0].lower() and first_word(rest) in _LOOKING)):
        return None
    return None if first_word(rest) in _NOT_DONE else rest


def _wished(text: str) -> str | None:
    """ "I want her to look", "I'd love to see more of it", "I want a fight"."""
    match = re.match(rf"^{SOFTENERS}{WANT}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = f"to {match['rest']}" if "wanna" in text.lower()[: match.start("rest")] else match["rest"]
    if shown := re.match(r"^(?:to )?(?:be able to )?(?:see|feel|hear|get|read|know|have)\s+(.*)$", rest, re.IGNORECASE):
        return f"show {shown[1]}" if first_word(shown[1]) not in {"if", "whether", "what"} else None
    if done := re.match(r"^to\s+(.*)$", rest, re.IGNORECASE):
        shows_you = re.match(r"^(?:show|tell|give|send) you\b", done[1], re.IGNORECASE)
        return done[1] if first_word(done[1]) in VERBS - _TALKED and not shows_you else None
    return _wished_of(rest)


def _wished_of(rest: str) -> str | None:
    """ "Her to look" gives "have her look"; "that she looks", "make sure that she looks"; "a fight", "show a fight"."""
    if there := re.match(r"^there to be\s+(.*)$", rest, re.IGNORECASE):
        return f"show {there[1]}"
    if re.match(r"^that (?:he|she|it|they|the|his|her)\b", rest, re.IGNORECASE):
        return f"make sure {rest}"
    who = re.match(r"^(?P<who>(?:[\w'-]+,?\s+){1,6}?)to (?P<be>be )?(?P<rest>\S.*)$", rest, re.IGNORECASE)
    if first_word(rest) in {"you", "us"} and who:
        return None
    if who:
        return caused(who["who"].strip(" ,"), bool(who["be"]), who["rest"])
    if first_word(rest) in {"you", "us", "that", "it", "more", "one"} and len(rest.split()) < _FEW:
        return None
    state = re.match(r"^(?:him|her|them|it|that|those|these)\s+(?!\w+(?:'s)?$)|^(?:[\w'-]+ ){2,4}\w+ing\b", rest)
    return f"{'have' if state and not _SHOWN.match(rest) else 'show'} {rest}"


_SHOWN = re.compile(r"^(?:(?:that|those|these)|her (?!\w+(?:ing|ed)\b|(?:back|up|down|out|in)\b)[a-z]+) ")
"""A thing to show, where "her" owns it; "her leaving" is a state to have her in."""


def _would(text: str) -> str | None:
    match = re.match(rf"^{SOFTENERS}{WOULD}\s+{SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    first = first_word(rest)
    if first == "say":
        return imperative(re.sub(r"^say,?\s+", "", rest, flags=re.IGNORECASE))
    if rathered := re.match(r"^rather (?:have|see) (?P<rest>\S.*)$", rest, re.IGNORECASE):
        return f"have {rathered['rest']}"
    if first == "have":
        past = r"^have (?:been|thought|gone|liked|loved|said|done|had|\w+ed)\b"
        return None if re.match(past, rest, re.IGNORECASE) else rest
    if first in {"go", "be"}:
        return rest if re.match(r"^(?:go|be) (?:for|a|back|with|through|much|more|careful)\b", rest) else None
    return None if first in NOT_ACTIONS or (first.endswith(("ed", "en", "wn", "ught")) and first not in VERBS) else rest


def _needed(text: str) -> str | None:
    """ "The hips need to lead" gives "have the hips lead"; "it should be slower", "make it slower"."""
    match = re.match(
        rf"^{WHO}\s*{SOFTENERS}(?:(?:might |may |could |would )?{NEEDS} to|gotta|'s gotta|should|must|ought to|oughta|"
        rf"(?P<could>could)|'ve got to|'s got to)\s+{SOFTENERS}(?P<be>be\s+)?(?P<rest>\S.*)$",
        text,
        re.IGNORECASE,
    )
    if match:
        who, rest = match["who"], re.sub(r"^(?:have to|need to|want to)\s+", "", match["rest"])
        if rest.lower().startswith(("have been", "be able", "not ", "use ", "do with ", "see ", "feel ", "hear ")):
            return _given(text)
        supposed = match["could"] and match["be"] and re.match(r"^(?:the|a|an|any\w+|that|it)\b", rest)
        told = first_word(rest) in _SUBJECTS | {"what"} or re.match(r"^have \w+(?:ed|en)\b", rest)
        if supposed or told or first_word(who) in _VAGUE_WHO:
            return None
        return caused(re.sub(r"'s$", "", who), bool(match["be"]), rest)
    if there := re.match(
        r"^there\s+(?:must|should|needs to|need to|has to|ought to) be (?P<rest>\S.*)$", text, re.IGNORECASE
    ):
        return f"have {there['rest']}"
    return _given(text)


def _given(text: str) -> str | None:
    """ "The landing wants more weight" gives "give the landing more weight"; "it wants pinning", "pin it"."""
    given = re.match(
        rf"^{WHO}\s*{SOFTENERS}(?P<how>needs|wants|need|could use|could do with)\s+(?P<rest>(?!to\b)\S.*)$",
        text,
        re.IGNORECASE,
    )
    if not given or first_word(given["who"]) in _VAGUE_WHO:
        return None
    who, (first, _, more) = as_object(given["who"]), given["rest"].partition(" ")
    if first.lower() in GERUNDS:
        return f"{GERUNDS[first.lower()]} {who} {more}".strip()
    story = given["how"] == "wants" and who in {"him", "her", "them"} and first in {"the", "his", "her", "it", "out"}
    return None if story or first.lower() in PREPOSITIONS | {"it", "its"} else f"give {who} {given['rest']}"


_LOOKED_AT = re.compile(
    r"^(?:(?:look|watch|see|feel|play|go)\s+(?:at\b|this|that|it|here|how|you|the way)|"
    r"do (?:(?:it|this|that)(?: again| like\b|[,.;]|$)|here|how|you)|(?:do|have)\b.*\?$|(?:let|show) (?:me|us)\b|"
    r"frames? (?:\d|(?:one|two|three|four|five|six|seven|eight|nine|ten|\w+teen|\w+ty)\b))",
    re.IGNORECASE,
)
"""Looks at the screen, questions and frame numbers that begin like a command."""


def _commanded(text: str) -> str | None:
    first, *after = re.findall(r"[\w']+", text.lower()) or [""]
    if shown := re.match(r"^give (?:me|us)\s+(?P<what>\S.*)$", text, re.IGNORECASE):
        return f"show {shown['what']}"
    said_of = after and after[0] in (FINITE - {"needs", "just"}) | _SUBJECTS - {"it", "this", "that"}
    return None if first not in VERBS or said_of or _LOOKED_AT.match(text) else text


def _named_only(text: str) -> str | None:
    """A remedy without a verb: "more drag on the tail", "no blink until he turns", "head first, chest two behind"."""
    words = re.findall(r"[\w']+", text.lower())
    if (
        len(words) < _FEW
        or words[0] in PREPOSITIONS | _WHEN
        or any(
            word in FINITE or word in _SUBJECTS or "'" in word for word in words if words[0] not in {"no", "nothing"}
        )
    ):
        return None
    if words[0] in {"more", "less", "fewer"} or (words[0] in {"no", "nothing"} and _UNTIL & set(words)):
        return f"{'show' if words[0] == 'more' else 'have'} {text}"
    if words[0] in _COMPARED:
        return f"make it {text}"
    return (
        f"have {text[0].lower()}{text[1:]}"
        if "first" in words[1:_SOON] and any(word in _LATER for word in words[2:])
        else None
    )


def _fronted(text: str) -> str | None:
    """A command after its time or place: "before you touch a key, film yourself"."""
    match = _FRONTED.match(text)
    made = imperative(match["rest"]) if match else None
    return f"{match['front']}, {made}" if match and made else None
