"""Harmful text in the formats for other programs, as independent readers of their standards find it.

Markdown: markdown-it-py (CommonMark 0.31). Chapters: webvtt-py (WebVTT, W3C Candidate Recommendation, 2019). Markers:
OpenTimelineIO (Academy Software Foundation). Tables, to-dos, mail and PDF have tests of their own beside this one.
"""

import html
from collections.abc import Callable

import opentimelineio as otio
import pytest
import webvtt
from hostile_sheet import HOSTILE, hostile_sheet
from markdown_it import MarkdownIt

from critsheet.render.chapters import to_chapters, to_shot_chapters
from critsheet.render.markdown import to_markdown
from critsheet.render.markers import to_markers
from critsheet.render.words import plain
from critsheet.sheet import Sheet

WORD_JOINER = "\u2060"


def test_markdown_shows_every_text_and_runs_none() -> None:
    tokens = MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(to_markdown(hostile_sheet()))
    inline = [child for token in tokens if token.type == "inline" for child in token.children]
    assert {child.type for child in inline} <= {"text", "strong_open", "strong_close", "softbreak", "text_special"}
    assert not {token.type for token in tokens} & {"html_block", "code_block", "fence", "table_open"}
    shown = "".join(child.content for child in inline).replace(WORD_JOINER, "")
    assert [text for text in HOSTILE if plain(text) not in shown] == []


@pytest.mark.parametrize("chapters", [to_chapters, to_shot_chapters])
def test_a_chapter_title_holds_the_text_and_makes_no_chapter_of_its_own(chapters: Callable[[Sheet], str]) -> None:
    sheet = hostile_sheet()
    cues = list(webvtt.from_string(chapters(sheet)))
    assert len(cues) <= 2 * len(sheet.notes)
    titles = [html.unescape(line).split(". ", 1)[1] for cue in cues for line in cue.raw_text.splitlines()]
    assert set(titles) == {plain(text) for text in HOSTILE}


def test_a_marker_holds_the_text_on_one_line() -> None:
    (clip,) = otio.adapters.read_from_string(to_markers(hostile_sheet()), "otio_json").find_clips()
    assert {marker.comment for marker in clip.markers} == {plain(text) for text in HOSTILE}
    ids = {marker.metadata["critsheet"]["note"] for marker in clip.markers}
    assert {note.id for note in hostile_sheet().notes if "\0" not in note.id} <= ids, "the very ids of sheet.json"
