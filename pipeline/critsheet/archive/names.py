"""Finds people in what was said: full names, first names and surnames alone, in any case, with or without accents.

A part that is an everyday word as well (Mark, Will) counts as a name where it stands with a capital inside a sentence,
or is spoken to or owns something ("Mark, ..." and "Mark's"); in captions without capitals it cannot be told.
"""

import re
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from critsheet.archive.everyday import is_everyday

_WORD = re.compile(r"(?:[^\W\d_][\u0300-\u036f]*)+|\d+")
_STROKES = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"})
_STROKE = re.compile("[øłđðþæœı]")
_ACCENTS = re.compile("[\u0300-\u036f]+")
_NEVER_ALONE = frozenset(
    """
    van von der den de del della da di do dos das du la le les al el bin bint ibn ter ten zu zur af av st san mac mc
    mr mrs ms mx miss dr prof sir madam student mentor teacher tutor trainee guest
    """.split()
)
"""What stands in a name, but names nobody by itself."""
_LEAST = 2
"""Letters of a part: an initial names nobody."""
_LEAST_WITH_S = 4
"""Letters of a part that is known with an s as well, as captions write "tamsins hips"."""
_APART = re.compile(r"[\s\-‐–.'’_]{1,2}")
"""What may stand between the parts of a name."""
_SENTENCE_END = re.compile(r"[.?!:…\n\"“”]")
_CALLED = re.compile(r"[,!?.…]|['’]s\b|$")
"""What follows a name that somebody is spoken to by, or that owns something."""


@dataclass(frozen=True)
class Said:
    """Where a text names somebody: from letter `start` to `end` (exclusive). More than one person may bear the name."""

    start: int
    end: int
    people: frozenset[int]


@dataclass(frozen=True)
class _Word:
    start: int
    end: int
    form: str


def folded(text: str) -> str:
    """The text as names are compared: no case, no accents."""
    if text.isascii():
        return text.lower()
    bare = _ACCENTS.sub("", unicodedata.normalize("NFKD", text)).casefold()
    return bare.translate(_STROKES) if _STROKE.search(bare) else bare


@lru_cache(maxsize=65536)
def _form(word: str) -> str:
    return folded(word)


def parts_of(name: str) -> list[str]:
    """The words of a name, folded, in order."""
    return [_form(match.group()) for match in _WORD.finditer(name)]


def telling_parts(name: str) -> list[str]:
    """The parts that name somebody by themselves, as in a first name or a surname alone."""
    return [part for part in dict.fromkeys(parts_of(name)) if _is_telling(part)]


def _is_telling(part: str) -> bool:
    return len(part) >= _LEAST and not part.isdigit() and part not in _NEVER_ALONE


class KnownNames:
    """People by their ids, to be found in texts. `not_alone` are parts that say nothing by themselves."""

    def __init__(self, people: Mapping[int, str], not_alone: Collection[str] = ()) -> None:
        self._not_alone = frozenset(not_alone)
        self._names = {person: parts_of(name) for person, name in people.items()}
        self._places: dict[str, list[tuple[int, int]]] = defaultdict(list)
        self._joined: dict[str, set[int]] = defaultdict(set)
        for person, parts in self._names.items():
            for place, part in enumerate(parts):
                self._places[part].append((person, place))
            # As file names and captions write them: TamsinOkoro, annemarie, odell.
            joints = [parts, parts[::-1], *(parts_of(word) for word in people[person].split())]
            for several in joints:
                if len(several) > 1:
                    self._joined["".join(several)].add(person)

    def needles(self) -> set[str]:
        """Folded pieces of text, one of which stands in every text that names somebody."""
        alone = {part for part in self._places if _is_telling(part) and part not in self._not_alone}
        return alone | {max(parts, key=len) for parts in self._names.values() if parts} | set(self._joined)

    def everyday(self) -> list[str]:
        """The parts that are everyday words as well."""
        return [part for part in self._places if _is_telling(part) and is_everyday(part)]

    def find(self, text: str) -> list[Said]:
        """Everybody named in a text, in order, apart from each other."""
        return self._look(text)[0]

    def unsure(self, text: str, *, capitals: bool) -> Counter[str]:
        """Everyday words in a text that may be somebody's name and are not found as one.

        Where the text has `capitals`, a word without one is a word.
        """
        return Counter(word.lower() for word in self._look(text)[1] if not capitals or not word.islower())

    def _look(self, text: str) -> tuple[list[Said], list[str]]:
        words = [_Word(match.start(), match.end(), _form(match.group())) for match in _WORD.finditer(text)]
        found: list[Said] = []
        unsure: list[str] = []
        at = 0
        while at < len(words):
            length, people, sure = self._longest(text, words, at)
            if people and sure:
                found.append(Said(words[at].start, words[at + length - 1].end, people))
            elif people:
                unsure.append(text[words[at].start : words[at + length - 1].end])
            at += length
        return found, unsure

    def _longest(self, text: str, words: list[_Word], at: int) -> tuple[int, frozenset[int], bool]:
        """The longest stretch of somebody's name from a word on: its length in words, who, and whether it is sure."""
        form = words[at].form
        if form in self._joined:
            return 1, frozenset(self._joined[form]), True
        runs: dict[int, set[int]] = defaultdict(set)
        for person, place in self._places.get(form, ()):
            runs[self._run(text, words, at, person, place)].add(person)
        if not runs:
            return self._with_s(form)
        length = max(runs)
        people, forms = frozenset(runs[length]), [word.form for word in words[at : at + length]]
        whole = any(self._names[person] == forms for person in people)
        telling = [part for part in forms if _is_telling(part)]
        if len(telling) > 1 or (telling and whole and length > 1):
            return length, people, True
        if not telling or (telling[0] in self._not_alone and not whole):
            return 1, frozenset(), False
        return length, people, not is_everyday(telling[0]) or _is_called(text, words, at, length)

    def _with_s(self, form: str) -> tuple[int, frozenset[int], bool]:
        part = form[:-1]
        if not form.endswith("s") or len(part) < _LEAST_WITH_S or part not in self._places:
            return 1, frozenset(), False
        if not _is_telling(part) or part in self._not_alone or is_everyday(part):
            return 1, frozenset(), False
        return 1, frozenset(person for person, _ in self._places[part]), True

    def _run(self, text: str, words: list[_Word], at: int, person: int, place: int) -> int:
        parts, length = self._names[person], 1
        while (
            place + length < len(parts)
            and at + length < len(words)
            and words[at + length].form == parts[place + length]
            and _APART.fullmatch(text, words[at + length - 1].end, words[at + length].start)
        ):
            length += 1
        return length


def _is_called(text: str, words: list[_Word], at: int, length: int) -> bool:
    """Whether an everyday word is written as a name."""
    start, end = words[at].start, words[at + length - 1].end
    word = text[start:end]
    if not word[0].isupper() or (len(word) > 1 and word.isupper()):
        return False
    between = text[words[at - 1].end : start] if at else "\n"
    return not _SENTENCE_END.search(between) or bool(_CALLED.match(text, end))


def shared_parts(name: str, others: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """The parts of a name of several that others bear as well, with who: by themselves they may mean either."""
    if len(parts_of(name)) == 1:
        return {}
    parts_of_others = [(other, parts_of(other)) for other in others]
    bearers = {
        part: tuple(other for other, theirs in parts_of_others if part in theirs) for part in telling_parts(name)
    }
    return {part: who for part, who in bearers.items() if who}
