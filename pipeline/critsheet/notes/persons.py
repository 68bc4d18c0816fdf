"""Who "he" and "she" are in an action: the one character that a note is about, by name."""

import re
from collections.abc import Sequence

from critsheet.language.subjects import characters
from critsheet.notes.about import About
from critsheet.notes.verbs import PREPOSITIONS, VERBS

_HE, _SHE = frozenset("he him his he's he'd himself".split()), frozenset("she her hers she's she'd herself".split())
_HER_TITLES, _HIS_TITLES = frozenset("mrs miss ms madame lady".split()), frozenset("mr sir lord uncle".split())
_PERSON = re.compile(r"(?<!whose )(?<!whose weight's )\b(?:he|she|him|his|her(?= [a-z]))\b", re.IGNORECASE)
_AFTER_PERSON = frozenset(["back", "and", "there", "a", "to", "the", ""])
_PARTICLES = frozenset("back up down over out off round around in to away".split())


def only_one(subject: str, note: About, names: Sequence[str]) -> bool:
    """Whether "he" or "she" can only be this character: there is no other, or the note names this one alone."""
    words = {word.lower() for remark in note.remarks for word in remark.words}
    he, she = bool(words & _HE), bool(words & _SHE)
    title = subject.split(maxsplit=1)[0].lower()
    if (he and she) or (he and title in _HER_TITLES) or (she and title in _HIS_TITLES):
        return False
    known = characters(names)
    by_name = {found.name for remark in note.remarks for found in remark.subjects if found.by_name}
    return known == (subject,) or by_name & set(known) == {subject}


def named_once(text: str, name: str, names: Sequence[str], parts: Sequence[str]) -> str:
    """The first "he", "she", "him" or "his" as the name of the one character there is, unless somebody is named."""
    match = _PERSON.search(text)
    before = text[: match.start()].lower() if match else ""
    if not match or any(other.lower() in before for other in names) or name.lower() in text.lower():
        return text
    called = name if name[0].isupper() else f"the {name}"
    word, after = match[0].lower(), text[match.end() :]
    owns = word == "his" or (word == "her" and _owns(before, after.lower(), parts))
    called += "'s" if owns else ""
    return f"{text[: match.start()]}{called}{after}"


def _owns(before: str, after: str, parts: Sequence[str]) -> bool:
    """Whether "her" between these words is an owner ("her left hand"), not a person acted on ("have her wait")."""
    first, second = [*re.findall(r"[\w'-]+", after), "", ""][:2]
    if first in _PARTICLES and not before.endswith(("fix ", "keep ")):
        return False
    if first in parts or second in parts or before.endswith(("fix ", "keep ")):
        return True
    acted = first in VERBS | PREPOSITIONS | _AFTER_PERSON or first.endswith(("ing", "ed"))
    caused = before.rstrip().rsplit(" ", 1)[-1] in {"have", "make", "let", "get", "see", "show"}
    return not acted and not (caused and second not in VERBS)
