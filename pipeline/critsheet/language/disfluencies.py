"""Removes what speech adds and writing leaves out: fillers, stutters, restarts."""

import re
from collections.abc import Sequence

_SOUNDS = frozenset(["um", "uh", "erm", "er", "uhm", "umm", "hmm", "hm", "mm", "mmm", "ah", "eh", "uhh", "tch", "pff"])
_PHRASES = tuple(
    tuple(phrase.split())
    for phrase in (
        "you know what i mean", "if you know what i mean", "you know what", "you know", "i mean", "sort of", "kind of",
        "kinda", "sorta", "or something", "or whatever", "how do i say", "how to say", "i guess", "i suppose",
        "i think",
        "i don't know", "if that makes sense", "to be honest", "basically", "literally", "obviously", "honestly",
    )
)  # fmt: skip
_LONGEST_REPEAT = 4
"""A restart repeats one to four words ("at the, at the landing")."""

_REPEATABLE = frozenset("very really so no way far much small big more many long bunk whack tap".split())
"""Words that people double on purpose ("way, way too fast")."""


def fluent(words: Sequence[str]) -> list[str]:
    """The words and marks of a clause without fillers, repeats and stray commas; a copy, in order."""
    kept = [word for word in words if word.lower() not in _SOUNDS]
    kept = _without_phrases(kept)
    kept = _without_like(kept)
    kept = _without_repeats(kept)
    return _tidy_marks(kept)


def _without_phrases(words: list[str]) -> list[str]:
    kept: list[str] = []
    place = 0
    lowered = [word.lower().replace("’", "'") for word in words]
    while place < len(words):
        match = next((p for p in _PHRASES if tuple(lowered[place : place + len(p)]) == p), None)
        if match and not _is_meant(lowered, place, match):
            place += len(match)
        else:
            kept.append(words[place])
            place += 1
    return kept


def _is_meant(lowered: list[str], place: int, phrase: tuple[str, ...]) -> bool:
    """Whether the words are no filler: "that kind of arc", "I don't know what he thinks"."""
    before = lowered[place - 1] if place else ""
    after = lowered[place + len(phrase)] if place + len(phrase) < len(lowered) else ""
    if phrase in {("kind", "of"), ("sort", "of")}:
        return before in {"some", "any", "that", "this", "what", "which", "same", "the", "another", "one"}
    if phrase == ("i", "don't", "know"):
        return after in {"what", "why", "how", "who", "where", "if", "whether", "when"}
    return phrase == ("you", "know") and before in {"do", "let", "if", "as", "did"}


def _without_like(words: list[str]) -> list[str]:
    """Drops "like" set off by commas, or between a word and the same class of pause."""
    kept: list[str] = []
    for place, word in enumerate(words):
        before = words[place - 1] if place else ","
        after = words[place + 1] if place + 1 < len(words) else ","
        if word.lower() == "like" and before in {",", "-", "—"} and after in {",", "-", "—"}:
            continue
        kept.append(word)
    return kept


def _without_repeats(words: list[str]) -> list[str]:
    kept: list[str] = []
    for word in words:
        kept.append(word)
        for length in range(_LONGEST_REPEAT, 0, -1):
            if _repeats(kept, length):
                del kept[len(kept) - length :]
                while kept and not kept[-1][0].isalnum():
                    kept.pop()
                break
    return kept


def _repeats(words: list[str], length: int) -> bool:
    """Whether the last `length` words just said were said before them too, pauses aside."""
    spoken = [word.lower() for word in words if word[0].isalnum()]
    if len(spoken) < 2 * length or not words[-1][0].isalnum():
        return False
    last, earlier = spoken[-length:], spoken[-2 * length : -length]
    if last != earlier or any(word.isdigit() for word in last):
        return False
    tail = words[-2 * length :] if all(word[0].isalnum() for word in words[-2 * length :]) else words[-2 * length - 1 :]
    breaks_sentence = any(re.fullmatch(r"[.?!;:]", word) for word in tail)
    return not breaks_sentence and not (length == 1 and last[0] in _REPEATABLE)


def _tidy_marks(words: list[str]) -> list[str]:
    """No mark at the start, no doubled marks."""
    kept: list[str] = []
    for word in words:
        is_mark = not word[0].isalnum() and word not in {"“", '"', "'", "("}
        if is_mark and (not kept or not kept[-1][0].isalnum()):
            if kept and word in ".?!":
                kept[-1] = word
            continue
        kept.append(word)
    return kept
