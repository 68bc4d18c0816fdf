"""Reads numbers as people say them: "a hundred and eight", "one-o-eight", "ten twenty-four", "1,024"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from critsheet.language.lexemes import FILLERS, Lexeme, lexemes

Form = Literal["words", "digits", "ordinal", "decade", "clock"]

_UNITS = "one two three four five six seven eight nine".split()
_TEENS = (
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
)  # fmt: skip
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
UNITS = {word: value for value, word in enumerate(_UNITS, 1)}
TEENS = {word: value for value, word in enumerate(_TEENS, 10)}
TENS = {word: 10 * value for value, word in enumerate(_TENS, 2)} | {"fourty": 40, "ninty": 90}
_DECADES = {word[:-1] + "ies": value for word, value in TENS.items()}
_ZERO = frozenset("oh o zero nought naught ought aught".split())
_ORDINALS = {
    word: value
    for value, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
        "fifteenth sixteenth seventeenth eighteenth nineteenth".split(),
        1,
    )
} | {word[:-1] + "ieth": value for word, value in TENS.items()}
_BEFORE_MIXED = frozenset("frame at around about like to from till until by".split())
"""After these a recogniser's "one 12" is the number 112; elsewhere "one" is a word of its own."""

_BEFORE_PRONOUN = frozenset("first second third fourth last next other which each every".split())
_ORDINAL_ENDINGS = frozenset("st nd rd th".split())
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})$")
_LARGEST_HEAD = 20
"""Two-part numbers ("ten twenty-four") are said of hundreds up to here; "forty fifty" is two numbers."""


@dataclass(frozen=True)
class SpokenNumber:
    """A number in words [start, end). `parts` are the numbers it would be if its words don't belong together.

    "ten twenty-four" is 1024 with parts 10 and 24. Forms: "decade" ("the forties": 40), "ordinal",
    "clock" ("10:24" or "10.24", which a recogniser may write for 1024), else "words" or "digits".
    """

    start: int
    end: int
    value: int
    form: Form
    parts: tuple["SpokenNumber", ...] = ()


def spoken_numbers(words: Sequence[str]) -> list[SpokenNumber]:
    """Every number said, in order; `start` and `end` are word indexes, end exclusive.

    Hesitation inside a number is passed over ("one, um, forty" is 140). "one" counts as a number wherever
    it stands: whether it is one is the caller's question.
    """
    pieces = lexemes(words)

    def of_words(number: SpokenNumber) -> SpokenNumber:
        parts = tuple(of_words(part) for part in number.parts)
        return replace(number, start=pieces[number.start].word, end=pieces[number.end - 1].word + 1, parts=parts)

    return [of_words(number) for number in numbers_in(pieces)]


def numbers_in(pieces: Sequence[Lexeme]) -> list[SpokenNumber]:
    """As `spoken_numbers`, with `start` and `end` counted in pieces."""
    reader, found, position = _Reader(pieces), [], 0
    while position < len(pieces):
        number = reader.number(position)
        if number is None:
            position += 1
        else:
            found.append(number)
            position = number.end
    return found


class _Reader:
    """A descent over the pieces; each method reads from a position or gives None."""

    def __init__(self, pieces: Sequence[Lexeme]) -> None:
        self.pieces = pieces

    def text(self, position: int | None) -> str:
        return "" if position is None else self.pieces[position].text

    def after(self, end: int) -> int | None:
        """The position that goes on the number ending before `end`; hyphens and hesitation are passed over.

        A pause ends a number unless it only surrounds hesitation.
        """
        paused = False
        for position in range(end, len(self.pieces)):
            stop = self.pieces[position - 1].stop
            text = self.pieces[position].text
            if stop == ".":
                return None
            paused = paused or (stop == "," and text not in FILLERS and self.pieces[position - 1].text not in FILLERS)
            if text not in FILLERS and text != "-":
                return None if paused else position
        return None

    def number(self, position: int) -> SpokenNumber | None:
        text = self.text(position)
        if text[0].isdigit():
            return self._from_digits(position)
        if text in _DECADES:
            return SpokenNumber(position, position + 1, _DECADES[text], "decade")
        if text in ("zero", "nought", "naught"):
            return SpokenNumber(position, position + 1, 0, "words")
        if text in _ORDINALS and text != "second":
            return SpokenNumber(position, position + 1, _ORDINALS[text], "ordinal")
        cardinal = self._cardinal(position)
        if cardinal is None:
            return None
        whole = SpokenNumber(position, cardinal[1], cardinal[0], "words")
        return self._ordinal(whole) or self._digit_by_digit(whole) or self._two_part(whole) or whole

    def _from_digits(self, position: int) -> SpokenNumber | None:
        text, end = self.text(position), position + 1
        if clock := _CLOCK.match(text):
            return SpokenNumber(position, end, int(clock[1]) * 100 + int(clock[2]), "clock")
        plain = text.replace(",", "")
        if not plain.isascii() or not plain.isdigit():
            return None
        number = SpokenNumber(position, end, int(plain), "digits")
        following = self.text(end) if end < len(self.pieces) and not self.pieces[position].stop else ""
        if following in _ORDINAL_ENDINGS:
            return replace(number, end=end + 1, form="ordinal")
        if following == "s" and number.value >= 20 and number.value % 10 == 0:
            return replace(number, end=end + 1, form="decade")
        if following in ("hundred", "thousand"):
            value, end = self._scaled(number.value, end)
            return replace(number, value=value, end=end)
        return self._two_part(number) or number

    def _below_hundred(self, position: int | None) -> tuple[int, int] | None:
        if position is None:
            return None
        text = self.text(position)
        if text in TENS:
            following = self.after(position + 1)
            unit = UNITS.get(self.text(following).removesuffix("'s"))  # "seventy-one's dark"
            if following is not None and unit:
                return TENS[text] + unit, following + 1
            return TENS[text], position + 1
        small = UNITS.get(text) or TEENS.get(text)
        return (small, position + 1) if small else None

    def _cardinal(self, position: int) -> tuple[int, int] | None:
        if self.text(position) in ("hundred", "thousand"):
            return self._scaled(1, position)
        if self.text(position) == "a":
            scale = self.after(position + 1)
            return self._scaled(1, scale) if scale is not None and self.text(scale) in ("hundred", "thousand") else None
        head = self._below_hundred(position)
        if head is None:
            return None
        scale = self.after(head[1])
        return (
            self._scaled(head[0], scale) if scale is not None and self.text(scale) in ("hundred", "thousand") else head
        )

    def _scaled(self, head: int, scale: int) -> tuple[int, int]:
        """`head` hundred or thousand, with the rest that follows: "and eight", "one hundred and one"."""
        value, end = head * (100 if self.text(scale) == "hundred" else 1000), scale + 1
        rest = self.after(end)
        joined = rest is not None and self.text(rest) == "and"
        if joined and rest is not None:
            rest = self.after(rest + 1)
        if rest is not None and self.text(rest) in _ZERO and value < 1000:  # "one hundred oh two"
            unit = self.after(rest + 1)
            rest = unit if self.text(unit) in UNITS else rest
        tail = None if rest is None else self._below_hundred(rest) if value < 1000 else self._cardinal(rest)
        if tail is None or tail[0] >= (100 if self.text(scale) == "hundred" else 1000):
            return self._thousands(value, end)
        if tail[0] < 10 and self._goes_on(tail[1]):
            return self._thousands(value, end)  # "between a hundred and one twenty"
        return self._thousands(value + tail[0], tail[1])

    def _thousands(self, value: int, end: int) -> tuple[int, int]:
        scale = self.after(end)
        if 100 <= value < 1000 and scale is not None and self.text(scale) == "thousand":
            return self._scaled(value, scale)
        return value, end

    def _goes_on(self, end: int) -> bool:
        following = self.text(self.after(end))
        return following in TENS or following in TEENS or following in _ZERO or following == "hundred"

    def _heads_another(self, end: int) -> bool:
        """Whether "oh one" follows, as in "two, ten oh one": what stands before it belongs there."""
        zero = self.after(end)
        return zero is not None and self.text(zero) in _ZERO and self.text(self.after(zero + 1)) in UNITS

    def _ordinal(self, whole: SpokenNumber) -> SpokenNumber | None:
        """ "twenty-fifth", "hundred and first"; "second" is left to mean time."""
        following = self.after(whole.end)
        text = self.text(following)
        if following is None or text not in _ORDINALS or text == "second" or whole.value % 10 or whole.value < 20:
            return None
        return replace(whole, end=following + 1, value=whole.value + _ORDINALS[text], form="ordinal")

    def _digit_by_digit(self, whole: SpokenNumber) -> SpokenNumber | None:
        """ "one four two", "one zero two four"; counting up ("one two three") is no number."""
        digits: list[SpokenNumber] = [whole]
        position = self.after(whole.end)
        while whole.value < 10 and position is not None:
            text = self.text(position)
            value = 0 if text in _ZERO else UNITS.get(text)
            if value is None:
                break
            digits.append(SpokenNumber(position, position + 1, value, "words"))
            position = self.after(position + 1)
        if position is not None and self.text(position) in (TENS | TEENS):
            digits = digits[:-1]
        values = [digit.value for digit in digits]
        steps = {later - earlier for earlier, later in zip(values, values[1:], strict=False)}
        if len(values) not in (3, 4) or steps in ({1}, {0}):
            return None
        value = int("".join(map(str, values)))
        parts = tuple(digits) if all(values) else ()
        return SpokenNumber(whole.start, digits[-1].end, value, "words", parts)

    def _two_part(self, head: SpokenNumber) -> SpokenNumber | None:
        """ "one twenty", "ten twenty-four", "one oh eight", "1 oh 8", "10 24", "one 12": hundreds and the rest."""
        position = self.after(head.end)
        if position is None or not 1 <= head.value <= _LARGEST_HEAD or self._stands_alone(head, position):
            return None
        text = self.text(position)
        if text in _ZERO:
            return self._with_zero(head, position)
        if head.form == "digits" or text.isdigit():
            if len(text) != 2 or not text.isdigit() or self.pieces[position - 1].text == "-":
                return None
            tail = SpokenNumber(position, position + 1, int(text), "digits")
        elif text in _DECADES:
            return SpokenNumber(head.start, position + 1, head.value * 100 + _DECADES[text], "decade")
        else:
            rest = self._below_hundred(position)
            if rest is None or rest[0] < 10 or self._heads_another(rest[1]):
                return None
            if rest[0] % 10 == head.value and rest[0] > 20 and self._goes_on(rest[1]):
                rest = (rest[0] - head.value, position + 1)  # "one twenty one twenty-four"
            tail = SpokenNumber(position, rest[1], rest[0], "words")
        return SpokenNumber(head.start, tail.end, head.value * 100 + tail.value, head.form, (head, tail))

    def _stands_alone(self, head: SpokenNumber, position: int) -> bool:
        """Whether "one" stands for a thing, as in "the first one. Fifty-eight, he turns" without punctuation.

        Digits after a word are another number too, as in "this one 12 he turns", but not in "at one 12".
        """
        before = self.text(head.start - 1) if head.start else ""
        pronoun = self.text(head.start) == "one" and before in _BEFORE_PRONOUN
        mixed = head.form != "digits" and self.text(position).isdigit()
        return pronoun or (mixed and before not in _BEFORE_MIXED)

    def _with_zero(self, head: SpokenNumber, zero: int) -> SpokenNumber | None:
        position = self.after(zero + 1)
        text = self.text(position)
        if position is None or not (text in UNITS or text in _ZERO or (len(text) == 1 and text.isdigit())):
            return None
        last = UNITS.get(text, 0) if not text.isdigit() else int(text)
        return SpokenNumber(head.start, position + 1, head.value * 100 + last, head.form)
