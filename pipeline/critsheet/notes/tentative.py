"""Remedies put as a question, a wish or a ban: "what if he waits", "it may not slide"."""

import re
from collections.abc import Callable

from critsheet.notes.phrasings import NOT_ACTIONS, WHO, as_object, first_word
from critsheet.notes.verbs import GERUNDS, VERBS

Command = Callable[[str], str | None]
"""What makes a command of the words inside."""

_TRIED = re.compile(
    r"^(?P<how>what if|how about|what about|consider|"
    r"(?:it'd|it would|that would) be (?:nice|good|better|great) (?:if|to))\s+(?P<rest>\S.*)$",
    re.IGNORECASE,
)
_NEVER = (
    r"(?:shouldn't|should not|must not|mustn't|may not|should never|must never|doesn't want to|"
    r"doesn't need to|don't need to|needn't)"
)


def tried(text: str, command: Command) -> str | None:
    """ "How about delaying the head" gives "delay the head"; "what if he waits", "see what happens if he waits"."""
    match = _TRIED.match(text)
    if not match:
        return _wondered(text, command)
    rest, how = match["rest"], match["how"].lower()
    first, _, more = rest.partition(" ")
    if first.lower() in GERUNDS and more:
        return f"{GERUNDS[first.lower()]} {more}"
    if how.endswith(" to"):
        return command(f"I want to {rest}")
    if you := re.match(r"^(?:you|we)\s+(?:just\s+)?(?P<do>\w+ .*)$", rest, re.IGNORECASE):
        return you["do"] if first_word(you["do"]) in VERBS else None
    return f"see what happens if {rest}" if how.endswith(" if") else f"try {rest}"


def _wondered(text: str, command: Command) -> str | None:
    """ "I wonder if it could lean" gives "have it lean"; "it'd read if she waits", "see what happens if she waits"."""
    if match := re.match(
        rf"^(?:might|could|should)\s+{WHO}\s+(?P<be>be )?(?P<rest>(?!have\b)\S.*)$", text, re.IGNORECASE
    ):
        return f"{'make' if match['be'] else 'have'} {as_object(match['who'])} {match['rest']}"
    if match := re.match(r"^I (?:do |just )?wonder (?:if|whether) (?P<rest>\S.*)$", text, re.IGNORECASE):
        return command(match["rest"]) or f"see what happens if {match['rest']}"
    match = re.match(
        r"^(?:it|that|this|he|she|they|I)(?: might| would| could|'d)\b[^,;]*?\bif "
        r"(?P<rest>(?!you|we\b|I\b|it'd\b)\S+ \S.*)$",
        text,
        re.IGNORECASE,
    )
    return f"see what happens if {match['rest']}" if match else None


def forbidden(text: str, command: Command) -> str | None:
    """ "It may not travel" gives "don't let it travel"; "I don't want the hinge", "don't show the hinge"."""
    if mine := re.match(r"^(?:I|we) (?:don't|do not) (?:want|need) (?:to )?(?P<rest>\S.*)$", text, re.IGNORECASE):
        made = command(f"I want {mine['rest']}") or command(f"I want to {mine['rest']}")
        return f"don't {made}" if made else None
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
