"""Times an archive of many sheets: adding, searching with one reader and with eight, the cohort's table, its size.

python tests/bench/archive.py [--sheets 100000] [--archive FILE|URL]

The searches are timed next to bare FTS5 queries on the same index in the same run. Without --archive it builds a file
and, where Debian's postgresql is installed, a server of its own, one after the other.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from statistics import median, quantiles

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "archive"))

import postgres_server
from invented_school import School, school
from language import ten_minutes
from sqlalchemy import Connection, text

from critsheet import vocabulary
from critsheet.archive import filing, note_index
from critsheet.archive.adding import add
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.query import understand
from critsheet.archive.searching import search
from critsheet.archive.told import told
from critsheet.archive.wanted import Wanted
from critsheet.cohort.tables import cohort
from critsheet.sheet import save

AT_A_TIME = 100
FROM_FILES = 100
READERS = 8
ROUNDS = 3
TYPED = (
    "foot slides", "skating", "knee pop", "weight", "spacing", "hips lead", "eyes look dead", "blink", "too even",
    "anticipation", "line of action", "silhouette", "follow through", "overlap tail", "arc of the wrist", "hold longer",
    "moving hold", "twinning", "contrast in timing", "squash", "ease out", "mouth shape", "lip sync late",
    "camera drift", "staging", "centre of gravity", "settle", "head turn", "shoulders first", "fingers",
    '"on the same frame"', '"ease in"', "pop -knee", "floaty", "why does it look floaty", "hand through table",
    "gimbal", "elbow", "nice", "love the pose", "breath", "brows", "heavy crate", "landing", "pushes off", "toes",
    "mechanical", "acting choice", "thinking before moving", "time",
)  # fmt: skip
"""What people at a school type: single words, common ones among them, several words, phrases, exclusions."""


def main() -> None:
    """Build and time."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=100_000)
    parser.add_argument("--archive", metavar="FILE|URL", help="here alone; one that was built before is measured again")
    options = parser.parse_args()
    people = school(options.sheets)
    if options.archive:
        run(options.archive, people)
        return
    with tempfile.TemporaryDirectory() as folder:
        run(str(Path(folder) / "archive.db"), people)
    binaries = postgres_server.programs()
    if binaries is None:
        print("PostgreSQL: not measured, as no server is installed")
        return
    with postgres_server.running(binaries) as server:
        run(server.new_database(), people)


def run(place: str, people: School) -> None:
    """Build one archive, where it is not built yet, and print its figures."""
    pack = vocabulary.load()
    print(f"{'PostgreSQL' if '://' in place else 'SQLite'}: {people.n_sheets:,} sheets", flush=True)
    with open_archive(place, create=True, writing=True) as archive:
        if not count(archive):
            build(archive, people, pack)
        print(f"  {count(archive):,} notes, {size_mb(archive):,.0f} MB", flush=True)
    with open_archive(place) as archive:
        measure_search(archive, pack)
    shown(f"search, {READERS} readers ", eight_readers(place))
    with open_archive(place) as archive:
        begun = time.perf_counter()
        table = told(archive, Wanted())
        read_s = time.perf_counter() - begun
        cohort(table)
        print(f"  cohort of all: {read_s:.1f} s to read, {time.perf_counter() - begun:.1f} s in all", flush=True)


def build(archive: Archive, people: School, pack: vocabulary.Vocabulary) -> None:
    """Fill an archive, and print how long a sheet takes at the beginning and at the end."""
    print(f"  adding a sheet from its file, archive empty: {1000 * adding_s(archive, pack, 0):.0f} ms", flush=True)
    begun = time.perf_counter()
    fill(archive, people, pack)
    print(f"  built in {time.perf_counter() - begun:.0f} s", flush=True)
    print(f"  adding a sheet from its file, archive full:  {1000 * adding_s(archive, pack, 1):.0f} ms", flush=True)
    archive.write(_tidy)


def count(archive: Archive) -> int:
    """Notes in the archive."""
    return int(archive.read(lambda connection: connection.execute(text("SELECT count(*) FROM notes")).scalar_one()))


def measure_search(archive: Archive, pack: vocabulary.Vocabulary) -> None:
    """Print how long searches take, and bare queries on the same index."""
    ours = timed([lambda typed=typed: search(archive, typed, Wanted(), pack, 10) for typed in TYPED])
    shown("search, one reader", ours)
    narrow = Wanted(category="contact", status="open", since="2022-01-01")
    shown("search, narrowed  ", timed([lambda t=t: search(archive, t, narrow, pack, 10) for t in TYPED]))
    if archive.file:
        bare = timed([lambda typed=typed: archive.read(lambda c: _bare(c, typed, pack)) for typed in TYPED])
        shown("bare FTS5 query   ", bare)
        ratio = median(a / b for a, b in zip(ours, bare, strict=True))
        print(
            f"  search / bare: {ratio:.2f} (median of the queries), {sum(ours) / sum(bare):.2f} (all time)", flush=True
        )


def fill(archive: Archive, people: School, pack: vocabulary.Vocabulary) -> None:
    """File every sheet. The terms of a note drawn again are not looked up again: that time is measured apart."""
    filing._terms = _remembered(filing._terms)  # type: ignore[assignment]
    sheets = people.sheets()
    while some := list(islice(sheets, AT_A_TIME)):
        prepared = [(filing.prepare(sheet, pack), class_) for sheet, class_ in some]

        def file_all(connection: Connection, prepared: list[tuple[filing.Prepared, str]] = prepared) -> None:
            for one, class_ in prepared:
                filing.file(connection, one, class_, filing.now())

        archive.write(file_all)


def _remembered(terms: Callable[..., note_index.Terms]) -> Callable[..., note_index.Terms]:
    known: dict[object, note_index.Terms] = {}

    def remembered(note: object, pack: vocabulary.Vocabulary) -> note_index.Terms:
        key = (note.action, tuple(moment.quote for moment in note.moments), note.category, note.also, note.body)  # type: ignore[attr-defined]
        if key not in known:
            known[key] = terms(note, pack)
        return known[key]

    return remembered


def adding_s(archive: Archive, pack: vocabulary.Vocabulary, seed: int) -> float:
    """Seconds to add one sheet with a ten-minute transcript from its file, the mean over many."""
    people, transcript = school(FROM_FILES, 500 + seed), ten_minutes()
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for place, (sheet, _) in enumerate(people.sheets()):
            path = Path(folder) / f"{place}.json"
            recording = sheet.review.recording.model_copy(update={"sha256": f"f{seed}{place}"})
            review = sheet.review.model_copy(update={"recording": recording})
            save(sheet.model_copy(update={"review": review, "transcript": transcript}), path)
            paths.append(path)
        begun = time.perf_counter()
        add(archive, paths, pack)
        return (time.perf_counter() - begun) / FROM_FILES


def timed(queries: list[Callable[[], object]]) -> list[float]:
    """Seconds of each query, the best of some rounds after one to warm up."""
    for query in queries:
        query()
    rounds = [[_seconds(query) for query in queries] for _ in range(ROUNDS)]
    return [min(each) for each in zip(*rounds, strict=True)]


def _seconds(query: Callable[[], object]) -> float:
    begun = time.perf_counter()
    query()
    return time.perf_counter() - begun


def eight_readers(place: str) -> list[float]:
    """Seconds of every query of readers that all search at once."""
    with ProcessPoolExecutor(READERS, mp_context=get_context("spawn")) as pool:
        parts = pool.map(_one_reader, [(place, seed) for seed in range(READERS)])
        return [seconds for part in parts for seconds in part]


def _one_reader(task: tuple[str, int]) -> list[float]:
    place, seed = task
    pack = vocabulary.load()
    with open_archive(place) as archive:
        search(archive, "foot slides", Wanted(), pack, 10)  # what is loaded once a process is no part of a search
        turned = [*TYPED[seed * 6 :], *TYPED[: seed * 6]]
        return [_seconds(lambda typed=typed: search(archive, typed, Wanted(), pack, 10)) for typed in turned * 2]


def _bare(connection: Connection, typed: str, pack: vocabulary.Vocabulary) -> object:
    match = note_index.fts5(understand(typed, pack).strictly())
    query = "SELECT rowid FROM note_index WHERE note_index MATCH :match ORDER BY rank LIMIT 10"
    return connection.execute(text(query), {"match": match}).all()


def _tidy(connection: Connection) -> None:
    if connection.dialect.name == "sqlite":
        note_index.clean(connection)
    connection.execute(text("ANALYZE"))


def size_mb(archive: Archive) -> float:
    """Megabytes on disk."""
    if archive.file:
        return archive.file.stat().st_size / 1e6
    size = text("SELECT pg_database_size(current_database())")
    return float(archive.read(lambda connection: connection.execute(size).scalar_one())) / 1e6


def shown(what: str, seconds: list[float]) -> None:
    """Print the middle and the slow end of some times."""
    p95 = quantiles(seconds, n=20)[-1]
    print(
        f"  {what}: p50 {1000 * median(seconds):.1f} ms, p95 {1000 * p95:.1f} ms, slowest {1000 * max(seconds):.0f} ms",
        flush=True,
    )


if __name__ == "__main__":
    main()
