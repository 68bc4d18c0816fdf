"""Named evidence for the learned decisions: where notes begin and end, and how each is labelled."""

from collections import Counter
from collections.abc import Mapping, Sequence, Set

from critsheet.language.learned import Features
from critsheet.language.remarks import Remark
from critsheet.vocabulary.stems import stem

NEIGHBOUR = 0.5
"""Evidence from a clause next door counts half."""

FOUND = 2.0
"""What the vocabulary found counts double against single words, being rarer and surer."""

_NEIGHBOUR_PREFIXES = ("word ", "first ", "found ", "pause", "asks", "length ", "does ")
_WINDOW = 3
"""Clauses on either side that count as just before or after: about as many as a note has."""

_AT_ONCE = 4
"""Words within which a frame opens a remark: "then at frame 18 ..."."""

_HARDLY_MORE = 8
"""Words of a remark that does little but name a frame: "go to 131", "98 and 110, let me flip between those"."""

_OPENING, _CLOSING, _LONG_TALK = 0.06, 0.94, 30
"""The shares of a recording in which people greet and say goodbye, if it has this many clauses."""


def plain_stems(remark: Remark) -> list[str]:
    """The stems of a remark's words; a name counts as `NAME` and a number as `#`, so that no case is special."""
    named = {place for subject in remark.subjects if subject.by_name for place in range(subject.start, subject.end)}
    stems = []
    for offset, word in enumerate(remark.words):
        if remark.first + offset in named:
            stems.append("NAME")
        elif word[0].isdigit():
            stems.append("#")
        elif word[0].isalpha():
            stems.append(stem(word.replace("’", "'")))
    return stems


def clause_evidence(remarks: Sequence[Remark]) -> list[Features]:
    """For each remark the evidence on whether a note starts in it, goes on, or is absent, and of which kind."""
    own = [_own_evidence(remark, _position(place, len(remarks))) for place, remark in enumerate(remarks)]
    rows: list[Features] = []
    for place, features in enumerate(own):
        row = dict(features)
        for offset in (-2, -1, 1, 2):
            if not 0 <= place + offset < len(own):
                row[f"{offset} none"] = 1.0
                continue
            for name, value in own[place + offset].items():
                near = abs(offset) == 1
                if name.startswith(_NEIGHBOUR_PREFIXES if near else ("found ", "does ")):
                    row[f"{offset} {name}"] = value * NEIGHBOUR
        row |= _link_evidence(remarks, place)
        rows.append(row)
    return rows


def _position(place: int, total: int) -> str | None:
    """Where greetings and goodbyes are to be expected, in talk long enough to have them."""
    if total < _LONG_TALK:
        return None
    return "opening" if place < total * _OPENING else "closing" if place >= total * _CLOSING else None


def _own_evidence(remark: Remark, position: str | None) -> dict[str, float]:
    stems = plain_stems(remark)
    row = {"always": 1.0, f"length {min(len(stems) // 3, 6)}": 1.0, f"does {remark.function}": FOUND}
    row |= {f"word {form}": 1.0 for form in stems}
    row |= {f"pair {one} {two}": 1.0 for one, two in zip(stems, stems[1:], strict=False)}
    if stems:
        row |= {f"first {stems[0]}": 1.0, f"first two {' '.join(stems[:2])}": 1.0, f"last {stems[-1]}": 1.0}
    row |= {name: FOUND * value for name, value in found_evidence([remark]).items()}
    if remark.after_pause:
        row["pause"] = 1.0
    if any(said.start - remark.first < _AT_ONCE for said in remark.frames):
        row["first frame"] = 1.0
        if len(stems) <= _HARDLY_MORE:
            row["hardly more than a frame"] = 1.0
    if remark.words[-1] == "?":
        row["asks"] = 1.0
    if position:
        row[position] = 1.0
    return row


def found_evidence(remarks: Sequence[Remark]) -> dict[str, float]:
    """What rules found, by function; body parts, frames and names as present or not."""
    functions = Counter(finding.function for remark in remarks for finding in remark.findings)
    row = {f"found {function}": min(2.0, float(count)) for function, count in functions.items()}
    if any(finding.category for remark in remarks for finding in remark.findings):
        row["found trade"] = 1.0
    if any(remark.body for remark in remarks):
        row["found body"] = 1.0
    if any(remark.frames for remark in remarks):
        row["found frame"] = 1.0
    if any(subject.by_name for remark in remarks for subject in remark.subjects):
        row["found name"] = 1.0
    return row


def _link_evidence(remarks: Sequence[Remark], place: int) -> dict[str, float]:
    """How a remark hangs together with those before it and after it: same parts, same trade words, or new ones."""
    row: dict[str, float] = {}
    here = _topics(remarks[place : place + 1])
    for label, others in (
        ("before", remarks[max(0, place - 1) : place]),
        ("just before", remarks[max(0, place - _WINDOW) : place]),
        ("just after", remarks[place + 1 : place + 1 + _WINDOW]),
    ):
        theirs = _topics(others)
        for topic, mine in here.items():
            if mine & theirs[topic]:
                row[f"same {topic} {label}"] = 1.0
            elif mine:
                row[f"new {topic} {label}"] = 1.0
    return row


def _topics(remarks: Sequence[Remark]) -> Mapping[str, Set[object]]:
    """What remarks are about, in four ways."""
    return {
        "body": {found.part for remark in remarks for found in remark.body},
        "trade": {category for remark in remarks for category in _categories(remark)},
        "word": {form for remark in remarks for form in plain_stems(remark)} - COMMON_STEMS,
        "frame": {(found.first, found.last) for remark in remarks for found in remark.frames},
    }


def _categories(remark: Remark) -> set[str]:
    return {finding.category for finding in remark.findings if finding.category}


COMMON_STEMS = frozenset(
    stem(word)
    for word in (
        "a an the and or but so then than that this these those it its he she they them his her their him i you we me "
        "my your our of to in on at by for from with up out off down over into about as if when where what who which "
        "how why is are was were be been being am do does did done have has had can could would should will just like "
        "really very not no yes there here now get got go goes going come comes one two bit little some any all more "
        "less too also well okay right yeah um uh oh know think see look mean want make it's that's he's she's "
        "there's i'd you'd don't let"
    ).split()
) | {"NAME", "#"}
"""Stems too common to tell what a remark is about."""
