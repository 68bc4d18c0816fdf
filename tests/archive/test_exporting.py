"""An export writes every sheet as it is now, all or none; it can be filed again, and is forgotten with its student."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from invented_reviews import note, review

from critsheet import vocabulary
from critsheet.archive.adding import add
from critsheet.archive.exporting import Exported, export
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.forgetting import forget
from critsheet.archive.listing import list_sheets
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.sheets_in import sheets_in
from critsheet.archive.tables import versions
from critsheet.archive.wanted import Wanted
from critsheet.errors import ArchiveError, OutputError
from critsheet.sheet import load

PACK = vocabulary.load()
FIRST = review(note("Plant the foot as Priya did"), title="Tamsin's lift/../crate")
OTHER = review(note("Give it weight, Priya"), recording="crate-1", student="Priya Venn", previous=["s-osk-1"])


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        for sheet in (FIRST, OTHER):
            prepared = prepare(sheet, PACK)
            opened.write(lambda connection, prepared=prepared: file(connection, prepared, "Lifts", now()))  # type: ignore[misc]
        yield opened


def exported(archive: Archive, folder: Path, *, pseudonymise: bool = False, **wanted: str) -> Exported:
    return export(archive, folder, Wanted(**wanted), pseudonymise=pseudonymise, tell=lambda share: None)  # type: ignore[arg-type]


def files(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_every_sheet_is_written_as_it_is_now(archive: Archive, tmp_path: Path) -> None:
    out = tmp_path / "new" / "out"
    assert exported(archive, out).count == 2
    assert files(out) == ["1-Tamsin-s-lift-crate/sheet.json", "2-Osk-lifts-the-crate/sheet.json"]
    assert load(out / "1-Tamsin-s-lift-crate/sheet.json") == FIRST


def test_it_can_be_narrowed(archive: Archive, tmp_path: Path) -> None:
    assert exported(archive, tmp_path / "a", student="priya venn").count == 1
    assert exported(archive, tmp_path / "b", class_="Lifts", since="2027-01-01").count == 0
    assert not (tmp_path / "b").exists()


def test_nothing_is_written_over(archive: Archive, tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="exists"):
        exported(archive, tmp_path)


def test_all_or_nothing_is_written(archive: Archive, tmp_path: Path) -> None:
    archive.write(
        lambda connection: connection.execute(versions.update().where(versions.c.sheet == 2).values(document=b"x"))
    )
    with pytest.raises(ArchiveError, match="Sheet 2"):
        exported(archive, tmp_path / "out")
    assert files(tmp_path) in ([], ["archive.db", "archive.db-shm", "archive.db-wal"])


def test_with_stand_ins_nobody_is_named(archive: Archive, tmp_path: Path) -> None:
    out = tmp_path / "out"
    exported(archive, out, pseudonymise=True)
    whole = "".join(files(out)) + "".join(path.read_text() for path in out.rglob("*.json"))
    assert not [name for name in ("Tamsin", "Okoro", "Hal", "Orsini", "Priya", "Venn", "osk-1") if name in whole]
    (first, second) = (load(path) for path in sorted(out.rglob("*.json")))
    assert first.notes[0].action == "Plant the foot as Student 3 did"
    assert second.settings["options"]["previous"] == [first.id]


def test_stand_ins_are_the_same_every_time(archive: Archive, tmp_path: Path) -> None:
    for name in ("a", "b"):
        exported(archive, tmp_path / name, pseudonymise=True)
    assert [path.read_bytes() for path in sorted((tmp_path / "a").rglob("*.json"))] == [
        path.read_bytes() for path in sorted((tmp_path / "b").rglob("*.json"))
    ]


@pytest.mark.parametrize("pseudonymise", [False, True])
def test_an_export_can_be_filed_in_another_archive(archive: Archive, tmp_path: Path, pseudonymise: bool) -> None:
    exported(archive, tmp_path / "out", pseudonymise=pseudonymise)
    with open_archive(str(tmp_path / "other.db"), create=True, writing=True) as other:
        assert add(other, sheets_in([tmp_path / "out"]), PACK).outcomes["added"] == 2
        assert len(list_sheets(other, Wanted())) == 2


@pytest.mark.parametrize("pseudonymise", [False, True])
def test_what_was_exported_goes_when_its_student_is_forgotten(
    archive: Archive, tmp_path: Path, pseudonymise: bool
) -> None:
    out = tmp_path / "out"
    exported(archive, out, pseudonymise=pseudonymise)
    forget(archive, "Tamsin Okoro", None, lambda *_: None)
    assert [name[0] for name in files(out)] == ["2"]
