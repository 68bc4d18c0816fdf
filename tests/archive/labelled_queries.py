"""How well the search finds what people look for, by labelled queries over labelled critiques.

    python tests/archive/labelled_queries.py    each query's figures, and their means by kind

nDCG as K. Jarvelin and J. Kekalainen define it, "Cumulated gain-based evaluation of IR techniques", ACM Transactions on
Information Systems 20 (2002), 422-446, with gains of 2**grade - 1; recall of what twenty places could hold.
"""

import json
import math
import sys
import tempfile
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import mean
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "eval"))

from critiques import critique, files

from critsheet import vocabulary
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.searching import search
from critsheet.archive.wanted import Wanted
from critsheet.sheet import Moment, Note, Recording, Review, Sheet, Transcript

QUERIES: dict[str, Any] = json.loads(Path(__file__).with_name("queries.json").read_text())
SEEN = 20
FIRST = 10


def fill(archive: Archive, pack: vocabulary.Vocabulary) -> None:
    """File every labelled critique that the queries were labelled over."""
    for path in files():
        if path.stem in QUERIES["critiques"]:
            one = prepare(sheet(path), pack)
            archive.write(lambda connection, one=one: file(connection, one, None, now()))  # type: ignore[misc]


def sheet(path: Path) -> Sheet:
    """A labelled critique as the sheet that it should become; its title is its name."""
    read = critique(path)
    notes = [
        Note(
            id=gold["id"],
            kind=gold["kind"],
            category=gold["category"],
            also=tuple(gold.get("also") or ()),
            body=tuple(gold.get("body") or ()),
            moments=tuple(Moment(start=a, end=b, quote=_said(read.transcript, a, b)) for a, b in gold["moments"]),
            action=gold["action"],
            rank=rank,
        )
        for rank, gold in enumerate(read.gold["notes"], 1)
    ]
    recording = Recording(file=f"{path.stem}.m4a", sha256=path.stem, duration=0)
    return Sheet(
        id=path.stem,
        made="2026-01-01T00:00:00Z",
        review=Review(title=path.stem, recording=recording),
        transcript=Transcript(language="en", segments=()),
        notes=tuple(notes),
    )


def _said(transcript: Transcript, start_s: float, end_s: float) -> str:
    return " ".join(word.text for word in transcript.words if start_s - 0.01 <= word.start < end_s)


def figures(found: Sequence[str], relevant: Mapping[str, int]) -> dict[str, float]:
    """nDCG of the first ten, recall of the first twenty, and one over the place of the first that is relevant."""
    ideal = _gain(sorted(relevant.values(), reverse=True))
    first = next((place for place, note in enumerate(found, 1) if note in relevant), None)
    return {
        "ndcg": _gain([relevant.get(note, 0) for note in found]) / ideal,
        "recall": sum(note in relevant for note in found[:SEEN]) / min(SEEN, len(relevant)),
        "first": 1 / first if first else 0.0,
    }


def _gain(grades: Sequence[int]) -> float:
    return sum((2**grade - 1) / math.log2(place + 1) for place, grade in enumerate(grades[:FIRST], 1))


def measured(archive: Archive, pack: vocabulary.Vocabulary) -> dict[str, list[dict[str, Any]]]:
    """The figures of every query that something is relevant to, by kind."""
    by_kind: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for each in QUERIES["queries"]:
        if each["relevant"]:
            hits = search(archive, each["query"], Wanted(), pack, SEEN).hits
            scored = figures([f"{hit.title}:{hit.note}" for hit in hits], each["relevant"])
            by_kind[each["kind"]].append(scored | {"query": each["query"]})
    return by_kind


def main() -> None:
    """Print the figures."""
    pack = vocabulary.load()
    with tempfile.TemporaryDirectory() as folder, open_archive(f"{folder}/a.db", create=True, writing=True) as archive:
        fill(archive, pack)
        by_kind = measured(archive, pack)
    for kind, rows in by_kind.items():
        for row in rows:
            print(f"  {row['query']:44} nDCG {row['ndcg']:.2f}  recall {row['recall']:.2f}  first {row['first']:.2f}")
        print(f"{kind} ({len(rows)}): {_means(rows)}\n")
    print(f"all: {_means([row for rows in by_kind.values() for row in rows])}")


def _means(rows: Sequence[Mapping[str, Any]]) -> str:
    return ", ".join(f"{name} {mean(row[name] for row in rows):.3f}" for name in ("ndcg", "recall", "first"))


if __name__ == "__main__":
    main()
