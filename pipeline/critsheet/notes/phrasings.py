"""How mentors wrap what they want done, as patterns: "I would", "you could", "it needs to", "I want her to"."""

import re

from critsheet.notes.verbs import PREPOSITIONS

_TIME = (
    r"(?:if|when) (?:you've got|you have|there's|there is|you get|you got|you've) (?:the |any |a )?"
    r"(?:time|minute|moment)"
)
OPENERS = re.compile(
    r"^(?:(?:so|and|but|or|then|now|okay|ok|all right|alright|yeah|yes|well|oh|ah|look|listen|hmm|ooh|um|uh|hey|no|"
    r"because|cause|cos|although|after that|"
    r"also|honestly|again|ideally|basically|actually|anyway|plus|see|like|please|"
    r"instead|personally|maybe|perhaps|do me a favou?r and|if you (?:wouldn't|don't) mind|"
    r"next(?! (?:time|week|pass|round)\b)|really|"
    r"right(?! (?:hand|foot|arm|leg|knee|eye|one|side|elbow|shoulder|wrist|hip|ear|wing|ankle))|my gosh|"
    r"(?:there|here)(?! (?:is|are|was|were|must|should|needs|has|could|would|isn't|wasn't)\b)|"
    r"first off|first of all|firstly|secondly|lastly|finally|second|third|for me|to me|in fact|of course|at least|"
    rf"for now|if anything|if you can|if you could|if you like|{_TIME}|"
    r"do(?= (?:nail|fix|put|make|try|keep|check|get|let|give|have|take|pin|lock|bring)\b)|"
    r"i believe|i reckon|i feel like|i suggest|i'd suggest|my suggestion is|the thing is|what i'd do is|"
    r"what i want you to do(?: is)?|"
    r"what i'd like you to do(?: is)?|"
    r"what i'd say is|what i would do is|all i'd do is|the only thing is|the other thing is|one more thing|next thing|"
    r"last thing|second thing|first thing|tiny thing|small thing|little thing|big one|big thing)"
    r"\b(?!')[\s,:;.—-]*)+",
    re.IGNORECASE,
)
SOFTENERS = (
    r"(?:(?:just|maybe|probably|perhaps|actually|really|almost|even|also|definitely|simply|honestly|then|still)\s+)*"
)
WOULD = r"(?:i'd|i would|i might|you'd|you would|we'd|we would)"
YOU = (
    r"(?:you could|you can|you might|you should|you must|you need to|you want to|you wanna|you have to|you've got to|"
    r"you gotta|you got to|you ought to|you might want to|you might wanna|you'll want to|you'd want to|you'll need to|"
    r"we could|we can|we should|we need to|we want to|we have to|we've got to|we gotta|can you|could you|might you|"
    r"can we|could we|would you|will you|why don't you|wouldn't you|"
    r"couldn't you|shouldn't you|why not|why don't we|how about you|let's|"
    r"lets|if you|if you just|"
    r"you'd better|you had better|you better|go and|go ahead and|"
    r"try and|"
    r"see if you can|see if we can|remember to|don't forget to|feel free to|be sure to|you're gonna want to|"
    r"you're going to want to|i want you to|i need you to|i'd like you to|i'd love you to|i'd want you to|"
    r"i'd encourage you to|i'd ask you to|the idea is to|it's worth|you just need to|you just want to|you just have to)"
)
WANT = (
    r"(?:i want|i need|i'd like|i'd love|i'd want|i'd really like|i'd really love|i really want|i wanna|we want|"
    r"we need|you want|you need)"
)
WHO = (
    r"(?P<who>he|she|it|they|this|that|these|those|everything|everybody|both|"
    r"(?:the|his|her|their|its|your|that|this|these|those|both|each|every|all|a|an|some|two|three|more|one)"
    r"(?:\s+(?!(?:is|was|that|i|you|if|when|and|but|so|never|who|which|"
    r"might|may|could|would|should|will|can|must|\w+n't)\b)[\w'-]+){1,4}?|"
    r"(?!(?:i|you|we|that|if|when|what|who|which|so|and|but|there|here|because|like|just|not|never|as|or|then|now|"
    r"no)\b)"
    r"[a-z]\w[\w-]*(?:'s(?:\s+[\w-]+){1,2}?)?)"
)
NEEDS = r"(?:needs|need|wants|want|has got|has|have|ought|gotta|got|'s got|'s gotta)"
ADVERBS = (
    r"(?:just|maybe|perhaps|please|really|then|also|always|definitely|simply|honestly|quickly|slowly|gently|slightly)"
)
_AS_OBJECT = {"he": "him", "she": "her", "they": "them"}
_ARTICLES = frozenset("the his her their its your that this these those both each every all it a an some".split())

_PLACES = frozenset("there here back away first last".split())

NOT_ACTIONS = frozenset(
    "say think be have been call know believe guess bet imagine swear rather buy see like love want hope suppose go as "
    "argue forgive never not agree feel hear expect wonder notice remember only trade miss lie thank "
    "always been seen gone done got had made said lost taken given thought".split()
)
"""After "I would", these words say something of the mentor, not of the work."""


def as_object(who: str) -> str:
    """A subject as an object, not capitalised unless it is a name: "They" gives "them"."""
    lowered = who.lower()
    if lowered in _AS_OBJECT:
        return _AS_OBJECT[lowered]
    first, _, rest = who.partition(" ")
    return f"{first.lower()} {rest}".strip() if first.lower() in _ARTICLES else who


def caused(who: str, be: bool, rest: str) -> str:
    """The command that brings a state or an action about: "make it slower", "have her leaving", "give him a hat"."""
    who, first = as_object(who) + ("," if "," in who else ""), first_word(rest)
    if not be:
        given = re.match(r"^have (?=(?:a|an|some|more|less|one|two|three|no|his|her|its|their)\b)", rest)
        return f"give {who} {rest[given.end() :]}" if given else f"have {who} {rest}"
    stays = (
        first.endswith(("ing", "ed")) or first in {"left", "held", "done", "seen"} or first in PREPOSITIONS | _PLACES
    )
    return f"{'have' if stays else 'make'} {who} {rest}"


def first_word(text: str) -> str:
    """The first word, in small letters."""
    return re.split(r"[\s,.;:]", text.lower(), maxsplit=1)[0]
