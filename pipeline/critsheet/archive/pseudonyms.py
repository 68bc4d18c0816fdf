"""Puts stand-ins for everybody whom an archive knows into a sheet: "Student 12", "Mentor 3", in every text of it.

File names and hashes get stand-ins too, made with a key that never leaves the archive: the same recording has the same
one throughout, and nobody outside can try out a guess.
"""

import hmac
import re
import secrets
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate
from pathlib import PurePath
from typing import Any

from sqlalchemy import Connection, insert, select

from critsheet.archive.names import KnownNames, Said
from critsheet.archive.rows import person_key
from critsheet.archive.tables import facts, people, sheets
from critsheet.sheet import Sheet, from_document

SOMEONE = "Someone"
"""Stands in for a name that several people bear, none of them this sheet's own, and for whoever came in meanwhile."""
_KEY = "pseudonym_key"
_KEY_BYTES = 32
_LABELS = frozenset(
    "schema kind category also body place scope strength followup outcome source by_hand fps language".split()
)
"""Keys whose values come from fixed sets, where no name can stand."""
_SUFFIX = re.compile(r"\.[a-z0-9]{1,5}$", re.IGNORECASE)
_ID_DIGITS, _HASH_DIGITS = 12, 64


@dataclass(frozen=True)
class StoodIn:
    """A sheet with stand-ins; `unsure` are everyday words in it that may be somebody's name, and how often each."""

    sheet: Sheet
    unsure: Counter[str]


class Pseudonyms:
    """The stand-ins of an archive: of `people` by their ids, `mentors` among them, and of hashes by `key`."""

    def __init__(self, people_: Mapping[int, str], mentors: Iterable[int], key: bytes) -> None:
        self._mentors = frozenset(mentors)
        self._ids = {person_key(name): person for person, name in people_.items()}
        self._names = KnownNames(people_)
        self._key = key

    def stand_in(self, sheet: Sheet) -> StoodIn:
        """The sheet with stand-ins. Pictures and links beside it are left out."""
        return _Standing(self, sheet).done()

    def name(self, person: int) -> str:
        """What a person is called."""
        return f"{'Mentor' if person in self._mentors else 'Student'} {person}"

    def own(self, *names: str | None) -> frozenset[int]:
        """The ids of a sheet's own people: a name that others bear too means them."""
        return frozenset(self._ids[key] for name in names if name and (key := person_key(name)) in self._ids)

    def find(self, text: str, own: frozenset[int]) -> list[tuple[int, int, str]]:
        """Where a text names somebody (start, end; end exclusive), and the stand-in."""
        return [(said.start, said.end, self._called(said, own)) for said in self._names.find(text)]

    def _called(self, said: Said, own: frozenset[int]) -> str:
        meant = said.people & own or said.people
        return self.name(next(iter(meant))) if len(meant) == 1 else SOMEONE

    def replaced(self, text: str, own: frozenset[int]) -> str:
        """The text with a stand-in for everybody named in it."""
        return _replaced(text, self.find(text, own))

    def unsure(self, text: str, *, capitals: bool) -> Counter[str]:
        """See `KnownNames.unsure`."""
        return self._names.unsure(text, capitals=capitals)

    def hashed(self, text: str, digits: int) -> str:
        """A stand-in for a hash, file name or id."""
        return hmac.digest(self._key, text.encode(), "sha256").hex()[:digits]


def read_pseudonyms(connection: Connection) -> Pseudonyms:
    """The stand-ins of an archive, within a transaction; the first time makes its key, which writes."""
    known = connection.execute(select(facts.c.value).where(facts.c.name == _KEY)).scalar_one_or_none()
    if known is None:
        known = secrets.token_hex(_KEY_BYTES)
        connection.execute(insert(facts).values(name=_KEY, value=known))
    everybody = {row.id: row.name for row in connection.execute(select(people).order_by(people.c.id))}
    mentors = connection.execute(select(sheets.c.mentor).where(sheets.c.mentor.is_not(None)).distinct()).scalars()
    return Pseudonyms(everybody, mentors, bytes.fromhex(known))


class _Standing:
    """Puts stand-ins into one sheet."""

    def __init__(self, known: Pseudonyms, sheet: Sheet) -> None:
        self._known = known
        self._sheet = sheet
        self._own = known.own(sheet.review.student, sheet.review.mentor)
        said = (word for segment in sheet.transcript.segments for word in segment.text.split())
        self._capitals = any(word[0].isupper() and word[1:].islower() for word in said)
        self._unsure: Counter[str] = Counter()

    def done(self) -> StoodIn:
        document = self._sheet.model_dump(mode="json", by_alias=True)
        transcript, settings = document.pop("transcript"), document.pop("settings")
        new = self._value(document)
        new["review"] |= {role: self._role(role) for role in ("student", "mentor")}
        new["review"]["recording"]["links"] = []
        if self._sheet.review.title == PurePath(self._sheet.review.recording.file).stem:
            new["review"]["title"] = PurePath(new["review"]["recording"]["file"]).stem
        new["id"] = self._id(self._sheet.id)
        for note in (*new["notes"], *new["left_out"]):
            note["stills"] = []
        new["settings"] = self._settings(settings)
        new["transcript"] = self._transcript(transcript)
        return StoodIn(from_document(new, "The sheet with stand-ins"), self._unsure)

    def _role(self, role: str) -> str | None:
        name = getattr(self._sheet.review, role)
        known = self._known.own(name)
        return self._known.name(min(known)) if known else name and SOMEONE

    def _id(self, sheet_id: str) -> str:
        return f"s{self._known.hashed(sheet_id, _ID_DIGITS)}"

    def _settings(self, settings: dict[str, Any]) -> dict[str, Any]:
        options = settings.get("options")
        new = self._value(settings, labels=False)
        if isinstance(options, dict) and isinstance(options.get("previous"), list):
            new["options"]["previous"] = [self._id(str(each)) for each in options["previous"]]
        return dict(new)

    def _transcript(self, transcript: dict[str, Any]) -> dict[str, Any]:
        segments = [self._segment(segment) for segment in transcript["segments"]]
        repairs = [self._repair(repair) for repair in transcript["repairs"]]
        return {**transcript, "segments": segments, "repairs": repairs}

    def _segment(self, segment: dict[str, Any]) -> dict[str, Any]:
        self._unsure += self._known.unsure(segment["text"], capitals=self._capitals)
        text, words = segment["text"], segment["words"]
        joined = " ".join(word["text"] for word in words)
        found = self._known.find(joined, self._own)
        new = _replaced(text, found) if text == joined else self._text(text)
        return {**segment, "text": new, "words": _timed(words, found)}

    def _repair(self, repair: dict[str, Any]) -> dict[str, Any]:
        """A name that was misheard is still that name: what was heard goes as well."""
        text, rule = self._text(repair["text"]), self._text(repair["rule"])
        raw = self._text(repair["raw"]) if text == repair["text"] else text
        return {**repair, "text": text, "raw": raw, "rule": rule}

    def _value(self, value: Any, *, labels: bool = True) -> Any:
        if isinstance(value, str):
            return self._text(value)
        if isinstance(value, list):
            return [self._value(each, labels=labels) for each in value]
        if isinstance(value, dict):
            new = {
                k: each if labels and k in _LABELS else self._value(each, labels=labels) for k, each in value.items()
            }
            return new | self._file(value)
        return value

    def _file(self, value: dict[str, Any]) -> dict[str, str]:
        """Stand-ins for the name and hash of a file that a part of the sheet is about."""
        name, sha256 = value.get("file"), value.get("sha256")
        new = {}
        if isinstance(sha256, str):
            new["sha256"] = self._known.hashed(sha256, _HASH_DIGITS)
        if isinstance(name, str) and "sha256" in value:
            suffix = _SUFFIX.search(name)
            new["file"] = f"file-{self._known.hashed(sha256 or name, _ID_DIGITS)}{suffix[0] if suffix else ''}"
        return new

    def _text(self, text: str) -> str:
        return self._known.replaced(text, self._own)


def _replaced(text: str, found: Sequence[tuple[int, int, str]], offset: int = 0) -> str:
    """A text from letter `offset` of the one that was looked through, with stand-ins."""
    parts, at = [], 0
    for start, end, name in found:
        parts += [text[at : start - offset], name]
        at = end - offset
    return "".join((*parts, text[at:]))


def _timed(words: list[dict[str, Any]], found: Sequence[tuple[int, int, str]]) -> list[dict[str, Any]]:
    """Timed words with stand-ins, which were found in the words joined by spaces."""
    ends = list(accumulate(len(word["text"]) + 1 for word in words))
    new: list[dict[str, Any]] = []
    place = 0
    while place < len(words):
        start, last = ends[place] - len(words[place]["text"]) - 1, place
        inside = []
        for one in found:
            if start <= one[0] < ends[last]:
                inside.append(one)
                last = max(last, bisect_left(ends, one[1]))
        some = words[place : last + 1]
        if inside:
            text = _replaced(" ".join(word["text"] for word in some), inside, start)
            new += _shared_out(some, text.split())
        else:
            new += some
        place = last + 1
    return new


def _shared_out(words: list[dict[str, Any]], texts: list[str]) -> list[dict[str, Any]]:
    """Other words in the time of some; what was heard at first goes, as it may be the name."""
    times = [(word["start"], word["end"]) for word in words]
    if len(texts) != len(words):
        start, end = words[0]["start"], words[-1]["end"]
        edges = [start + (end - start) * place / len(texts) for place in range(len(texts))]
        times = list(zip(edges, [*edges[1:], end], strict=True))
    probability = min(word["probability"] for word in words)
    return [
        {"start": start, "end": end, "text": text, "raw": None, "probability": probability}
        for text, (start, end) in zip(texts, times, strict=True)
    ]
