"""Chapters for the recording and for the shot: every note at its time, on either clock."""

from invented_sheet import NOTES

from critsheet.render.chapters import to_chapters, to_shot_chapters
from critsheet.sheet import FrameRange, Moment, Sheet, Shot


def with_frames(sheet: Sheet, *spans: tuple[int, int], **shot: object) -> Sheet:
    """The sheet with one note on each span."""
    notes = tuple(
        note.model_copy(update={"frames": (FrameRange(first=first, last=last),)})
        for note, (first, last) in zip(NOTES, spans, strict=False)
    )
    return sheet.model_copy(update={"notes": notes, "top": (), "shot": Shot(**{"first": 101, "last": 188} | shot)})


def test_each_time_a_note_is_spoken_is_a_chapter_of_the_recording(sheet: Sheet) -> None:
    text = to_chapters(sheet)
    assert text.startswith("WEBVTT\n\n00:00:09.500 --> ")
    assert text.count("2. Delay the head two or three frames") == 3
    assert "01:00:01.500 --> " in text


def test_the_shots_clock_starts_at_its_first_frame(sheet: Sheet) -> None:
    text = to_shot_chapters(with_frames(sheet, (101, 124), (125, 125)))
    assert "00:00:00.000 --> 00:00:01.000\n" in text
    assert "00:00:01.000 --> 00:00:01.042\n" in text


def test_a_stretch_of_two_notes_names_both(sheet: Sheet) -> None:
    text = to_shot_chapters(with_frames(sheet, (101, 148), (125, 172)))
    cues = text.strip().split("\n\n")[1:]
    assert [len(cue.splitlines()) - 1 for cue in cues] == [1, 2, 1]


def test_two_notes_spoken_at_once_share_a_chapter(sheet: Sheet) -> None:
    spoken = tuple(
        note.model_copy(update={"moments": (Moment(start=start, end=start + 10, quote=""),)})
        for note, start in zip(NOTES, (0, 5), strict=False)
    )
    cues = to_chapters(sheet.model_copy(update={"notes": spoken, "top": ()})).strip().split("\n\n")[1:]
    assert [cue.splitlines()[0] for cue in cues] == [
        "00:00:00.000 --> 00:00:05.000",
        "00:00:05.000 --> 00:00:10.000",
        "00:00:10.000 --> 00:00:15.000",
    ]


def test_without_frames_or_notes_a_file_of_chapters_is_empty(sheet: Sheet) -> None:
    bare = sheet.model_copy(update={"notes": (), "top": ()})
    assert to_chapters(bare) == to_shot_chapters(bare) == "WEBVTT\n"
    assert to_shot_chapters(sheet.model_copy(update={"shot": None})) == "WEBVTT\n"


def test_what_was_said_cannot_break_the_file(sheet: Sheet) -> None:
    odd = NOTES[0].model_copy(update={"action": "<b>-->\n\n00:00.000 --> 00:01.000\nmine"})
    text = to_chapters(sheet.model_copy(update={"notes": (odd,), "top": ()}))
    assert "&lt;b&gt;--&gt; 00:00.000 --&gt; 00:01.000 mine" in text
    assert text.count(" --> ") == len(odd.moments)
