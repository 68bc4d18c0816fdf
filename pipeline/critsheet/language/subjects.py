"""Who and what is talked of: characters and props by name, by kind ("the courier") and by pronoun."""

from collections.abc import Sequence

from critsheet.language.remarks import SubjectFinding
from critsheet.vocabulary.stems import stem

_PERSON_PRONOUNS = frozenset("he she him her his hers himself herself".split())
_ARTICLES = frozenset("the a an".split())


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


def characters(names: Sequence[str]) -> tuple[str, ...]:
    """The names that "he" or "she" can stand for: those written with a capital, else the first one given."""
    return tuple(name for name in names if name[0].isupper()) or tuple(names[:1])


def find_subjects(words: Sequence[str], names: Sequence[str]) -> list[SubjectFinding]:
    """Every mention of a named character or prop, and every pronoun for a person, in order of place.

    A pronoun stands for the character named last before it, or for the only one there is.
    """
    stems = [_name_stem(word) for word in words]
    known = [(name, tuple(_name_stem(part) for part in name.split())) for name in names]
    known += [(name, parts[-1:]) for name, parts in known if len(parts) > 1]
    found: list[SubjectFinding] = []
    persons = characters(names)
    last_person = persons[0] if len(persons) == 1 else None
    place = 0
    while place < len(words):
        match = _longest_name(stems, place, known)
        if match:
            name, length = match
            found.append(SubjectFinding(name, place, place + length, by_name=True))
            last_person = name if name in persons else last_person
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
