"""What a mentor wants kept: the thing praised, without the praise around it."""

import re

from critsheet.notes.thoughts import is_whole
from critsheet.notes.verbs import DETERMINERS, FINITE, VERBS

_GOOD = (
    r"(?:good|great|nice|lovely|gorgeous|beautiful|brilliant|perfect|solid|strong|clear|clearer|right|spot on|working|"
    r"excellent|fantastic|wonderful|super|fine|better|much better|the best|the \w+est|"
    r"exactly|bang on|dead right|very good|done|there|fixed|gold)"
)
_VERY = (
    r"(?:(?:really|very|so|just|absolutely|all|now|quite|pretty|such|much|that's|is|already|actually|a lot|loads)\s+)*"
)
_WISHED = re.compile(
    r"^(?:i (?:really |just |do |also |absolutely )?(?:love|like|loved|liked|adore|enjoy|dig)|"
    r"i'm (?:really )?(?:loving|digging|liking)|(?:really |just )?(?:love|loving|digging)|"
    r"keep|protect|don't (?:touch|lose|change)|hang on to|hold on to|"
    r"what(?:'s|\s(?:is|was|i (?:um )?(?:really )?(?:loved?|liked?)))(?=\s)[\w\s]{0,30}?\s(?:is|was|are),?(?: that)?)"
    r"\s+(?P<what>\S.*)$",
    re.IGNORECASE,
)
_NICE_THING = re.compile(
    rf"^(?:(?:that's|it's|they're|there's|such|what|this is|that is)\s+)?(?:an?\s+)?{_VERY}"
    r"(?P<what>(?:good|great|nice|lovely|gorgeous|beautiful|brilliant|perfect|solid|strong|clear)\s+"
    r"(?!(?:and|to|that|here|there|now|on|in|at)\b)\w.*)$",
    re.IGNORECASE,
)
_IS_GOOD = re.compile(
    rf"^(?P<what>(?:[\w'-]+ ){{0,5}}?[\w-]+?)(?:'s| is| are| was| looks?| reads?| works?| feels?)\s+{_VERY}{_GOOD}\b"
    r"(?P<rest>.*)$",
    re.IGNORECASE,
)
_POINTER = re.compile(
    r"^(?:(?:it|them|there|one|all that|all this|he|she|they|you|i|everything)\b(?! \w+ )|"
    r"(?:that|this|those|these)\b(?! (?!(?:is|was|now|here|there|too|one|bit|so|up|down)\b)\w+))",
    re.IGNORECASE,
)
_EMPTY = re.compile(
    r"^(?:(?:exactly |just )?(?:that|this|it|them)(?: (?:was|is|one|bit|there|though|now|so much|for dear life|"
    r"as it is|exactly|just so))?|"
    r"(?:this|that|it) (?:was|is)\b.*|(?:that|this|it|them) (?:i|you|and|but|so|now|cos|because|honestly)(?:'|\b).*|"
    r"(?:the )?(?:thing|bit|one|work|job|stuff|idea|note)s?)\W*$",
    re.IGNORECASE,
)
"""What names nothing once "I love" is off: "keep that", "that I loved"."""

_WITHIN = 7
"""In words: where a verb makes a clause of a thing."""

_POINTING = DETERMINERS - {"one", "my", "all", "no", "any"}


_THERE_IS = re.compile(
    r"^(?:there's|there is|there are|it's got|he's got|she's got|they've got|you've got|you got|you have|i get|we get|"
    r"i see|now there's|the (?:first|second|third|other|next)(?: thing| one)? is) (?P<what>(?:this|that|the|a|an|"
    r"these|those|his|her|their|its|just the) \S.*)$",
    re.IGNORECASE,
)


_NOT_NOW = re.compile(
    r"\b(?:I|I'm|I've|me|my|last (?:time|week|month|round|pass)|used to|was|were|had)\b", re.IGNORECASE
)


_VERDICT = re.compile(r"^(?:that|this|it|so)\b.*\b(?:stays|staying|keeper)\b", re.IGNORECASE)


def of_now(clause: str) -> bool:
    """Whether a clause tells of the work as it is, not of the mentor or of how it was."""
    return not _NOT_NOW.search(clause)


def kept_as_told(clause: str) -> str | None:
    """A clause that tells of what works, to go after "Keep": "how the legs shove", "the wee moment where he waits"."""
    if not of_now(clause) or _VERDICT.match(clause):
        return None
    if re.match(r"^[^:]{3,60}: ", clause):
        return clause
    for shape, wording in _TOLD:
        if match := shape.search(clause):
            return re.sub(r"^(?:this|that|an?|just the)\b", "the", match.expand(wording), flags=re.IGNORECASE)
    return f"how {clause}" if is_whole(clause) and not _TELLS_NOT.match(clause) else None


_TOLD = (
    (
        re.compile(r"^(?P<thing>(?:the|this|that|his|her) \w+(?: \w+)?), (?P<told>.*)$", re.IGNORECASE),
        r"\g<thing>: \g<told>",
    ),
    (re.compile(r"(?:^|, |, and )(?P<what>(?:how|the way) (?:it|he|she|they|the|his|her|its) \S.*)$"), r"\g<what>"),
    (_THERE_IS, r"\g<what>"),
    (re.compile(r"^(?P<what>(?:when|where) (?:he|she|it|they|the|his|her|its|their)\b.*)$"), r"the moment \g<what>"),
)
"""What else names a thing to keep, and how it goes after "Keep"."""

_TELLS_NOT = re.compile(
    r"^(?:(?:it|that|this|what|there|i|we|if|in|as)(?:'|\b)|(?:isn't|aren't|wasn't|don't)\b|\S+,|"
    r"you (?!have\b|did\b|made\b|never\b|kept\b|left\b)|you'(?:ll|d)\b|"
    r"(?:nobody|everybody|anybody|somebody|nothing|everyone|whatever|is|are|was|does|do|did|has|can|could|would)\b)",
    re.IGNORECASE,
)
"""Clauses about nothing that can be kept, or about too little."""


def praised(text: str) -> str | None:
    """The thing a clause praises: "the landing is really solid" gives "the landing"; None where it names none."""
    for shape in (_WISHED, _NICE_THING):
        match = shape.match(text)
        if match and not _POINTER.match(match["what"]) and not _EMPTY.match(match["what"]):
            what = re.sub(r"^(?:exactly|just) that, ", "", match["what"])
            what = re.sub(r"^that (?=(?:he|she|it|they|you|we|the|his|her)\b)", "how ", what, flags=re.IGNORECASE)
            return f"the {what[0].lower()}{what[1:]}" if shape is _NICE_THING else what
    match = _IS_GOOD.match(text)
    if match and match["what"].split()[0].lower() in DETERMINERS and len(match["what"].split()) > 1:
        rest = match["rest"].strip(" ,.;")
        return match["what"] + (f" {rest}" if re.match(r"^(?:when|as|at|on|in|from|where|with)\b", rest) else "")
    return text if _is_thing(text.lower()) and not _EMPTY.match(text) else None


def _is_thing(text: str) -> bool:
    """Whether the words name a thing and tell nothing of it: "the way he sits", "that little pause before the turn"."""
    words = text.split()
    if not words or words[-1] == "thing":
        return False
    if text.startswith(("the way", "how ", "the fact")):
        return True
    told = any(
        word in FINITE or "'s" in word or (before.endswith("s") and word in VERBS)
        for before, word in zip(words, words[1:_WITHIN], strict=False)
    )
    return words[0] in _POINTING and len(words) > 1 and not told
