"""The sheet as a task list: every note can be read and ticked, and no spoken word becomes markup."""

import re
from html.parser import HTMLParser

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from invented_sheet import NOTES
from markdown_it import MarkdownIt

from critsheet.render.markdown import escape, to_markdown
from critsheet.render.words import plain
from critsheet.sheet import Done, Sheet

READER = MarkdownIt("commonmark").enable(["table", "strikethrough"])


class Seen(HTMLParser):
    """The text and the tags of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text, self.tags = "", []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, _attrs: object) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_things_to_do_have_a_box_and_things_to_keep_have_none(sheet: Sheet) -> None:
    lines = to_markdown(sheet).splitlines()
    assert "- [ ] **1. Get the hips back and down before the crate leaves the floor, around 130 to 138.**" in lines
    assert "- **5. Keep the look at the crate before he touches it.**" in lines
    assert sum(line.startswith("- [ ]") for line in lines) == len(NOTES) - 1


def test_a_finished_note_is_ticked(sheet: Sheet) -> None:
    done = NOTES[0].model_copy(update={"done": Done(at="2026-02-03", comment="Moved to 128.")})
    text = to_markdown(sheet.model_copy(update={"notes": (done, *NOTES[1:])}))
    assert "- [x] **1." in text
    assert "Done 2026\\-02-03" in text or "Done 2026-02-03: Moved to 128." in text


def test_groups_follow_the_order_of_work(sheet: Sheet) -> None:
    headings = re.findall(r"^## (.*)$", to_markdown(sheet), re.M)
    assert headings == ["Do first", "Then", "If there is time", "Keep", "Plan", "Misheard words put right"]


def test_a_note_shows_frames_times_the_mentors_words_reasons_and_doubts(sheet: Sheet) -> None:
    text = to_markdown(sheet)
    assert "about frames 130–138" in text
    assert "0:21 “Now the biggest thing. When he lifts, it goes up like it's empty." in text
    assert "Why here: said: “the biggest thing”; hips before limbs" in text
    assert "Not sure: recogniser unsure of “plant”" in text


def test_a_talk_without_notes_says_so(sheet: Sheet) -> None:
    assert "No notes were found" in to_markdown(sheet.model_copy(update={"notes": (), "top": ()}))


@settings(deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=60))
@example("![x](http://e.example/p.png) <img src=x onerror=alert(1)>")
@example("[ ] # *a* _b_ `c` ~~d~~ | e | &amp; &#x41; $f$ \\")
@example("1. one")
@example("- - 2) +")
@example("===")
@example("    code")
@example("[a]: http://e.example")
def test_spoken_words_are_shown_letter_by_letter_and_never_as_markup(text: str) -> None:
    shown = Seen(READER.render(f"- {escape(text)}"))
    assert shown.text.replace("\u2060", "").strip() == plain(text).replace("\u2060", "")
    assert set(shown.tags) <= {"ul", "li", "p"}


@pytest.mark.parametrize("text", ["@mara look", "www.e.example", "https://e.example", "a :tada: b", "see #12"])
def test_spoken_words_call_nobody_and_link_nowhere_on_a_forge(text: str) -> None:
    """GitHub Flavored Markdown links bare addresses, mentions, issue numbers and emoji codes."""
    assert not re.search(r"@\w|www\.\w|(?<!\\):\S|(?<!\\)#\d", escape(text))
