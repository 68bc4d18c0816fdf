"""What the ear needs and a checklist does not: similes, asides, question tags, sounds.

They make a fault vivid when it is heard; on a checklist the plain words do.
"""

import re
from collections.abc import Sequence

_LEAST_LEFT = 3
"""A simile is only left out where so many plain words stay."""

_SIMILE = re.compile(
    r"(?<=\S)(?<!look)(?<!looks)(?<!feel)(?<!feels)(?<!sounds)(?<!seems)(?<!'s)(?<!are)(?<!were)(?<!was)(?<!is)"
    r"(?<!have)(?<!want)(?<!get)(?<!be),? "
    r"(?:(?:a bit |almost |just |more |sort of )?like(?= (?:a|an|the|some|somebody|someone|he's|she's|it's|they're|"
    r"you're|you|when|two|three|one|my|your|he|she|they|we|in|on|there's)\b)|as if|as though)"
    r"(?:(?! (?:and|then|so|but)\b|[,;]).)*",
    re.IGNORECASE,
)
IS_SIMILE = re.compile(
    r"^(?:it's|he's|she's|they're|it is|it was|he looks|it looks|it feels|that's)\s+(?:\w+ )?like\b", re.IGNORECASE
)
"""A clause that is nothing but a simile: "it's like a wet towel"."""

_SOUND = (
    r"(?:who+sh|who+mp?|wh?ump|wha?m|boo+m|ba+m|bang|po+p|thump|cli+ck|cla+ck|ding|do+p|do+f|ti+ck|to+ck|tock|zi+p|"
    r"dhup|hup|u?tff|chk|bup|shoo+m|shloo+p|zhoo+p|hoo+mph|tu+k|tsk|tch|ts|n+gh|u+gh|a+gh|a+h|oo+h|oops|whoops|bap|"
    r"tk|splat|plop|whee+|wa+h|e{3,}|m{3,}|z{3,}|h{2,}\w*|hoo boy|whoa|blah|bleh|fr+|ta)"
)
_SAID_ASIDE = (
    r"(?:what to say|how to say|how do (?:you|i|we) (?:say|call) (?:it|that)|how do (?:you|i) say|"
    r"what do you call (?:it|that|those|them|these)|what is that|what's that|what is it|whatever|or whatever|"
    r"you see(?: it| that)?|see(?: it| that| this)?|look(?: at (?:that|this))?|watch|listen|right|ok|okay|hey|mate|man|"
    r"dude|love|honey|yaar|na|no|yes|yeah|yep|mind|oh|well|again|ha|hmm|by the way|i know|i mean it|i'm serious|"
    r"i swear|i promise(?: you)?|i dunno|i don't know|i don't care|i don't mind|god|lord|my gosh|oh my gosh|bless \w+|"
    r"thank you|thanks|please|sorry|hang on|wait|let me (?:find|see|think|check)(?: \w+)?|if i'm honest|"
    r"to be fair|what i mean is|believe me|trust me|as i say|like i said|for real|anyway|in general|though|actually|"
    r"you follow|you remember|you know|for example|of course|innit|is it|was it|that's what|just see|here|there)"
)
_TAG = (
    r"(?:is|are|was|were|do|does|did|has|have|had|ca|could|would|should|wo)n't (?:it|he|she|they|you|we)"
    r"(?! [a-z]+ing\b| just\b| a\b| the\b)|innit|don't you think"
)
_BETWEEN_MARKS = re.compile(
    rf"(?:^|(?<=[,.;:?!—–…] )|(?<=[,.;:?!—–…]))(?:(?:and|so|but|oh|um) )?(?:{_SAID_ASIDE}|{_TAG}|"
    rf"(?<!goes , )(?<!go , )(?<!going , ){_SOUND})(?= [,.;:?!—–…]|$)",
    re.IGNORECASE,
)
_ASKED_AT_END = re.compile(
    rf"(?<=[a-z]) , (?:{_TAG}|right|yeah|yes|no|hey|eh|is it|was it)(?: , \w+)? \?", re.IGNORECASE
)
_AFTER_CLAUSE = re.compile(
    rf"(?<=[a-z]) (?:{_TAG})(?=$| (?:and|so|but|then|he|she|it|they|i|you|we|that|the|his|her|there)\b| [.?!,])",
    re.IGNORECASE,
)
_NUMBER_LIKE = re.compile(r"\b(?:like|about like)(?= (?:\d|two|three|four|five|six|eight|ten|twelve|half)\b)")
_EMPTY_MARKS = re.compile(r"(?:^|(?<= ))[,;:—–](?: [,;:—–])+(?= |$)")
_MARK_AT_END = re.compile(r"[,;:—–] (?=[.?!](?: |$))")


def without_simile(text: str) -> str:
    """The text without its similes, where enough is left."""
    plain = _SIMILE.sub("", text)
    return plain if len(plain.split()) >= _LEAST_LEFT else text


def without_asides(words: Sequence[str]) -> list[str]:
    """The words and marks without what only keeps talk going, where marks set it off: ", mate,", ", isn't it?".

    A question tag without marks gives way to a full stop, since it ends what it follows.
    """
    text = _ASKED_AT_END.sub(" .", " ".join(words))
    text = _AFTER_CLAUSE.sub(" .", text)
    while (plain := _BETWEEN_MARKS.sub("", text)) != text:
        text = re.sub(r"\s+", " ", plain)
    text = _MARK_AT_END.sub("", _EMPTY_MARKS.sub(",", _NUMBER_LIKE.sub("", text)))
    text = re.sub(r"\b(\w+(?: \w+)?) , \1\b", r"\1", re.sub(r"\b(?:and then|and|then) , (?=and\b)", "", text))
    text = re.sub(r"\b(be|to|the|a|have|just|some|his|her|of|with|get|make) ,", r"\1", text)
    text = re.sub(r"([.?!])(?: [,.;:?!—–])+", r"\1", text).strip(" ,;:—–")
    return text.lstrip(" ,;:.?!—–").split()
