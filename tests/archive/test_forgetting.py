"""Who is forgotten is gone from every row and every byte; what is left elsewhere is said; killed, it is run again."""

import os
import shutil
import signal
import tempfile
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from child_process import Child, as_plain_user
from invented_reviews import before, note, review
from sqlalchemy import select

from critsheet import vocabulary
from critsheet.archive import cleaning, forgetting, listing, mentions  # noqa: F401 - a test breaks into each
from critsheet.archive.cleaning import still_in
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.forgetting import Forgotten, doomed, forget
from critsheet.archive.listing import list_sheets
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.searching import search
from critsheet.archive.tables import follows, people, versions
from critsheet.archive.wanted import Wanted
from critsheet.archive.written_files import remember
from critsheet.errors import ArchiveError
from critsheet.sheet import Moment, Sheet

PACK = vocabulary.load()
NAME = "Tamsin Okoro"
FOOT = note("Plant the zucchini foot")
"""A word that stands in no other note: the index must forget it as well."""
FIRST = review(FOOT, recording="osk-1", made="2024-03-02T10:00:00Z")
SECOND = review(
    note("Let the tail drag"),
    recording="osk-2",
    made="2026-03-09T10:00:00Z",
    previous=["s-osk-1"],
    earlier=[before(FOOT, "resolved")],
)
OTHER = review(note("Give the crate weight"), recording="crate-1", student="Priya Venn", made="2024-05-01T10:00:00Z")


def quiet(stage: str, share: float) -> None:
    """Nobody watches."""


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        add(opened, FIRST, SECOND, OTHER)
        yield opened


@pytest.fixture
def in_file(tmp_path: Path) -> Iterator[Archive]:
    """The same in a file, for what can only be seen or go wrong there."""
    with open_archive(str(tmp_path / "archive.db"), create=True, writing=True) as opened:
        add(opened, FIRST, SECOND, OTHER)
        yield opened


@pytest.fixture
def everybodys() -> Iterator[Path]:
    """A folder that everybody may write into."""
    with tempfile.TemporaryDirectory(prefix="critsheet-everybodys-") as folder:
        Path(folder).chmod(0o777)
        yield Path(folder)


def add(archive: Archive, *sheets: Sheet, place: Path | None = None) -> None:
    for sheet in sheets:
        prepared = prepare(sheet, PACK, place)
        archive.write(lambda connection, prepared=prepared: file(connection, prepared, None, now()))  # type: ignore[misc]


def gone(archive: Archive, student: str | None = NAME, older: str | None = None) -> Forgotten:
    return forget(archive, student, older, quiet)


def in_bytes(archive: Archive, *texts: str) -> list[str]:
    """Which of some texts stand in the file or the files beside it, looked for in the plainest way."""
    if archive.file is None:
        return []
    paths = [archive.file.with_name(archive.file.name + end) for end in ("", "-wal", "-shm")]
    whole = b"".join(path.read_bytes().lower() for path in paths if path.exists())
    return [text for text in texts if text.encode() in whole]


def documents(archive: Archive) -> list[bytes]:
    return archive.read(lambda connection: list(connection.execute(select(versions.c.document)).scalars()))


def test_a_student_is_forgotten_wholly(archive: Archive) -> None:
    corrected = FIRST.model_copy(update={"corrected": "2026-03-04T10:00:00Z"})
    add(archive, corrected)
    forgotten = gone(archive)
    assert [number for number, _ in forgotten.went.sheets] == [1, 2]
    assert (forgotten.went.forms, forgotten.went.notes, forgotten.went.people) == (3, 2, (NAME,))
    assert forgotten.everything and not forgotten.remains
    assert [one.student for one in list_sheets(archive, Wanted())] == ["Priya Venn"]
    assert all(b"Okoro" not in zlib.decompress(document) for document in documents(archive))
    assert in_bytes(archive, "tamsin", "okoro", "osk-1", "osk-2") == []
    assert search(archive, "crate", Wanted(), PACK).total == 1


def test_the_index_forgets_words_that_only_they_were_told(archive: Archive) -> None:
    assert in_bytes(archive, "zucchini", "crate") == (["zucchini", "crate"] if archive.file else [])
    gone(archive)
    assert in_bytes(archive, "zucchini", "crate") == (["crate"] if archive.file else [])
    assert search(archive, "zucchini", Wanted(), PACK).total == 0


def test_it_leaves_no_byte_of_their_documents(archive: Archive) -> None:
    pieces = {piece for document in documents(archive)[:2] for piece in cleaning.slices(document)}
    if archive.file:
        assert still_in(archive.file, pieces, lower=False, tell=lambda share: None)
    gone(archive)
    if archive.file:
        assert not still_in(archive.file, pieces, lower=False, tell=lambda share: None)
        log = archive.file.with_name(archive.file.name + "-wal")
        assert not log.exists() or not log.stat().st_size


def test_what_is_not_cleaned_is_noticed(in_file: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cleaning, "clean", lambda archive: None)
    assert gone(in_file).remains
    monkeypatch.undo()
    assert not gone(in_file).remains


def test_a_name_in_any_letters_is_the_same(archive: Archive) -> None:
    assert len(gone(archive, "TAMSIN  okoro").went.sheets) == 2


def test_links_to_their_sheets_go(archive: Archive) -> None:
    add(archive, review(note("Lift the chin"), recording="x", student="Priya Venn", previous=["s-osk-1", "s-crate-1"]))
    gone(archive)
    left = archive.read(lambda connection: list(connection.execute(select(follows.c.previous)).scalars()))
    assert left == ["s-crate-1"]


def test_one_recording_for_two_students_leaves_the_others_sheet(archive: Archive) -> None:
    add(archive, FIRST.model_copy(update={"review": FIRST.review.model_copy(update={"student": "Dev Castellan"})}))
    forgotten = gone(archive)
    assert forgotten.everything
    assert [one.student for one in list_sheets(archive, Wanted())] == ["Priya Venn", "Dev Castellan"]


def test_where_the_name_is_still_said_is_told(archive: Archive) -> None:
    quote = "so roll the foot like Tamsin did, exactly like Tamsin's"
    add(archive, review(note("Roll the foot", quote), recording="osk-9", student="Priya Venn"))
    forgotten = gone(archive)
    assert not forgotten.everything and not forgotten.remains
    (mention,) = forgotten.looked.mentions
    assert (mention.number, mention.student, mention.said, mention.times) == (4, "Priya Venn", ("Tamsin",), 2)
    assert mention.now


def test_a_name_in_an_earlier_form_of_anothers_sheet_is_told(archive: Archive) -> None:
    said = review(note("Roll it like Tamsin Okoro"), recording="osk-9", student="Priya Venn")
    unsaid = review(note("Roll it"), recording="osk-9", student="Priya Venn", corrected="2026-03-08T10:00:00Z")
    add(archive, said, unsaid)
    (mention,) = gone(archive).looked.mentions
    assert not mention.now


def test_a_first_name_that_another_bears_is_not_taken_for_theirs(archive: Archive) -> None:
    add(archive, review(note("Well done Tamsin"), recording="osk-9", student="Tamsin Marsh"))
    forgotten = gone(archive)
    assert forgotten.everything and forgotten.not_alone == {"tamsin": ("Tamsin Marsh",)}


def test_a_longer_name_of_another_is_no_remainder(archive: Archive) -> None:
    add(archive, review(note("Lift it"), recording="osk-9", student="Tamsin Okorova"))
    assert gone(archive).everything


def test_somebody_who_mentors_others_stays_as_their_mentor(archive: Archive) -> None:
    add(archive, review(note("Lift it"), recording="osk-9", student="Dev Castellan", mentor=NAME))
    forgotten = gone(archive)
    assert forgotten.went.mentors == {NAME: (4,)} and not forgotten.everything and not forgotten.remains
    assert len(list_sheets(archive, Wanted(mentor=NAME))) == 1


def test_files_written_about_them_go_unless_they_were_changed(archive: Archive, tmp_path: Path) -> None:
    page, changed, lost = (tmp_path / name / "page.html" for name in ("as", "changed", "lost"))
    for path in (page, changed, lost):
        path.parent.mkdir()
        path.write_text("what comes again")
        remember(archive, NAME, path)
    changed.write_text("mine now")
    lost.unlink()
    forgotten = gone(archive)
    assert not page.parent.exists() and changed.read_text() == "mine now"
    assert forgotten.files == {changed: "changed since", lost: "not here"}
    assert not forgotten.everything


def test_folders_outside_the_archive_are_named_and_stay(archive: Archive, tmp_path: Path) -> None:
    here = tmp_path / "reviews" / "sheet.json"
    here.parent.mkdir()
    here.touch()
    add(archive, review(FOOT, recording="osk-7"), place=here)
    assert gone(archive).went.places == (here.parent,)
    assert here.exists()


def test_what_is_old_goes(archive: Archive) -> None:
    forgotten = gone(archive, None, "2025-01-01")
    assert [number for number, _ in forgotten.went.sheets] == [1, 3]
    assert forgotten.went.people == ("Priya Venn",)
    assert [one.number for one in list_sheets(archive, Wanted())] == [2]
    assert in_bytes(archive, "priya", "hash-of-osk-1", "crate-1") == []


def test_student_and_age_together_narrow(archive: Archive) -> None:
    forgotten = gone(archive, NAME, "2025-01-01")
    assert forgotten.everything and not forgotten.went.people
    assert [number for number, _ in forgotten.went.sheets] == [1]
    assert [one.number for one in list_sheets(archive, Wanted())] == [2, 3]


def test_nobody_of_that_name_changes_nothing(archive: Archive) -> None:
    forgotten = gone(archive, "Nobody At All")
    assert forgotten.everything and not forgotten.went.sheets
    assert len(list_sheets(archive, Wanted())) == 3


def test_a_short_name_is_looked_for_too(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    add(archive, review(note("Lift it"), recording="osk-9", student="Bo"))
    if archive.file:
        with monkeypatch.context() as patch:
            patch.setattr(cleaning, "clean", lambda archive: None)
            assert gone(archive, "Bo").remains
    assert gone(archive, "Bo").everything


def test_a_damaged_sheet_of_another_is_told(archive: Archive) -> None:
    archive.write(
        lambda connection: connection.execute(versions.update().where(versions.c.sheet == 3).values(document=b"x"))
    )
    assert gone(archive).looked.damaged == (3,)


def test_an_archive_that_may_not_be_written_to_loses_nothing(in_file: Archive, everybodys: Path) -> None:
    page, lent = everybodys / "page.html", everybodys / "archive.db"
    page.touch()
    remember(in_file, NAME, page)
    gone(in_file, "Nobody At All")  # imports what a plain user of this computer may not read
    in_file.close()
    shutil.copy(str(in_file.file), lent)
    lent.chmod(0o444)

    def forgets() -> int:
        with (
            pytest.raises(ArchiveError, match="may not be written to"),
            open_archive(str(lent), writing=True) as opened,
        ):
            gone(opened)
        return 0

    assert Child(as_plain_user(forgets)).wait() == (0, "")
    assert page.exists()


def test_an_archive_in_use_is_told_and_can_be_cleaned_later(in_file: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("critsheet.archive.opening.BUSY_S", 0.1)
        place = str(in_file.file)
        with (
            open_archive(place, writing=True) as impatient,
            open_archive(place) as other,
            other.engine.connect() as reader,
        ):
            reader.execute(select(people)).all()
            with pytest.raises(ArchiveError, match="Deleted, but not cleaned yet"):
                gone(impatient)
    assert gone(in_file).everything
    assert in_bytes(in_file, "tamsin", "zucchini") == []


@pytest.mark.parametrize(
    "moment",
    [
        "forgetting.take_away",  # in the transaction, before any file goes
        "listing.forget_unnamed",  # in the middle of deleting
        "cleaning.clean",  # deleted, not cleaned
        "mentions.look_for",  # cleaned, not looked through
    ],
)
def test_killed_at_any_moment_it_is_run_again(archive_place: str, archive: Archive, moment: str) -> None:
    archive.close()

    def killed() -> int:
        module, name = moment.split(".")
        setattr(globals()[module], name, lambda *_, **__: os.kill(os.getpid(), signal.SIGKILL))
        with open_archive(archive_place, writing=True) as opened:
            gone(opened)
        return 0

    assert Child(killed).wait()[0] == -signal.SIGKILL
    forgotten = gone(archive)
    assert forgotten.everything
    assert doomed(archive, NAME, None).sheets == ()
    assert in_bytes(archive, "tamsin", "okoro", "zucchini", "osk-1") == []
    assert len(list_sheets(archive, Wanted())) == 1


def test_killed_while_it_cleans_it_is_run_again(archive_place: str, archive: Archive) -> None:
    """At moments that nobody chose."""
    for number in range(100, 160):
        add(archive, review(note(f"Plant foot {number}"), recording=f"osk-{number}"))
    archive.close()

    def forgets() -> int:
        with open_archive(archive_place, writing=True) as opened:
            gone(opened)
        return 0

    for pause_s in (0.02, 0.05, 0.1, 0.2):
        child = Child(forgets)
        time.sleep(pause_s)
        child.kill()
    assert gone(archive).everything
    assert in_bytes(archive, "tamsin", "okoro", "zucchini", "osk-1") == []
    assert len(list_sheets(archive, Wanted())) == 1


def test_a_student_may_have_been_spoken_to_by_name(archive: Archive) -> None:
    """In their own sheet: it goes with everything else."""
    moments = (Moment(start=1, end=2, quote="lovely work Tamsin"),)
    add(archive, review(note("Lift it", moments=moments), recording="osk-8"))
    assert gone(archive).everything
