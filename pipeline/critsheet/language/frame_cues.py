"""Decides from its surroundings whether a number names a frame of the shot, or a duration, count, version, age..."""

import re
from dataclasses import dataclass

from critsheet.language.lexemes import FILLERS, Line
from critsheet.language.numbers import SpokenNumber

FEW = 12
"""Up to here numbers are mostly counts ("two hands", "ten times"): naming a frame takes a clearer sign."""

MOST_FRAMES_HELD = 48
"""After "hold", "give it" and the like, a number up to two seconds of film is a length, not a place."""


MOST_BEFORE_SINGULAR = 60
"""A unit in the singular without hyphen ("ten second hold") measures up to a minute; frames have larger numbers."""


def _any(words: str) -> str:
    return "|".join(words.split())


_FILLER = "|".join(sorted(FILLERS))
HEDGES = (
    _FILLER + "|" + _any("about around round roughly circa like say maybe perhaps probably oh okay well right yeah exactly")
    + "|" + _any("just somewhere approximately nearly almost so even what the")
    + "|i think|i dunno|i don't know|i'd say|i mean|you know|let's see|let me see|let me step|hang on|hold on|sort of|kind of"
    + "|what(?:'s| is| was) (?:it|that|this)|is it|it's|that's"
)  # fmt: skip
"""Words that may stand between a preposition and its number, as alternatives of a regular expression."""

HEDGED = rf"(?:(?:{HEDGES}),? )*"

_FRAME = re.compile(
    rf"\b(?:frames?|fr|f|x|drawing|d)(?:'s)? (?:(?:{_FILLER}|number|about|around|like),? )*$"
    rf"|\bframes?, (?:(?:{_FILLER}),? )+$"
)
_DRAWING = re.compile(r"\b(?:drawing|d) (?:number )?$")
_COUNTED_FRAME = re.compile(r"\b(?:next|every|each|per|same|one|a|single|the|last|first|this|that) (?:frames?|drawing) $")
_PLACE = re.compile(
    rf"\b(?:{_any('at on by from to till til until through thru around round about near past after before between')}"
    rf"|{_any('since towards toward into circa frames')}),? {HEDGED}$"
)
_PLACE_OF_FEW = re.compile(
    rf"\b(?:{_any('at on by from till til until through between around')}),? (?:(?:{_FILLER}|like|say|about|around|roughly|or),? )*$"
)
_IN_DECADE = re.compile(r"\b(?:in|by|around|about|into|until|till|through) the (?:early|low|late|high)?(?: -)? ?$")
_IN_MID_DECADE = re.compile(r"\bmid(?:dle)?(?: -)? $")
_PLACE_OF_ZERO = re.compile(rf"\b(?:match|matches|now|and),? (?:(?:{_FILLER}),? )*$")
_EQUATED = re.compile(rf"\b(?:it's|that's|this is|that is|is it|here's|was it|what|we|one),? {HEDGED}$")
_OPENING = r"(?:(?:so|and|now|then|okay|oh|also|but|um|uh|yeah|right|here|there|again|look|see|well),? )*$"
_OPENS_SENTENCE = re.compile(rf"(?:^|\. ){_OPENING}")
_ALONE_BEFORE = re.compile(rf"[.,] (?:(?:{HEDGES}),? )*$")
_MEASURE_BEFORE = re.compile(rf"\b(?:frames|drawings|seconds|degrees|percent|kilos|times|years|minutes), (?:(?:{HEDGES}|or),? )*$")
_STOPS = frozenset(",.")
_OPENS_CLAUSE = re.compile(rf"(?:^|[.,] ){_OPENING}")
_BOUNDED = re.compile(
    r"[,.]|$| (?:" + _any(
        "i he she it they you we the his her their there where when so and but or that this these those right left see look "
        "it's he's she's there's that's you've they're to through till until on"
    ) + r")\b"
)  # fmt: skip

_LABEL = re.compile(
    rf"\b(?:{_any('version versions v ver take week submission attempt episode rev revision lesson assignment')}"
    rf"|{_any('grade draft series chapter season page aged age january february april june july august september')}|october|november|december) (?:(?:{_FILLER}),? )*$"
)
_LABEL_OF_FEW = re.compile(
    rf"\b(?:{_any('number no shot scene sequence part note step pass day class unit pose key beat cycle hit kick push')}"
    rf"|{_any('round level option floor room camera layer stage phase point thing item question mouth viseme phoneme chart match take my your his her our their its')}) $"
)
_AGE = re.compile(
    r"\b(?:he|she|i|you|they|we|who)(?:'s|'m|'re| is| was| were| am| are),? "
    rf"(?:(?:like|about|only|what|already|nearly|you know|{_FILLER}),? )*(?:(?:he|she)'s )?$"
)
_LENGTH_VERB = re.compile(
    rf"\b(?:counted|counting|give|gives|gave|given|take|takes|took|taken|need|needs|needed|add|adds|added"
    rf"|hold|holds|held|lose|lost|drop|dropped|delay|delayed|offset|trail|lag|wait|waits|last|lasts|lasted|another|other"
    rf"|extra|plus|minus|every|each|all|both|these|those|only|for"
    rf"|(?:could|should|would|might|must) be"
    rf"|(?:make|give|want|cost|takes?) (?:it|him|her|them|me|us|this|that|each)),? {HEDGED}$"
)
_ARTICLE = re.compile(r"\ban? $")
_THE = re.compile(r"\bthe $")
_RULE = re.compile(r" (?:rule|line|lens|degree|one|ones)\b")
_MONEY = re.compile(r"[$£€] $")
_UNIT = re.compile(
    r"(?P<hyphen> -)? (?:(?:more|extra|whole|full|solid|good|long|active|clean|odd|or so|-|different|little|small|big|straight) )*"
    rf"(?:(?P<unit>{_any('frame drawing second sec minute min hour day week month year night kilo kg kilogram gram pound')}"
    rf"|{_any('ton tonne metre meter centimetre centimeter millimetre millimeter mile mil degree pixel key')}"
    rf"|{_any('keyframe pose shot image picture sheet dollar quid euro cent buck student breakdown inbetween')})(?P<plural>s)?"
    rf"|{_any('% ° fps cm mm px lb lbs s inch inches foot feet times of people others per kph mph k p bit gb mb clock')}"
    rf"|{_any('pm am positive percent')}|o'clock|a\.m|p\.m)(?![\w'])"
)
_BROKEN = re.compile(r",? and (?:a (?:half|quarter|bit))\b")
_SOMETHING = re.compile(r" and something\b")
_FEW_OF = re.compile(
    r" (?:(?:other|small|big|little|more|different|of) )*"
    r"(?!(?:is|his|this|was|its|has|does|goes|always|yes|us|as|perhaps|looks)\b)[a-z]+(?<![us'])s\b"
)
_ONES_AND_TWOS = re.compile(r" 's\b")
_DAYTIME = re.compile(rf"\b(?:{_any('morning tonight evening afternoon night lunch clock noon midnight')})\b")

_APPROXIMATE_BEFORE = re.compile(
    rf"\b(?:about|around|round|roughly|circa|like|near|nearly|somewhere|approximately|almost|say|probably|maybe)"
    rf",? (?:at|in|frames?|f)? ?{HEDGED}$"
)
_APPROXIMATE_AFTER = re.compile(
    r",?(?: -)? (?:ish|or so|or thereabouts|thereabouts|or something|something|odd|or whatever|give or take|round there)\b"
)


@dataclass(frozen=True)
class Manner:
    """How this mentor names frames.

    `digits`: the transcript writes numbers in digits; `zero`: the shot has a frame 0; `often`: frames are
    named again and again, so that bare numbers may be frames too.
    """

    digits: bool
    zero: bool
    often: bool = False


def is_named(line: Line, number: SpokenNumber) -> bool:
    """Whether the number is called a frame: "frame 42", "f 42", "x19", "drawing 17"."""
    before = line.before(number.start)
    if number.form == "words" and number.value <= FEW and _COUNTED_FRAME.search(before):
        return False
    return _FRAME.search(before) is not None


def is_drawing(line: Line, number: SpokenNumber) -> bool:
    """Whether the number is called a drawing rather than a frame."""
    return _DRAWING.search(line.before(number.start)) is not None


def is_counted(line: Line, number: SpokenNumber) -> bool:
    """Whether what follows the number says that it counts or measures something."""
    before, after = line.before(number.start), line.after(number.end)
    few = number.value <= FEW and number.form == "words"
    return (
        _has_unit(number, before, after)
        or (number.value <= MOST_BEFORE_SINGULAR and _BROKEN.match(after) is not None)
        or (number.value <= 4 and _ONES_AND_TWOS.match(after) is not None)
        or (number.value == 100 and _SOMETHING.match(after) is not None)
        or (few and _FEW_OF.match(after) is not None)
        or _MONEY.search(before) is not None
    )


def _has_unit(number: SpokenNumber, before: str, after: str) -> bool:
    """ "eight frames", "two-second hold"; not "one fifty, second push", where captions lose the comma."""
    match = _UNIT.match(after)
    if match is None:
        return False
    single = match["unit"] is not None and match["plural"] is None and match["hyphen"] is None
    return not single or number.value <= MOST_BEFORE_SINGULAR or _ARTICLE.search(before) is not None


def is_other(line: Line, number: SpokenNumber, alone: bool) -> bool:
    """Whether what precedes the number makes it a label, an age, a length or a time of day.

    `alone` is False inside a range: "hold 60 to 75" names frames, "hold 8" a length.
    """
    before, after = line.before(number.start), line.after(number.end)
    few = number.value <= FEW
    return (
        _LABEL.search(before) is not None
        or _AGE.search(before) is not None
        or _ARTICLE.search(before) is not None
        or (_THE.search(before) is not None and _RULE.match(after) is not None)
        or (0 < number.value <= FEW and _LABEL_OF_FEW.search(before) is not None)
        or (few and _DAYTIME.search(after) is not None)
        or (alone and number.value <= MOST_FRAMES_HELD and _LENGTH_VERB.search(before) is not None)
    )


def is_frame(line: Line, number: SpokenNumber, manner: Manner, linked: bool) -> bool:
    """Whether a number inside the shot, that nothing else claims, names a frame.

    `linked` tells that another number of a range or list goes on from it. Large numbers in a critique nearly always do; the
    smaller the number, and where digits are usual the more so for words, the clearer the sign must be.
    """
    before, after = line.before(number.start), line.after(number.end)
    placed = _PLACE.search(before) is not None
    if number.form == "clock":
        return False
    if number.form == "decade":
        middle = _IN_MID_DECADE.search(before) is not None
        return middle or linked or (manner.often and _IN_DECADE.search(before) is not None)
    if number.form == "digits" and number.value > FEW:
        return True
    if number.value > 100:
        return True
    equated = _EQUATED.search(before) is not None
    if number.form == "digits":
        return placed or linked or equated or opens_clause(line, number)
    bounded = linked or _BOUNDED.match(after) is not None
    if line.pieces[number.start].text == "hundred" and number.value == 100:
        return False  # "going at hundred" is full speed
    if number.value > FEW:
        alone = _ALONE_BEFORE.search(before) is not None and _MEASURE_BEFORE.search(before) is None and after[:1] in _STOPS
        unpunctuated = number.end - number.start > 1 and bounded and not re.search("[,.]", before + after)
        return placed or alone or (unpunctuated and manner.often) or (bounded and (equated or _OPENS_SENTENCE.search(before) is not None))
    if number.value == 0:
        cue = _PLACE_OF_ZERO.search(before) or _OPENS_SENTENCE.search(before)
        return manner.zero and (placed or cue is not None)
    placed = _PLACE_OF_FEW.search(before) is not None
    return placed and bounded and number.value > 1 and manner.often and not manner.digits


def is_placed(line: Line, number: SpokenNumber) -> bool:
    """Whether the number stands as a place by itself: after "at" or "on", or first in its sentence."""
    before = line.before(number.start)
    place = _PLACE if number.value > FEW else _PLACE_OF_FEW
    placed = place.search(before) is not None or _OPENS_SENTENCE.search(before) is not None
    return placed and _BOUNDED.match(line.after(number.end)) is not None


def opens_clause(line: Line, number: SpokenNumber) -> bool:
    """Whether nothing of the clause stands before the number; "that one" and "the first two" do not open one."""
    return _OPENS_CLAUSE.search(line.before(number.start)) is not None


def is_approximate(line: Line, number: SpokenNumber) -> bool:
    """Whether the mentor said it as a rough place: "about 40", "forty-ish", "the forties"."""
    return (
        number.form == "decade"
        or _APPROXIMATE_BEFORE.search(line.before(number.start)) is not None
        or _APPROXIMATE_AFTER.match(line.after(number.end)) is not None
    )
