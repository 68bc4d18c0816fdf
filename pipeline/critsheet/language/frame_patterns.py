"""The regular expressions that tell frames from other numbers, over text as `lexemes.Line` gives it.

Patterns of what stands before a number end at it ("at um $"); those of what follows begin with its stop
or a space (", she"). Word lists are kept in families so that a missing word is easy to add.
"""

import re

from critsheet.language.lexemes import FILLERS
from critsheet.language.numbers import TEENS, TENS, UNITS


def any_of(*families: str) -> str:
    """Alternatives for a regular expression, from strings of words parted by spaces."""
    return "|".join(" ".join(families).split())


FILLER = any_of(*sorted(FILLERS))
FILLED = rf"(?:(?:{FILLER}),? )*"
HEDGES = "|".join(
    (
        FILLER,
        any_of("about around round roughly circa like say maybe perhaps probably just somewhere approximately"),
        any_of("oh okay well right yeah exactly nearly almost so even what the"),
        "i think|i guess|i dunno|i don't know|i'd say|i mean|i want to say|i wanna say|you know|or so",
        "let's see|let me see|let me step|hang on|hold on|sort of|kind of",
        "what(?:'s| is| was) (?:it|that|this)|is it|it's|that's",
    )
)
"""Words that may stand between a preposition and its number."""

HEDGED = rf"(?:(?:{HEDGES}),? )*"

# What calls a number a frame.
FRAME = re.compile(
    r"(?<!frame by )(?<![\w'])(?:frames?|fr|f|x|drawing|picture|d)(?:'s)? "
    rf"(?:(?:{FILLER}|number|about|around|like),? )*$"
    rf"|\bframes?, (?:(?:{FILLER}),? )+$"
)
FROM_FRAME = re.compile(r"\bfrom (?:frame|drawing) $")
DRAWING = re.compile(r"\b(?:drawing|d) (?:number )?$")
COUNTED_FRAME = re.compile(
    r"\b(?:next|every|each|per|same|one|a|single|the|last|first|this|that) (?:frames?|drawing) $"
)

NTH_FRAME = re.compile(r" (?:frame|drawing|picture|image)\b")

# What gives a number a place.
PLACE = re.compile(
    rf"\b(?:{any_of('at on by from to till til until through thru around round about near past after before')}"
    rf"|{any_of('between since towards toward into circa')}),? {HEDGED}$"
)
PLACE_OF_FEW = re.compile(
    r"\b(?:at|on|by|from|till|til|until|through|between|around),? "
    rf"(?:(?:{FILLER}|like|say|about|around|roughly|or),? )*$"
)
PLACE_OF_ZERO = re.compile(rf"\b(?:match|matches|now|and),? {FILLED}$")
MEETS = re.compile(r"\b(?:match|matches|meets?) $")
TO_NOTHING = re.compile(r"\b(?:it|him|her|them|that|this|down|all) to $")
IN_PICTURE = re.compile(rf"\bin {FILLED}$")
TURNS_TO = re.compile(rf"\b(?:and|so|then|now|also|till|or) {FILLED}$|[,.] {FILLED}$")
IN_DECADE = re.compile(r"\b(?:in|by|around|about|into|until|till|through) the (?:early|low|late|high)?(?: -)? ?$")
IN_MID_DECADE = re.compile(r"\bmid(?:dle)?(?: -)? $")
EQUATED = re.compile(rf"\b(?:it's|that's|this is|that is|is it|here's|was it|what|we|one),? {HEDGED}$")
_OPENING = r"(?:(?:so|and|now|then|okay|oh|also|but|um|uh|yeah|right|here|there|again|look|see|well),? )*$"
OPENS_SENTENCE = re.compile(rf"(?:^|\. ){_OPENING}")
OPENS_CLAUSE = re.compile(rf"(?:^|[.,] ){_OPENING}")
AFTER_STOP = re.compile(rf"[.,] {HEDGED}$")
BOUNDED = re.compile(
    rf"[,.]|$| (?:{any_of('i he she it they you we the his her their there where when so and but or that this these')}"
    rf"|{any_of('those right left see look to through till until on was has again when')}"
    r"|(?:it|he|she|there|that)'s|(?:you|they)'(?:ve|re)|is(?! (?:the|what|how|enough|too|fine|right|good|long)))\b"
)

# What makes a number something else.
LABEL = re.compile(
    rf"\b(?:{any_of('version versions v ver week submission attempt episode rev revision lesson assignment')}"
    rf"|{any_of('grade draft series chapter season page aged age number year')}) {FILLED}$"
)
LABEL_OF_FEW = re.compile(
    rf"\b(?:{any_of('number no shot scene sequence part note step pass day class unit pose key beat cycle hit kick')}"
    rf"|{any_of('push take round level option floor room camera layer stage phase point thing item question mouth')}"
    rf"|{any_of('viseme phoneme chart match my your his her our their its')}) $"
)
SHOT = re.compile(r"\b(?:shots?|scenes?|sc|sequence) (?:number )?$")
AGE = re.compile(
    r"\b(?:he|she|i|you|they|we|who)(?:'s|'m|'re| is| was| were| am| are),? "
    rf"(?:(?:like|about|only|what|already|nearly|you know|{FILLER}),? )*(?:(?:he|she)'s )?$"
)
LENGTH = re.compile(
    rf"\b(?:{any_of('counted counting give gives gave given take takes took taken need needs needed add adds added')}"
    rf"|{any_of('hold holds held lose lost drop dropped delay delayed offset trail lag wait waits last lasts lasted')}"
    r"|(?:lag|lags|late|early|off|out|offset|behind|trail|delay|delayed|shorten|apart) (?:(?:it|them|him|her) )?by"
    r"|(?:cut|trim|shorten|trimmed|shortened) (?:it|him|her|them|this|that) (?:down )?to"
    rf"|{any_of('another other extra plus minus every each all both these those only for')}"
    r"|(?:could|should|would|might|must) be"
    rf"|(?:make|give|want|cost|takes?) (?:it|him|her|them|me|us|this|that|each)),? {HEDGED}$"
)
ARTICLE = re.compile(r"\ban? (?:(?:good|full|whole|solid|nice) )?$")
ACROSS = re.compile(r"\b\d+ by $")
THE = re.compile(r"\bthe $")
RULE = re.compile(r" (?:rule|line|lens|degree|one|ones)\b")
MONEY = re.compile(r"[$£€] $")
_SIZES = any_of("more extra whole full solid good long active clean odd - different little small big straight")
_COUNTABLE = any_of(
    "frame drawing image picture sheet pose shot key keyframe breakdown inbetween pixel student",
    "second sec minute min hour day week month year night",
    "kilo kg kilogram gram pound ton tonne mile mil metre meter centimetre centimeter millimetre millimeter degree",
    "dollar quid euro cent buck",
)
_SIGNS = any_of(
    "% ° fps cm mm px lb lbs s inch inches foot feet times of people others per percent positive",
    "kph mph k p bit gb mb megs gigs clock pm am",
)
UNIT = re.compile(
    rf"(?P<hyphen> -)? (?:(?:or so|{_SIZES}) )*"
    rf"(?:(?P<unit>{_COUNTABLE})(?P<plural>s)?|{_SIGNS}|more(?! or less)"
    r"|an? (?:hour|second|minute|day|week|foot)|by \d+|o'clock|a\.m|p\.m)(?![\w'])"
    rf"(?!(?<=frame) (?:\d|(?:{any_of(*UNITS, *TEENS, *TENS)})\b))"
)
AFTER_UNIT = re.compile(rf"\b(?:{_COUNTABLE})s?, (?:(?:{HEDGES}|or),? )*$|\b(?:percent|times), $")
BROKEN = re.compile(r",? and a (?:half|quarter|bit)\b")
SOMETHING = re.compile(r" and something\b")
TO_HUNDRED = re.compile(r" to hundred\b")
_PLURAL = r"(?!(?:is|his|this|was|its|has|does|goes|always|yes|us|as|perhaps|looks)\b)[a-z]+(?<![us'])s\b"
THINGS = re.compile(rf" (?:(?:other|small|big|little|more|different|of) )*{_PLURAL}")
_NO_SIZE = any_of("his her its the their both all two three four five six seven eight nine ten")
FORTY_STEPS = re.compile(rf"(?: (?!(?:{_NO_SIZE})\b)[a-z]+)? {_PLURAL}")
FEET = re.compile(r" (?:foot|feet)\b")
ONES_AND_TWOS = re.compile(r" 's\b")
DAYTIME = re.compile(r"\b(?:morning|tonight|evening|afternoon|night|lunch|noon|midnight)\b")

# What makes a place rough.
ROUGH_BEFORE = re.compile(
    rf"\b(?:{any_of('about around round roughly circa like near nearly somewhere approximately almost say')}"
    rf"|probably|maybe),? (?:at|in|frames?|f)? ?{HEDGED}$"
)
ROUGH_AFTER = re.compile(
    r",?(?: -)? (?:ish|or so|(?:or )?something|(?:or )?thereabouts|odd|or whatever|more or less|give or take"
    r"|round there)\b"
)
