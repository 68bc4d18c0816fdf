"""The page: one file that reads, plays, prints and stays safe without any network."""

import base64
import hashlib
import re
import shutil
import subprocess
from collections.abc import Callable, Mapping
from dataclasses import fields
from html.parser import HTMLParser
from pathlib import Path

import pytest
from invented_sheet import NOTES
from jinja2 import Environment, meta

from critsheet import resources
from critsheet.render.page import to_html
from critsheet.render.page_context import Page
from critsheet.render.recording import RecordingLink
from critsheet.screen import Still
from critsheet.sheet import Segment, Sheet, Transcript, Word
from critsheet.vocabulary import CategoryEntry

Categories = Mapping[str, CategoryEntry]
Browse = Callable[[str], str]
FILM = RecordingLink(("../osk%20lift.mp4", "osk%20lift.mp4"), True)
SOUND = RecordingLink(("talk.opus",), False)
VOID = {"meta", "input", "source", "img"}
EVIL = "\"><script>document.title='caught'</script><img src=x onerror=\"document.title='caught'\"> {{ 7*7 }}"


class Tree(HTMLParser):
    """Tags with their attributes, and whether every tag is closed in turn."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: dict[str, str] = {}
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.text[self.open[-1]] = self.text.get(self.open[-1], "") + data


def hostile(sheet: Sheet) -> Sheet:
    """The sheet with an attack in every place where people's words appear."""
    note = NOTES[0].model_copy(
        update={
            "action": EVIL, "subject": EVIL, "reasons": (EVIL,), "doubts": (EVIL,),
            "moments": (NOTES[0].moments[0].model_copy(update={"quote": EVIL}),),
        }
    )  # fmt: skip
    word = Word(start=0, end=1, text=EVIL, raw=EVIL)
    review = sheet.review.model_copy(update={"title": EVIL, "mentor": EVIL, "student": EVIL})
    return sheet.model_copy(
        update={
            "notes": (note, *NOTES[1:]),
            "review": review,
            "settings": {EVIL: [EVIL]},
            "transcript": Transcript(language="en", segments=(Segment(start=0, end=1, text=EVIL, words=(word,)),)),
        }
    )


def test_every_tag_is_closed_in_turn(sheet: Sheet, categories: Categories) -> None:
    for recording in (None, FILM, SOUND):
        html = to_html(sheet, categories, recording, {})
        assert html.startswith('<!DOCTYPE html>\n<html lang="en">')
        assert Tree(html).open == []


def test_ids_are_unique_and_every_label_and_reference_leads_somewhere(sheet: Sheet, categories: Categories) -> None:
    tags = Tree(to_html(sheet, categories, FILM, {})).found
    ids = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    wanted = {attributes[key] for _, attributes in tags for key in ("for", "aria-labelledby") if key in attributes}
    assert wanted <= set(ids)


def test_the_page_fetches_nothing_but_its_recording(sheet: Sheet, categories: Categories) -> None:
    for recording in (None, FILM):
        tags = Tree(to_html(sheet, categories, recording, {})).found
        fetched = [attributes["src"] for _, attributes in tags if "src" in attributes]
        assert fetched == (list(recording.sources) if recording else [])
        assert not {tag for tag, _ in tags} & {"link", "img", "iframe", "object", "embed", "form", "base"}


def test_the_policy_allows_exactly_the_style_and_script_in_the_page(sheet: Sheet, categories: Categories) -> None:
    tree = Tree(to_html(sheet, categories, None, {}))
    policy = next(a["content"] for _, a in tree.found if a.get("http-equiv") == "Content-Security-Policy")
    for tag, directive in (("style", "style-src"), ("script", "script-src")):
        digest = base64.b64encode(hashlib.sha256(tree.text[tag].encode()).digest()).decode()
        assert f"{directive} 'sha256-{digest}';" in policy
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert not any(name == "style" or name.startswith("on") for _, a in tree.found for name in a)


STILLS = {"stills/n3-1-screen.webp": b"RIFF1", "stills/n3-1-strip.webp": b"RIFF2"}


def pictured(sheet: Sheet) -> Sheet:
    """The sheet with two stills on its third note."""
    stills = (
        Still(file="stills/n3-1-screen.webp", kind="screen", frames=(142,), seconds=80.2, width=640, height=360),
        Still(file="stills/n3-1-strip.webp", kind="strip", frames=(141, 142, 143), width=480, height=90),
    )
    note = NOTES[2].model_copy(update={"stills": stills})
    return sheet.model_copy(update={"notes": (*NOTES[:2], note, *NOTES[3:])})


def test_stills_stand_inside_the_page_with_words_for_those_who_do_not_see_them(
    sheet: Sheet, categories: Categories
) -> None:
    html = to_html(pictured(sheet), categories, None, STILLS)
    tree = Tree(html)
    assert tree.open == []
    pictures = [attributes for tag, attributes in tree.found if tag == "img"]
    assert [picture["alt"] for picture in pictures] == ["On screen at 1:20: frame 142", "The shot, frames 141 to 143"]
    for picture, data in zip(pictures, STILLS.values(), strict=True):
        assert picture["src"] == f"data:image/webp;base64,{base64.b64encode(data).decode()}"
    assert "<span>141</span><span>142</span><span>143</span>" in html
    assert "img-src data:" in html


def test_a_page_without_stills_allows_no_picture(sheet: Sheet, categories: Categories) -> None:
    html = to_html(pictured(sheet), categories, None, {})
    assert "<img" not in html
    assert "img-src &#39;none&#39;" in html


def test_what_to_mind_about_the_whole_sheet_stands_on_top(sheet: Sheet, categories: Categories) -> None:
    doubted = sheet.model_copy(update={"doubts": ("the shot was not seen in the recording",)})
    assert "the shot was not seen" in to_html(doubted, categories, None, {}).split("<main>")[0]


def test_words_of_people_never_become_part_of_the_page(sheet: Sheet, categories: Categories) -> None:
    mild, attacked = (to_html(one, categories, FILM, {}) for one in (sheet, hostile(sheet)))
    for tag in ("script", "img", "style", "meta"):
        count = sum(name == tag for name, _ in Tree(mild).found)
        assert sum(name == tag for name, _ in Tree(attacked).found) == count
    assert "{{ 7*7 }}" in attacked


def test_times_lead_into_the_recording(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, FILM, {})
    assert '<a class="time" href="../osk%20lift.mp4#t=21.00" data-at="21.00">' in html
    assert "<video" in html
    assert "<audio" in to_html(sheet, categories, SOUND, {})


def test_without_the_recording_times_are_plain_text(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    assert '<span class="time">0:21</span>' in html
    assert not {tag for tag, _ in Tree(html).found} & {"a", "audio", "video", "source"}


def test_the_programs_advice_is_told_apart_from_the_mentors_words(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    advice = re.findall(r'<details class="program">.*?</details>', html, re.S)
    assert len(advice) == 2
    assert "not your mentor's words" in advice[0].replace("&#39;", "'")
    assert "Move the hips over the support foot" in advice[0]
    assert "plumb line" in advice[0]
    assert "Move the hips over the support foot" not in html.replace(advice[0], "")


def test_the_page_tells_repairs_settings_cautions_and_the_whole_talk(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    assert '<ins title="heard: wait">weight</ins>' in html
    assert '<td dir="auto">wait</td><td dir="auto">weight</td>' in html
    for text in (
        "options: model",
        "No grading",
        "The mentor decides",
        "personal data",
        "Okay, so this is Osk",
    ):
        assert text in html


def test_a_talk_without_notes_still_makes_a_page(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet.model_copy(update={"notes": (), "top": (), "shot": None}), categories, None, {})
    assert "No notes were found" in html
    assert Tree(html).open == []


def test_the_template_uses_every_part_of_its_context_and_no_other() -> None:
    source = (resources.folder("templates") / "sheet.html").read_text()
    used = set(re.findall(r"\bpage\.(\w+)", source))
    assert used == {field.name for field in fields(Page)}
    names = meta.find_undeclared_variables(Environment(autoescape=True).parse(source))
    assert names == {"page", "style", "script", "policy"}


@pytest.fixture
def browse(tmp_path: Path) -> Browse:
    """Opens a page in a headless browser and gives the document as it stands after the page's script ran."""
    chromium = shutil.which("chromium")
    assert chromium, "install chromium for the tests marked 'browser'"

    def dump(html: str) -> str:
        page = tmp_path / "sheet" / "sheet.html"
        page.parent.mkdir(exist_ok=True)
        page.write_text(html)
        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        command = [chromium, *flags, f"--user-data-dir={tmp_path / 'profile'}", "--virtual-time-budget=3000"]
        done = subprocess.run([*command, "--dump-dom", page.as_uri()], capture_output=True, text=True, check=True)
        return done.stdout

    return dump


@pytest.mark.browser
def test_a_missing_recording_turns_times_into_plain_text(sheet: Sheet, categories: Categories, browse) -> None:
    tree = Tree(browse(to_html(sheet, categories, FILM, {})))
    assert all("href" not in attributes for tag, attributes in tree.found if tag == "a")
    missing = next(a for _, a in tree.found if a.get("class") == "missing")
    assert "hidden" not in missing


@pytest.mark.browser
def test_nothing_said_runs_in_the_browser(sheet: Sheet, categories: Categories, browse: Browse) -> None:
    tree = Tree(browse(to_html(hostile(sheet), categories, None, {})))
    assert tree.text["title"].endswith("critique sheet")
    assert "img" not in {tag for tag, _ in tree.found}
