"""Texts that are meant to do harm go in as plain text and come out as plain text, in a file and on a server alike."""

import sys
import unicodedata
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from invented_reviews import note, review
from rich.console import Console

from critsheet import vocabulary
from critsheet.archive.checking import check
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.listing import list_sheets, read_sheet
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.rows import MOST_TEXT
from critsheet.archive.searching import Found, search
from critsheet.archive.wanted import Wanted
from critsheet.errors import InputError, SheetError
from critsheet.render.hits import print_found, to_json
from critsheet.sheet import Sheet

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "outside"))

from hostile_sheet import HOSTILE, hostile_sheet

PACK = vocabulary.load()
SQL = (
    "'; DROP TABLE notes; --",
    "' OR '1'='1",
    '" OR 1=1 --',
    "Robert'); DELETE FROM sheets;--",
    "%s %(name)s :name ? ?1 $1 {0}",
    "\\'; SELECT pg_sleep(10); --",
    "$$; COPY notes TO PROGRAM 'true'; $$",
)
SYNTAX = (
    "AND", "OR", "NOT", "NEAR(", "NEAR(foot slides, 2)", "*", "foot*", ":", "action:foot", "^", "^foot", '"', "'", ";",
    "--", "&", "|", "!", "<->", "\\", "foot & !slides", "foot <-> slides", "foot:*", "'foot':A", "-", "- -", "-foot",
    "(", ")", "((((", "foot AND (", "foot NOT", "{action quotes}: foot", "+", "foot + slides", "/*", "*/", "%", "_",
    "=category-contact", "~sliding", "\x00", "foot\x00slides", "\ud800", "\u202e", "١٢٣", "ﬁ", "İ", "ß", "x" * 5000,
    "-foot " * 1000 + "slides", '"foot" ' * 1000, "foot-slides-" * 1000, "foot " * 32, "(" * 5000 + "foot", "-" * 5000,
)  # fmt: skip
"""FTS5, "Full-text Query Syntax"; PostgreSQL, "Text Search Types"; and what neither database likes as text."""


def hostile(*more: str) -> Sheet:
    """The hostile sheet with ids as Critsheet writes them, and further notes."""
    sheet = hostile_sheet()
    notes = tuple(
        one.model_copy(update={"id": f"n{place}", "done": None}) for place, one in enumerate(sheet.notes, start=1)
    )
    added = tuple(note(text, text, id=f"m{place}", rank=100 + place, subject=text) for place, text in enumerate(more))
    return sheet.model_copy(update={"id": "s1", "notes": notes + added, "top": ()})


def fill(place: str, *sheets: Sheet, class_: str | None = None) -> None:
    with open_archive(place, create=True, writing=True) as archive:
        for sheet in sheets:
            archive.write(lambda connection, sheet=sheet: file(connection, prepare(sheet, PACK), class_, now()))  # type: ignore[misc]


@pytest.fixture(scope="module", params=["file", "server"])
def archive(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    """One archive with the hostile sheet, and an ordinary one."""
    if request.param == "file":
        place = str(tmp_path_factory.mktemp("hostile") / "archive.db")
    else:
        place = request.getfixturevalue("server").new_database()
    ordinary = review(note("Plant the left foot", "the foot slides"), recording="osk-1")
    fill(place, hostile(*SQL), ordinary, class_="'; DROP TABLE sheets; --")
    with open_archive(place) as opened:
        yield opened


def found(archive: Archive, typed: str, limit: int = 50) -> Found:
    return search(archive, typed, Wanted(), PACK, limit)


def test_it_is_kept_as_it_is(archive: Archive) -> None:
    assert read_sheet(archive, 1) == hostile(*SQL)
    assert check(archive.place.shown, PACK, lambda share: None).sound


@pytest.mark.parametrize("text", SQL)
def test_a_database_s_language_is_found_as_words(archive: Archive, text: str) -> None:
    try:
        hits = found(archive, text).hits
    except InputError:
        return
    assert any(hit.action.text == text for hit in hits)


@pytest.mark.parametrize("typed", [*SYNTAX, *HOSTILE, *SQL])
def test_whatever_is_typed_it_searches_or_says_what_to_type(archive: Archive, typed: str) -> None:
    try:
        found(archive, typed)
    except InputError as error:
        assert "word" in str(error)


def test_a_word_that_is_too_long_for_the_index_is_found(archive: Archive) -> None:
    assert found(archive, "x" * 5000).hits[0].action.spans


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    typed=st.lists(
        st.one_of(st.text(max_size=20), st.sampled_from([*SYNTAX, "foot", "slides", "crate"])), max_size=6
    ).map(" ".join),
    name=st.one_of(st.none(), st.text(min_size=1, max_size=20)),
)
def test_any_text_searches_or_is_a_mistake_that_is_told(archive: Archive, typed: str, name: str | None) -> None:
    for wanted in (Wanted(), Wanted(student=name), Wanted(class_=name)):
        try:
            shown = search(archive, typed, wanted, PACK, 5)
        except InputError:
            continue
        assert len(shown.hits) <= 5


def printed(hits: Found) -> str:
    page = StringIO()
    print_found(hits, Console(file=page, width=80))
    return page.getvalue()


@pytest.mark.parametrize("shown", [to_json, printed], ids=["json", "terminal"])
def test_what_is_shown_has_no_control_characters(archive: Archive, shown: Callable[[Found], str]) -> None:
    text = shown(found(archive, "", 100))
    odd = {c for c in text if unicodedata.category(c) in ("Cc", "Zl", "Zp") and c != "\n"}
    assert not odd and "\\u00" not in text
    assert not set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f") & set(text)


def test_of_a_note_of_a_million_letters_the_beginning_is_shown_and_all_is_kept(archive_place: str) -> None:
    long = review(note("Plant the foot", "slide " * 170_000 + "crate"))
    fill(archive_place, long)
    with open_archive(archive_place) as archive:
        assert read_sheet(archive, 1) == long
        hit = found(archive, "slide").hits[0]
        assert len(hit.quote.text) == MOST_TEXT
    assert check(archive_place, PACK, lambda share: None).sound


def test_a_note_without_a_space_in_it(archive_place: str) -> None:
    fill(archive_place, review(note("x" * 1_000_000, "👩‍👩‍👧" * 100_000)))
    with open_archive(archive_place) as archive:
        assert found(archive, "").total == 1


def test_ten_thousand_notes_are_filed_and_found(archive_place: str) -> None:
    one = note("Plant the foot", "the foot slides")
    fill(archive_place, review(*[one] * 10_000))
    with open_archive(archive_place) as archive:
        assert found(archive, "foot").many and found(archive, "foot").hits[0].note == "n10000"
        assert list_sheets(archive, Wanted())[0].notes == 10_000


@pytest.mark.parametrize(
    "change",
    [
        {"id": ""},
        {"id": "s1\x00"},
        {"id": "s1\r\nX-A:b"},
        {"id": "x" * 300},
        {"made": "0001-01-01T00:00:00+23:59"},
        {"made": "\x00"},
        {"corrected": "9999-12-31T23:59:59-23:59"},
    ],
)
def test_a_sheet_with_a_broken_id_or_date_is_refused(change: dict[str, str]) -> None:
    with pytest.raises(SheetError):
        prepare(review(note("Plant the foot")).model_copy(update=change), PACK)


def test_a_number_that_no_database_takes_is_refused() -> None:
    with pytest.raises(SheetError, match="far too large"):
        prepare(review(note("Plant the foot"), submission=2**31), PACK)


def test_names_that_differ_only_in_what_nobody_sees_are_one_person(archive_place: str) -> None:
    names = ("Tamsin Okoro", "Tamsin\x00 Okoro", "tamsin\u202e okoro", "Tamsin\r\nOkoro")
    fill(archive_place, *(review(note("Foot"), student=name, recording=f"osk-{n}") for n, name in enumerate(names)))
    with open_archive(archive_place) as archive:
        assert {one.student for one in list_sheets(archive, Wanted(student="Tamsin Okoro"))} == {"Tamsin Okoro"}
        assert len(list_sheets(archive, Wanted())) == len(names)


def test_a_folder_whose_name_is_no_text_is_filed_without_its_place(archive_place: str, tmp_path: Path) -> None:
    place = tmp_path / "osk-\udce9" / "sheet.json"
    with open_archive(archive_place, create=True, writing=True) as archive:
        sheet = prepare(review(note("Foot")), PACK, place)
        archive.write(lambda connection: file(connection, sheet, None, now()))
        assert list_sheets(archive, Wanted())[0].place is None
