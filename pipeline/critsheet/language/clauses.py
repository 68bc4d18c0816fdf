"""Cuts speech into clauses, with or without punctuation.

Sentence marks and long pauses always cut. Elsewhere a learned model of how sentences begin decides,
readily where a stretch has no punctuation (automatic captions), reluctantly inside a written sentence.
"""

from collections.abc import Sequence

from critsheet.language.learned import Features, chain
from critsheet.language.numbers import spoken_numbers
from critsheet.language.spoken import LONG_PAUSE_S, SpokenToken
from critsheet.vocabulary.stems import stem

STARTS, GOES_ON = "starts", "goes on"

CUT_UNPUNCTUATED = 0.3
"""Cutting too often costs little, since clauses are joined into notes again; too seldom merges notes."""

CUT_AT_COMMA = 0.6
"""A comma, dash or semicolon inside a written sentence cuts only where a sentence could well begin."""

CUT_INSIDE = 0.5
"""Recognisers leave out stops: a sentence is also cut between two words where one may well begin."""

UNPUNCTUATED_WORDS = 40
"""A written sentence this long is rare in speech: such a stretch is taken to lack its punctuation."""

NUMBER = "#"
INSIDE_NUMBER = "inside a number"
_OUTSIDE = "<>"


def clauses(tokens: Sequence[SpokenToken]) -> list[tuple[int, int]]:
    """The clauses as token ranges, end exclusive, covering every token in order."""
    if not tokens:
        return []
    cuts = _hard_cuts(tokens)
    chances = _start_chances(tokens)
    soft: set[int] = set()
    for first, end in zip(cuts, [*cuts[1:], len(tokens)], strict=True):
        bare = not _has_inner_marks(tokens[first:end]) and end - first > UNPUNCTUATED_WORDS
        for place in range(first + 1, end):
            after_mark = not tokens[place - 1].is_word
            limit = CUT_UNPUNCTUATED if bare else CUT_AT_COMMA if after_mark else CUT_INSIDE
            if tokens[place].is_word and chances[place] > limit:
                soft.add(place)
    starts = sorted({*cuts, *soft})
    return list(zip(starts, [*starts[1:], len(tokens)], strict=True))


def _hard_cuts(tokens: Sequence[SpokenToken]) -> list[int]:
    cuts = [0]
    for place in range(1, len(tokens)):
        closed = tokens[place - 1].ends_sentence and tokens[place].is_word
        if closed or tokens[place].pause_s >= LONG_PAUSE_S:
            cuts.append(place)
    return cuts


def _has_inner_marks(tokens: Sequence[SpokenToken]) -> bool:
    """Whether a stretch is punctuated at all, at least a mark in every UNPUNCTUATED_WORDS words."""
    marks = sum(not token.is_word for token in tokens)
    return marks * UNPUNCTUATED_WORDS >= len(tokens)


def _start_chances(tokens: Sequence[SpokenToken]) -> list[float]:
    """For each token, the probability that a clause starts there, by the words alone."""
    places = [place for place, token in enumerate(tokens) if token.is_word]
    model = chain("clauses")
    marginals = model.marginals(start_features([tokens[place] for place in places]))
    column = model.labels.index(STARTS)
    chances = [0.0] * len(tokens)
    for place, row in zip(places, marginals, strict=True):
        chances[place] = float(row[column])
    return chances


def start_features(words: Sequence[SpokenToken]) -> list[Features]:
    """Evidence for each word (no punctuation among them) that a clause starts with it."""
    forms, places = _folded([word.text for word in words])
    padded = [_OUTSIDE] * 3 + forms + [_OUTSIDE] * 3
    rows: list[Features] = []
    for word, place in zip(words, places, strict=True):
        if place is None:
            rows.append({INSIDE_NUMBER: 1.0})
            continue
        near = padded[place : place + 6]  # three before, the word itself, two after
        row = {f"{offset - 3}={form}": 1.0 for offset, form in enumerate(near)}
        row |= {
            f"-2 -1={near[1]} {near[2]}": 1.0,
            f"-1 0={near[2]} {near[3]}": 1.0,
            f"0 1={near[3]} {near[4]}": 1.0,
            f"0 1 2={near[3]} {near[4]} {near[5]}": 1.0,
            f"stem={stem(word.text)}": 1.0,
        }
        if word.pause_s >= LONG_PAUSE_S:
            row["pause"] = 1.0
        rows.append(row)
    return rows


def _folded(words: Sequence[str]) -> tuple[list[str], list[int | None]]:
    """The words in lower case, a number of several words ("one oh four") as one NUMBER, and where each word went.

    The later words of a number have no place of their own.
    """
    numbers = {number.start: number.end for number in spoken_numbers(words) if number.form != "ordinal"}
    forms: list[str] = []
    places: list[int | None] = []
    end = 0
    for index, word in enumerate(words):
        if index < end:
            places.append(None)
            continue
        several = numbers.get(index, index) > index + 1
        end = numbers[index] if several else index + 1
        places.append(len(forms))
        forms.append(NUMBER if several or word[0].isdigit() else word.lower())
    return forms, places
