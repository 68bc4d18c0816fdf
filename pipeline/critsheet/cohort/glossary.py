"""The best-put explanations of each category in an archive, without anybody's name."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.archive.names import KnownNames
from critsheet.labels import Category

if TYPE_CHECKING:
    from critsheet.archive.told import Saying
    from critsheet.vocabulary import Vocabulary

PER_CATEGORY = 300
"""Notes of a category that are looked through, those filed last."""
SHOWN = 3
SHORTEST, LONGEST = 8, 35
"""Words: fewer explain nothing, more are not read."""
ALIKE = 70
"""Of 100, from which two sayings count as one (rapidfuzz's token_set_ratio)."""
SOMEONE, CHARACTER = "someone", "the character"
_SENTENCE = re.compile(r"[^.!?]+[.!?]+|[^.!?]+$")
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_POINTING = re.compile(r"\b(?:this|these|here|there|that one|right now)\b", re.IGNORECASE)
_HALTING = re.compile(r"\b(?:um+|uh+|er+|you know|kind of|sort of|i mean|okay|hang on|wait)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Explained:
    """A category, the sayings that explain it best, and those that praise it, the best first."""

    category: Category
    explanations: tuple[str, ...]
    praise: tuple[str, ...]


def glossary(sayings: "Sequence[Saying]", people: Sequence[str], vocabulary: "Vocabulary") -> list[Explained]:
    """All categories, in the order of work, with what was found. `people` is everyone the archive knows."""
    known = KnownNames(dict(enumerate(people)))
    found = []
    for category in sorted(vocabulary.categories, key=lambda one: vocabulary.categories[one].order):
        own = [saying for saying in sayings if saying.category == category]
        asked = _best(_sentences([one for one in own if one.kind != "keep"], known), vocabulary, category, reason=True)
        praised = _best(
            _sentences([one for one in own if one.kind == "keep"], known), vocabulary, category, reason=False
        )
        found.append(Explained(category, tuple(asked), tuple(praised)))  # type: ignore[arg-type]
    return found


def _sentences(sayings: "Sequence[Saying]", people: KnownNames) -> Iterator[str]:
    """Every sentence, with neutral words in place of names."""
    for saying in sayings:
        # Props stand among a shot's names too, in small letters: "the crate" names nobody.
        characters = KnownNames(dict(enumerate(name for name in saying.characters if name[:1].isupper())))
        for quote in saying.quotes:
            for match in _SENTENCE.finditer(without(characters, CHARACTER, without(people, SOMEONE, quote))):
                sentence = match.group().strip()
                fits = SHORTEST <= len(sentence.split()) <= LONGEST and sentence[-1:] in ".!"
                if fits and not _may_name(sentence, people):
                    yield sentence[:1].upper() + sentence[1:]


def _may_name(sentence: str, people: KnownNames) -> bool:
    """Whether an everyday word may be somebody's name, or a capital stands where only a name bears one.

    There are sayings enough to go without such a one.
    """
    words = [match.group() for match in _WORD.finditer(sentence)][1:]
    capital = any(word[0].isupper() and not word.isupper() and len(re.split("['’-]", word)[0]) > 1 for word in words)
    return capital or bool(people.unsure(sentence, capitals=True))


def without(names: KnownNames, stand_in: str, text: str) -> str:
    """The text with a stand-in for everybody who is named in it."""
    for said in reversed(names.find(text)):
        text = text[: said.start] + stand_in + text[said.end :]
    return text


def _best(sentences: Iterator[str], vocabulary: "Vocabulary", category: str, *, reason: bool) -> list[str]:
    from rapidfuzz.fuzz import token_set_ratio

    worth = {sentence: _worth(sentence, vocabulary, category, reason=reason) for sentence in dict.fromkeys(sentences)}
    chosen: list[str] = []
    for sentence in sorted((one for one in worth if worth[one] > 0), key=lambda one: (-worth[one], len(one), one)):
        if all(token_set_ratio(sentence, other) < ALIKE for other in chosen):
            chosen.append(sentence)
        if len(chosen) == SHOWN:
            break
    return chosen


def _worth(sentence: str, vocabulary: "Vocabulary", category: str, *, reason: bool) -> float:
    """How well a sentence explains: it names the matter and gives a reason, and points at nothing one cannot see."""
    from critsheet.language.terms import find

    found = find(sentence.split(), vocabulary)
    functions = {each.function for each in found}
    to_the_point = any(each.category == category for each in found)
    gives_reason = "reason" in functions or " like " in sentence
    if not to_the_point or (not gives_reason if reason else "praise" not in functions):
        return 0
    worth = 3.0 + ("reason" in functions) + ("remedy" in functions) * 0.5 + (" like " in sentence) * 0.5
    worth -= 0.8 * len(_POINTING.findall(sentence)) + 0.6 * len(_HALTING.findall(sentence))
    return worth - ("question" in functions) - any(map(str.isdigit, sentence)) * 0.5
