"""Remedies put as a question, a wish or a ban: "what if he waits", "it may not slide"."""

import re
from collections.abc import Callable

from critsheet.notes.phrasings import NOT_ACTIONS, WHO, as_object, caused, first_word
from critsheet.notes.verbs import GERUNDS, VERBS

Command = Callable[[str], str | None]
"""What makes a command of the words inside."""

_TRIED = re.compile(
    r"^(?P<how>what if|(?:you (?:could|can|might) )?see (?:how|what) (?:it|that) (?:feels|looks|is like) if|"
    r"how about|what about|consider|"
    r"(?:it'd|it would|that would|wouldn't it|would it) be (?:nice|good|better|great) (?:if|to))\s+(?P<rest>\S.*)$",
    re.IGNORECASE,
)
_NEVER = (
    r"(?:shouldn't|should not|must not|mustn't|may not|should never|must never|doesn't want to|"
    r"doesn't need to|don't need to|needn't)"
)


_ASKED_NOT = re.compile(
    rf"^(?:shouldn't|couldn't|wouldn't|mustn't|can't)\s+{WHO}\s+(?:just )?(?P<be>be )?(?P<rest>(?!have\b)\S.*)$",
    re.IGNORECASE,
)
_DESCRIBES = re.compile(
    r"^(?:[\w']+ ){0,4}?(?:\w+'s|\w+'re|is|are|was|needs|wants|has|does|looks|feels|goes)\b", re.IGNORECASE
)


def tried(text: str, command: Command) -> str | None:
    """ "How about delaying the head" gives "delay the head"; "what if he waits", "see what happens if he waits"."""
    match = _TRIED.match(text)
    if not match:
        return _wondered(text, command)
    rest, how = re.split(r"\bwhat if ", match["rest"].rstrip(" ?"))[-1], match["how"].lower()
    first, _, more = rest.partition(" ")
    if first.lower() in GERUNDS and more:
        return f"{GERUNDS[first.lower()]} {more}"
    if how.endswith(" to"):
        return command(f"I want to {rest}")
    if you := re.match(r"^(?:you|we)\s+(?:just\s+)?(?P<do>\w+ .*)$", rest, re.IGNORECASE):
        return you["do"] if first_word(you["do"]) in VERBS else None
    return f"see what happens if {rest}" if how.endswith(" if") else f"try {rest}"


def _wondered(text: str, command: Command) -> str | None:
    """ "I wonder if it could lean" gives "have it lean"; "it'd read if she waits", "see what happens if she waits".

    "I wonder if it's too calm" finds a fault and asks for nothing.
    """
    if match := _ASKED_NOT.match(text):
        rest = match["rest"].rstrip(" ?")
        if match["who"].lower() in {"it", "that"} and re.match(r"^(?:better|nice|good|great|funny|funnier)\b", rest):
            return None
        return caused(match["who"], bool(match["be"]), rest)
    if match := re.match(
        r"^(?:might|could|should|can|would)\s+(?P<who>(?:[\w']+ ){1,4}?)not (?:just )?(?P<be>be )?(?P<rest>\S.*)$",
        text,
        re.IGNORECASE,
    ):
        asks = first_word(match["who"]) in {"you", "we", "i"}
        return None if asks else caused(match["who"].strip(), bool(match["be"]), match["rest"].rstrip(" ?"))
    if match := re.match(
        rf"^(?:might|could|should)\s+{WHO}\s+(?:not )?(?:just )?(?P<be>be )?(?P<rest>(?!have\b)\S.*)$",
        text,
        re.IGNORECASE,
    ):
        return caused(match["who"], bool(match["be"]), match["rest"].rstrip(" ?"))
    if match := re.match(r"^I (?:do |just )?wonder (?:if|whether) (?P<rest>\S.*)$", text, re.IGNORECASE):
        return command(match["rest"]) or (
            None if _DESCRIBES.match(match["rest"]) else f"see what happens if {match['rest']}"
        )
    match = re.match(
        r"^(?:it|that|this|he|she|they|I)(?: might| would| could|'d)\b[^,;]*?\bif "
        r"(?P<rest>(?!you|we\b|I\b|it'd\b)\S+ \S.*)$",
        text,
        re.IGNORECASE,
    )
    return f"see what happens if {match['rest']}" if match else None


def forbidden(text: str, command: Command) -> str | None:
    """ "It may not travel" gives "don't let it travel"; "I don't want the hinge", "don't show the hinge"."""
    if mine := re.match(
        r"^(?P<who>I|we) (?:don't|do not) (?P<how>want|need) (?P<to>to )?(?P<rest>\S.*)$", text, re.IGNORECASE
    ):
        return _unwanted(mine["who"], mine["how"], mine["rest"], command, to=bool(mine["to"]))
    if yours := re.match(r"^you (?:don't|do not) (?:need|want)\s+(?P<to>to )?(?P<rest>\S.*)$", text, re.IGNORECASE):
        return f"don't {yours['rest']}" if yours["to"] else f"do without {yours['rest']}"
    if mine := re.match(
        r"^(?:I wouldn't|I'd not|I would not|you shouldn't|you mustn't)\s+(?P<rest>\S.*)$", text, re.IGNORECASE
    ):
        return None if first_word(mine["rest"]) in NOT_ACTIONS else f"don't {mine['rest']}"
    if other := re.match(rf"^{WHO}\s+{_NEVER}\s+(?P<be>be )?(?P<rest>\S.*)$", text, re.IGNORECASE):
        return (
            f"don't let {as_object(other['who'])} {other['be'] or ''}{other['rest']}"
            if first_word(other["who"]) != "you"
            else None
        )
    return None


def _unwanted(who: str, how: str, rest: str, command: Command, *, to: bool) -> str | None:
    """What a mentor does not want. "We don't need a fourth round" speaks of the talk, not of the shot."""
    if how.lower() == "need":
        return f"do without {rest}" if not to and first_word(rest) in {"the", "that", "this", "his", "her"} else None
    if to and (seen := re.match(r"^(?:see|hear|feel|have|be seeing)\s+(?P<what>\S.*)$", rest, re.IGNORECASE)):
        return f"don't show {seen['what']}"
    if to:
        return f"don't {rest}" if first_word(rest) in VERBS and who.lower() == "i" else None
    if whom := re.match(r"^you to (?P<rest>\S.*)$", rest, re.IGNORECASE):
        return f"don't {whom['rest']}"
    made = command(f"I want {rest}")
    return "don't " + re.sub(r"^(?:have|make) ", "let ", made) if made else None
