"""What a mentor types finds what mentors said; in a file and on a server alike."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from invented_reviews import note, review

from critsheet import vocabulary
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.links import page_link, recording_link
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.searching import Found, search
from critsheet.archive.wanted import Wanted
from critsheet.errors import InputError
from critsheet.render.hits import to_json
from critsheet.sheet import FrameRange, Moment, Sheet

PACK = vocabulary.load()
FRAMES = (FrameRange(first=118, last=124),)
FOOT = note("Plant the left foot from 118 on", "the foot slides here", body=("foot",), frames=FRAMES)
HIPS = note("Let the hips lead", "the hips and the chest go on the same frame", category="overlap", body=("hips",))
REVIEWS = (
    (
        review(
            FOOT,
            HIPS,
            note("Keep the look before the lift", "I love how he looks first", kind="keep", category="acting"),
        ),
        "Walks",
    ),
    (
        review(
            note("Ease the knee out over three frames", "the knee pops at 40", category="limbs", body=("knee",)),
            note("Give the crate weight", "it floats up like a balloon, no weight in it at all", category="weight"),
            recording="bo-1",
            student="Priya Venn",
            mentor="Bea Nakata",
            made="2026-05-04T10:00:00Z",
            title="Bo carries the crate",
        ),
        "Lifts",
    ),
)


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        for sheet, class_ in REVIEWS:
            opened.write(lambda connection, s=sheet, c=class_: file(connection, prepare(s, PACK), c, now()))  # type: ignore[misc]
        yield opened


def found(archive: Archive, typed: str, wanted: Wanted | None = None, limit: int = 20) -> Found:
    return search(archive, typed, wanted or Wanted(), PACK, limit)


def strictly(archive: Archive, typed: str, wanted: Wanted | None = None) -> list[str]:
    return [hit.action.text for hit in found(archive, typed, wanted).hits if not hit.loose]


@pytest.mark.parametrize(
    "typed", ["foot slides", "feet sliding", "FOOT SLID", "slide of the foot?", "why does the foot slide"]
)
def test_every_form_of_a_word_finds_it(archive: Archive, typed: str) -> None:
    assert strictly(archive, typed) == ["Plant the left foot from 118 on"]


@pytest.mark.parametrize(
    ("typed", "action"),
    [
        ("skating", "Plant the left foot from 118 on"),
        ("weightless", "Give the crate weight"),
        ("knee snap", "Ease the knee out over three frames"),
    ],
)
def test_the_trades_other_words_find_it(archive: Archive, typed: str, action: str) -> None:
    assert strictly(archive, typed) == [action]


def test_a_phrase_is_found_as_it_is(archive: Archive) -> None:
    assert strictly(archive, '"on the same frame"') == ["Let the hips lead"]
    assert strictly(archive, '"the frame same"') == []
    assert strictly(archive, '"same frame" chest') == ["Let the hips lead"]


def test_a_phrase_never_reaches_from_one_text_into_the_next(archive: Archive) -> None:
    assert strictly(archive, '"lead the hips"') == []


def test_a_word_can_be_left_out(archive: Archive) -> None:
    assert strictly(archive, "crate -balloon") == []
    assert strictly(archive, 'frame -"same frame"') == ["Ease the knee out over three frames"]


def test_what_has_some_of_the_words_comes_after(archive: Archive) -> None:
    hits = found(archive, "knee balloon").hits
    assert {hit.action.text for hit in hits} == {"Ease the knee out over three frames", "Give the crate weight"}
    assert all(hit.loose for hit in hits)


@pytest.mark.parametrize(
    ("wanted", "count"),
    [
        (Wanted(category="contact"), 1),
        (Wanted(body="hips"), 1),
        (Wanted(status="open"), 4),
        (Wanted(status="praise"), 1),
        (Wanted(student="priya venn"), 2),
        (Wanted(mentor="Hal Orsini"), 3),
        (Wanted(class_="walks"), 3),
        (Wanted(since="2026-04-01"), 2),
        (Wanted(before="2026-04-01"), 3),
        (Wanted(class_="Lifts", category="weight", status="open", since="2026-01-01"), 1),
        (Wanted(class_="Lifts", category="contact"), 0),
    ],
)
def test_it_can_be_narrowed_down_without_a_word(archive: Archive, wanted: Wanted, count: int) -> None:
    assert found(archive, "", wanted).total == count


def test_words_and_narrowing_go_together(archive: Archive) -> None:
    assert strictly(archive, "crate", Wanted(student="Priya Venn", category="weight", status="open")) == [
        "Give the crate weight"
    ]
    assert strictly(archive, "crate", Wanted(status="praise")) == []


def test_the_match_is_marked_in_the_mentors_words(archive: Archive) -> None:
    hit = found(archive, "chest same").hits[0]
    assert [hit.quote.text[start:end] for start, end in hit.quote.spans] == ["chest", "same"]
    hit = found(archive, "skating").hits[0]
    assert [hit.quote.text[start:end] for start, end in hit.quote.spans] == ["foot slides"]


def test_it_leads_to_the_moment_where_it_was_said(archive: Archive) -> None:
    moments = (Moment(start=10, end=12, quote="and the head"), Moment(start=300, end=304, quote="the tail drags there"))
    sheet = review(note("Delay head and tail", moments=moments), recording="osk-9")
    archive.write(lambda connection: file(connection, prepare(sheet, PACK), None, now()))
    hit = found(archive, "tail drags").hits[0]
    assert (hit.start, hit.quote.text) == (300, "the tail drags there")


def test_links_lead_to_the_second_and_to_the_note(archive: Archive, tmp_path: Path) -> None:
    folder = tmp_path / "osk lifts"
    folder.mkdir()
    for name in ("sheet.json", "sheet.html", "../osk-7.m4a"):
        (folder / name).touch()
    sheet = review(note("Lift the chin"), recording="osk-7")
    archive.write(lambda connection: file(connection, prepare(sheet, PACK, folder / "sheet.json"), None, now()))
    hit = found(archive, "chin").hits[0]
    assert recording_link(hit) == (tmp_path / "osk-7.m4a").as_uri() + "#t=65.5"
    assert page_link(hit) == (folder / "sheet.html").as_uri() + "#note-n1"
    (folder / "../osk-7.m4a").unlink()
    assert recording_link(hit) is None


def test_a_recording_is_never_linked_on_another_machine(archive: Archive, tmp_path: Path) -> None:
    sheet: Sheet = review(note("Lift the chin"), recording="osk-7")
    recording = sheet.review.recording.model_copy(update={"links": ("//elsewhere/a.m4a", "javascript:alert(1)")})
    sheet = sheet.model_copy(update={"review": sheet.review.model_copy(update={"recording": recording})})
    archive.write(lambda connection: file(connection, prepare(sheet, PACK, tmp_path / "sheet.json"), None, now()))
    assert recording_link(found(archive, "chin").hits[0]) is None


@pytest.mark.parametrize("typed", ["???", '""', "-knee"])
def test_without_a_word_to_look_for_it_says_so(archive: Archive, typed: str) -> None:
    with pytest.raises(InputError, match="Type"):
        found(archive, typed)


def test_somebody_unknown_is_told(archive: Archive) -> None:
    with pytest.raises(InputError, match="no mentor “Nobody” in the archive"):
        found(archive, "foot", Wanted(mentor="Nobody"))


@pytest.mark.parametrize(
    "typed", ['foot AND "', "NEAR(foot slides)", "foot*", "action: foot", "foot' | 'knee", "foot & !foot", "^foot"]
)
def test_what_is_typed_is_never_a_databases_own_language(archive: Archive, typed: str) -> None:
    assert found(archive, typed).hits


def test_other_programs_get_it_as_json(archive: Archive) -> None:
    told = json.loads(to_json(found(archive, "skating")))
    assert told["total"] == 1
    assert told["hits"][0] | {"frames": [[118, 124]], "student": "Tamsin Okoro", "start": 65.5} == told["hits"][0]
