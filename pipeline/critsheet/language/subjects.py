"""Who and what is talked of: characters and props by name, by kind ("the courier") and by pronoun."""

from collections.abc import Sequence

from critsheet.language.remarks import SubjectFinding
from critsheet.vocabulary.stems import stem

_PERSON_PRONOUNS = frozenset(["he", "she", "him", "her", "his", "hers", "himself", "herself"])
_ARTICLES = frozenset(["the", "a", "an"])


def split_names(text: str) -> tuple[str, ...]:
    """Names from one comma-separated line, in order, without repeats: "Osk, the valve" gives ("Osk", "valve")."""
    names: dict[str, None] = {}
    for part in text.split(","):
        words = part.split()
        while words and words[0].lower() in _ARTICLES:
            words = words[1:]
        if words:
            names.setdefault(" ".join(words))
    return tuple(names)


def find_subjects(words: Sequence[str], names: Sequence[str]) -> list[SubjectFinding]:
    """Every mention of a named character or prop, and every pronoun for a person, in order of place.

    A pronoun stands for the character named last before it; before any name it is left out.
    """
    stems = [_name_stem(word) for word in words]
    known = [(name, tuple(_name_stem(part) for part in name.split())) for name in names]
    known += [(name, parts[-1:]) for name, parts in known if len(parts) > 1]
    found: list[SubjectFinding] = []
    last_person: str | None = None
    place = 0
    while place < len(words):
        match = _longest_name(stems, place, known)
        if match:
            name, length = match
            found.append(SubjectFinding(name, place, place + length, by_name=True))
            last_person = name
            place += length
            continue
        if words[place].lower() in _PERSON_PRONOUNS and last_person:
            found.append(SubjectFinding(last_person, place, place + 1, by_name=False))
        place += 1
    return found


def _longest_name(
    stems: Sequence[str], place: int, known: Sequence[tuple[str, tuple[str, ...]]]
) -> tuple[str, int] | None:
    fits = [(name, len(parts)) for name, parts in known if tuple(stems[place : place + len(parts)]) == parts]
    return max(fits, key=lambda fit: fit[1], default=None)


def _name_stem(word: str) -> str:
    lowered = word.lower().replace("’", "'")
    return stem(lowered.removesuffix("'s").removesuffix("'"))
