"""Who and what is talked of: characters and props by name, by kind ("the courier") and by pronoun."""

from collections import Counter
from collections.abc import Sequence

from critsheet.language.remarks import SubjectFinding
from critsheet.vocabulary.stems import stem

_PRONOUNS = dict.fromkeys("he him his himself he's he'd he'll".split(), "he") | dict.fromkeys(
    "she her hers herself she's she'd she'll".split(), "she"
)
PRONOUN_WITHIN = 8
"""Words after a name in which "he" or "she" most likely means it."""

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

    A pronoun stands for the character named last before it that it fits, or for the only one that it fits.
    Whether "he" or "she" fits a name is learned from what follows the name elsewhere in the talk.
    """
    mentions = _mentions(words, names)
    persons = characters(names)
    genders = _genders(words, [found for found in mentions if found.name in persons])
    starts = {found.start: found for found in mentions}
    inside = {place for found in mentions for place in range(found.start, found.end)}
    found, last_named = list(mentions), list(reversed(persons))
    for place, word in enumerate(words):
        if place in starts and starts[place].name in persons:
            last_named.remove(starts[place].name)
            last_named.append(starts[place].name)
        gender = _PRONOUNS.get(word.lower())
        if gender and place not in inside:
            fitting = [name for name in last_named if genders.get(name, gender) == gender]
            heard = any(mention.start < place for mention in mentions if mention.name in fitting)
            if fitting and (heard or len(fitting) == 1):
                found.append(SubjectFinding(fitting[-1], place, place + 1, by_name=False))
    return sorted(found, key=lambda subject: subject.start)


def _mentions(words: Sequence[str], names: Sequence[str]) -> list[SubjectFinding]:
    stems = [_name_stem(word) for word in words]
    known = [(name, tuple(_name_stem(part) for part in name.split())) for name in names]
    known += [(name, parts[-1:]) for name, parts in known if len(parts) > 1]
    found: list[SubjectFinding] = []
    place = 0
    while place < len(words):
        match = _longest_name(stems, place, known)
        if match:
            found.append(SubjectFinding(match[0], place, place + match[1], by_name=True))
        place += match[1] if match else 1
    return found


def _genders(words: Sequence[str], mentions: Sequence[SubjectFinding]) -> dict[str, str]:
    """For each name the pronoun class that follows it most within a few words; left out where neither leads."""
    votes: dict[str, Counter[str]] = {}
    ends = [*(following.start for following in mentions[1:]), len(words)]
    for here, next_start in zip(mentions, ends, strict=False):
        end = min(here.end + PRONOUN_WITHIN, next_start)
        gender = next((_PRONOUNS[word.lower()] for word in words[here.end : end] if word.lower() in _PRONOUNS), None)
        if gender:
            votes.setdefault(here.name, Counter())[gender] += 1
    ranked = {name: counts.most_common(2) for name, counts in votes.items()}
    return {name: best[0][0] for name, best in ranked.items() if len(best) == 1 or best[0][1] > best[1][1]}


def _longest_name(
    stems: Sequence[str], place: int, known: Sequence[tuple[str, tuple[str, ...]]]
) -> tuple[str, int] | None:
    fits = [(name, len(parts)) for name, parts in known if tuple(stems[place : place + len(parts)]) == parts]
    return max(fits, key=lambda fit: fit[1], default=None)


def _name_stem(word: str) -> str:
    lowered = word.lower().replace("’", "'")
    return stem(lowered.removesuffix("'s").removesuffix("'"))
