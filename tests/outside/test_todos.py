"""The to-dos as another program reads them: iCalendar (RFC 5545) by ical, which was not used to write them.

Order of priorities: RFC 5545, section 3.8.1.9. Folding: section 3.1. Name of a calendar: RFC 7986, section 5.1.
"""

import re
from datetime import UTC, datetime

import pytest
from hostile_sheet import hostile_sheet
from ical.calendar_stream import IcsCalendarStream
from ical.todo import Todo, TodoStatus

from critsheet.errors import InputError, SheetError
from critsheet.render.todos import to_icalendar
from critsheet.render.words import grouped, plain
from critsheet.sheet import Done, Moment, Note, Recording, Review, Sheet, Transcript

LABELS = (
    ("n1", "fix", "should"),
    ("n2", "fix", "must"),
    ("n3", "fix", None),
    ("n4", "fix", "could"),
    ("n5", "keep", None),
    ("n6", "plan", "should"),
)


def sheet(*labels: tuple[str, str, str | None], **change: object) -> Sheet:
    notes = tuple(
        Note(
            id=name, kind=kind, category="arcs", also=("timing",), strength=strength, rank=rank,
            action=f"Do {name}, then rest; ok", reasons=("said: “first”",),
            moments=(Moment(start=75, end=76, quote="Well."),),
        )
        for rank, (name, kind, strength) in enumerate(labels, start=1)
    )  # fmt: skip
    review = Review(title="Lift, take 2", recording=Recording(file="talk.mp4", sha256="0" * 64, duration=90))
    made, talk = "2026-01-31T10:00:00Z", Transcript(language="en", segments=())
    whole = Sheet(id="s1", made=made, review=review, transcript=talk, notes=notes, top=tuple(n.id for n in notes[:1]))
    return whole.model_copy(update=change)


def read(content: bytes) -> list[Todo]:
    return IcsCalendarStream.calendar_from_ics(content.decode()).todos


def test_all_to_fix_and_to_plan_is_a_todo_and_what_to_keep_is_none() -> None:
    todos = read(to_icalendar(sheet(*LABELS)))
    assert [todo.uid for todo in todos] == ["s1-n1", "s1-n2", "s1-n3", "s1-n4", "s1-n6"]
    assert todos[0].summary == "1. Do n1, then rest; ok"
    assert todos[0].categories == ["arcs", "timing"]
    assert todos[0].description == "Lift, take 2\n1:15 “Well.”\nWhy here: said: “first”"
    assert all(todo.due is None and todo.dtstart is None for todo in todos), "the mentor sets no dates"
    assert {todo.dtstamp for todo in todos} == {datetime(2026, 1, 31, 10, tzinfo=UTC)}


def test_what_the_mentor_wants_first_has_the_highest_priority() -> None:
    priorities = {todo.uid: todo.priority for todo in read(to_icalendar(sheet(*LABELS)))}
    assert priorities == {"s1-n1": 1, "s1-n2": 1, "s1-n3": 5, "s1-n4": 9, "s1-n6": 5}


def test_a_tick_is_a_finished_todo() -> None:
    whole = sheet(*LABELS[:2])
    ticked = whole.notes[0].model_copy(update={"done": Done(at="2026-02-03T09:30:00+01:00", comment="Moved to 42.")})
    done, still_open = read(to_icalendar(whole.model_copy(update={"notes": (ticked, whole.notes[1])})))
    assert (done.status, done.completed) == (TodoStatus.COMPLETED, datetime(2026, 2, 3, 8, 30, tzinfo=UTC))
    assert done.description.endswith("\nMoved to 42.")
    assert (still_open.status, still_open.completed) == (TodoStatus.NEEDS_ACTION, None)


def test_a_tick_without_a_readable_time_is_finished_all_the_same() -> None:
    whole = sheet(LABELS[0])
    ticked = whole.notes[0].model_copy(update={"done": Done(at="last Tuesday")})
    (done,) = read(to_icalendar(whole.model_copy(update={"notes": (ticked,)})))
    assert (done.status, done.completed) == (TodoStatus.COMPLETED, None)


def test_the_same_sheet_gives_the_same_file() -> None:
    assert to_icalendar(sheet(*LABELS)) == to_icalendar(sheet(*LABELS))


def test_hostile_texts_come_back_as_they_were_said_and_add_nothing() -> None:
    whole = hostile_sheet()
    calendar = IcsCalendarStream.calendar_from_ics(to_icalendar(whole).decode())
    assert not calendar.events
    wanted = [entry for group in grouped(whole) for entry in group.notes if entry.note.kind != "keep"]
    assert [todo.summary for todo in calendar.todos] == [f"{one.number}. {plain(one.note.action)}" for one in wanted]
    for todo, one in zip(calendar.todos, wanted, strict=True):
        assert todo.uid == plain(f"{whole.id}-{one.note.id}")
        assert f"“{plain(one.note.moments[0].quote)}”" in todo.description


def test_lines_end_in_cr_lf_and_are_folded_at_75_octets_between_letters() -> None:
    content = to_icalendar(hostile_sheet())
    *lines, rest = content.split(b"\r\n")
    assert rest == b""
    assert all(len(line) <= 75 and line.decode() for line in lines)
    assert not re.search(rb"[\r\n\0]", b"".join(lines))


def test_nothing_to_do_is_said_and_no_empty_calendar_written() -> None:
    """RFC 5545, section 3.6: a calendar holds at least one component."""
    with pytest.raises(InputError, match="nothing to do"):
        to_icalendar(sheet(LABELS[4]))


def test_a_sheet_that_does_not_say_when_it_was_made_is_damaged() -> None:
    with pytest.raises(SheetError, match="made"):
        to_icalendar(sheet(*LABELS, made="the other day"))
