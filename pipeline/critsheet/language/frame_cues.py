"""Decides from its surroundings whether a number names a frame of the shot, or a duration, count, version, age..."""

import re
from dataclasses import dataclass

from critsheet.language import frame_patterns as cue
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

FEW = 12
"""Up to here numbers are mostly counts ("two hands", "ten times"): naming a frame takes a clearer sign."""

MOST_COUNTED = 24
"""Where frames are written in digits, words up to here between commas count millimetres, drawings, beats..."""

MOST_FEET = 200
"""Without punctuation, "eleven eighty feet at four corners" names a frame and then the feet."""

MOST_FRAMES_HELD = 48
"""After "hold", "give it" and the like, a number up to two seconds of film is a length, not a place."""

MOST_BEFORE_SINGULAR = 60
"""A unit in the singular without hyphen ("ten second hold") measures up to a minute; frames have larger numbers."""


@dataclass(frozen=True)
class Manner:
    """How this mentor names frames.

    `digits`: the transcript writes numbers in digits; `zero`: the shot has a frame 0; `often`: frames are
    named again and again, so that bare numbers may be frames too.
    """

    digits: bool
    zero: bool
    often: bool


def is_named(line: Line, number: SpokenNumber) -> bool:
    """Whether the number is called a frame: "frame 42", "f 42", "x19", "drawing 17"."""
    before = line.before(number.start)
    if number.form == "words" and number.value <= FEW and cue.COUNTED_FRAME.search(before):
        return False
    return cue.FRAME.search(before) is not None


def is_outset(line: Line, number: SpokenNumber, first: int) -> bool:
    """Whether "from frame one" only means from the outset, in a shot that begins at another frame."""
    return number.value == 1 and first > 1 and cue.FROM_FRAME.search(line.before(number.start)) is not None


def is_drawing(line: Line, number: SpokenNumber) -> bool:
    """Whether the number is called a drawing rather than a frame."""
    return cue.DRAWING.search(line.before(number.start)) is not None


def is_placed(line: Line, number: SpokenNumber) -> bool:
    """Whether the number stands as a place by itself: after "at" or "on", or first in its sentence."""
    before = line.before(number.start)
    place = cue.PLACE if number.value > FEW else cue.PLACE_OF_FEW
    placed = place.search(before) is not None or cue.OPENS_SENTENCE.search(before) is not None
    return placed and is_bounded(line, number)


def is_nth_frame(line: Line, number: SpokenNumber) -> bool:
    """Whether it is "the sixtieth frame"; the first few are mostly counted from somewhere else."""
    return number.value > FEW and cue.NTH_FRAME.match(line.after(number.end)) is not None


def is_bounded(line: Line, number: SpokenNumber) -> bool:
    """Whether the number stands by itself: a pause, another clause or another place follows it."""
    return cue.BOUNDED.match(line.after(number.end)) is not None


def opens_clause(line: Line, number: SpokenNumber) -> bool:
    """Whether nothing of the clause stands before the number; "that one" and "the first two" do not open one."""
    return cue.OPENS_CLAUSE.search(line.before(number.start)) is not None


def is_approximate(line: Line, number: SpokenNumber) -> bool:
    """Whether the mentor said it as a rough place: "about 40", "forty-ish", "the forties"."""
    return (
        number.form == "decade"
        or cue.ROUGH_BEFORE.search(line.before(number.start)) is not None
        or cue.ROUGH_AFTER.match(line.after(number.end)) is not None
    )


def is_counted(line: Line, number: SpokenNumber) -> bool:
    """Whether its nearest words say that the number counts or measures something: "two poses", "$5"."""
    before, after = line.before(number.start), line.after(number.end)
    few = number.value <= FEW and number.form == "words"
    held = number.value <= MOST_FRAMES_HELD and number.form == "words"
    return (
        _has_unit(number, before, after)
        or (number.value <= MOST_BEFORE_SINGULAR and cue.BROKEN.match(after) is not None)
        or (number.value <= 4 and cue.ONES_AND_TWOS.match(after) is not None)
        or (number.value % 100 == 0 and cue.SOMETHING.match(after) is not None)
        or (number.value == 0 and cue.TO_HUNDRED.match(after) is not None)
        or (few and cue.THINGS.match(after) is not None)
        or (held and cue.AFTER_UNIT.search(before) is not None)
        or cue.MONEY.search(before) is not None
    )


def _has_unit(number: SpokenNumber, before: str, after: str) -> bool:
    """ "eight frames", "two-second hold"; not "one fifty, second push", where captions lose the comma."""
    match = cue.UNIT.match(after)
    if match is None or number.form == "ordinal" or (number.value > MOST_FEET and cue.FEET.match(after)):
        return False
    single = match["unit"] is not None and match["plural"] is None and match["hyphen"] is None
    return not single or number.value <= MOST_BEFORE_SINGULAR or cue.ARTICLE.search(before) is not None


def is_other(line: Line, number: SpokenNumber, alone: bool) -> bool:
    """Whether what precedes the number makes it a label, an age, a length or a time of day.

    `alone` is False inside a range: "hold 60 to 75" names frames, "hold 8" a length.
    """
    before, after = line.before(number.start), line.after(number.end)
    few = 0 < number.value <= FEW
    held = alone and number.value <= MOST_FRAMES_HELD
    return (
        any(pattern.search(before) for pattern in (cue.LABEL, cue.AGE, cue.ACROSS, cue.ARTICLE))
        or (cue.THE.search(before) is not None and cue.RULE.match(after) is not None)
        or (alone and cue.SHOT.search(before) is not None)
        or (few and alone and cue.LABEL_OF_FEW.search(before) is not None)
        or (few and cue.DAYTIME.search(after) is not None)
        or (held and cue.LENGTH.search(before) is not None)
    )


def is_frame(line: Line, number: SpokenNumber, manner: Manner, linked: bool) -> bool:
    """Whether a number inside the shot, that nothing else claims, names a frame.

    `linked` tells that another number of a range or list goes on from it. Large numbers in a critique nearly
    always do; the smaller the number, and where digits are usual the more so for words, the clearer the sign
    must be.
    """
    before = line.before(number.start)
    placed = cue.PLACE.search(before) is not None
    if number.form == "clock":
        return placed or linked
    if number.form == "decade":
        often = manner.often and cue.IN_DECADE.search(before) is not None
        return often or linked or cue.IN_MID_DECADE.search(before) is not None
    if number.value > 100 or (number.form == "digits" and number.value > FEW):
        return True
    if number.form == "digits":
        told = cue.EQUATED.search(before) is not None or cue.MEETS.search(before) is not None
        if number.value == 0 and cue.TO_NOTHING.search(before) is not None:
            return False  # "get it to zero"
        return placed or linked or told or opens_clause(line, number)
    return _is_frame_in_words(line, number, manner, linked)


def _is_frame_in_words(line: Line, number: SpokenNumber, manner: Manner, linked: bool) -> bool:
    before = line.before(number.start)
    placed = cue.PLACE.search(before) is not None
    bounded = linked or is_bounded(line, number) or line.pieces[number.end - 1].text.endswith("'s")
    if number.value == 0:
        placed = placed or cue.OPENS_SENTENCE.search(before) is not None or cue.PLACE_OF_ZERO.search(before) is not None
        return manner.zero and placed and not before.endswith("the ") and cue.TO_NOTHING.search(before) is None
    if line.pieces[number.start].text == "hundred" and number.value == 100 and before.endswith(("at ", "to ")):
        return False  # "going at hundred" is full speed, "from zero to hundred" all at once
    if number.value > FEW:
        told = bounded and _is_told(line, number, manner)
        return placed or told or _is_apart(line, number, manner) or _is_bare(line, number, manner, bounded)
    placed = cue.PLACE_OF_FEW.search(before) is not None or (linked and cue.AFTER_STOP.search(before) is not None)
    return placed and bounded and number.value > 1 and manner.often and not manner.digits


def _is_apart(line: Line, number: SpokenNumber, manner: Manner) -> bool:
    """Whether pauses set the number apart: "the knee pops, forty-two, and"."""
    paused = cue.AFTER_STOP.search(line.before(number.start)) is not None
    apart = paused and line.after(number.end).startswith((",", ".", " again"))
    return apart and not (manner.digits and number.value <= MOST_COUNTED)


def _is_told(line: Line, number: SpokenNumber, manner: Manner) -> bool:
    """Whether the words before lead to a place: "that's forty-two", "and then forty-two", "the fish in forty-two"."""
    before = line.before(number.start)
    if cue.OPENS_SENTENCE.search(before) is not None or cue.EQUATED.search(before) is not None:
        return True
    turned = cue.TURNS_TO.search(before) is not None and _is_long(number)
    return manner.often and (turned or cue.IN_PICTURE.search(before) is not None)


def _is_bare(line: Line, number: SpokenNumber, manner: Manner, bounded: bool) -> bool:
    """Whether the number may be a frame in speech without punctuation: "latch seventy-four no clack"."""
    before, after = line.before(number.start), line.after(number.end)
    if not manner.often or re.search("[,.]", before + after):
        return False
    several = number.end - number.start > 1
    return (bounded and _is_long(number)) or (several and cue.FORTY_STEPS.match(after) is None)


def _is_long(number: SpokenNumber) -> bool:
    """Whether the number is said in more than a word, or is larger than what is mostly counted."""
    return number.end - number.start > 1 or number.value > MOST_COUNTED
