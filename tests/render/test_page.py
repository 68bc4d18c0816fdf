"""The page: one file that reads, plays, prints and stays safe without any network."""

import base64
import hashlib
import re
import shutil
import subprocess
from collections.abc import Callable, Mapping
from html.parser import HTMLParser
from pathlib import Path

import pytest
from invented_sheet import NOTES

from critsheet.render.page import to_html
from critsheet.render.recording import RecordingLink
from critsheet.screen import Still
from critsheet.sheet import Done, Earlier, FrameRange, Note, Segment, Sheet, Shot, Transcript, Word
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
        self.text: dict[str, list[str]] = {}
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
            self.text.setdefault(self.open[-1], []).append(data)

    def all(self, tag: str, **wanted: str) -> list[dict[str, str | None]]:
        """The attributes of every such tag."""
        return [
            attributes
            for name, attributes in self.found
            if name == tag and all(attributes.get(key.strip("_")) == value for key, value in wanted.items())
        ]


def changed(note: Note, **update: object) -> Note:
    """The note with some of its parts set."""
    return note.model_copy(update=update)


def with_first(sheet: Sheet, **update: object) -> Sheet:
    """The sheet with parts of its first note set."""
    return sheet.model_copy(update={"notes": (changed(sheet.notes[0], **update), *sheet.notes[1:])})


def part(html: str, note: str) -> str:
    """What the page says of one note."""
    return re.search(rf'<li class="note[^"]*" id="note-{note}".*?\n</li>', html, re.S)[0]  # type: ignore[index]


def hostile(sheet: Sheet) -> Sheet:
    """The sheet with an attack in every place where people's words appear."""
    frames = (FrameRange(first=130, last=138),)
    done = Done(at=EVIL, comment=EVIL)
    note = changed(
        NOTES[0], action=EVIL, subject=EVIL, reasons=(EVIL,), doubts=(EVIL,), done=done,
        moments=(NOTES[0].moments[0].model_copy(update={"quote": EVIL}),),
    )  # fmt: skip
    earlier = Earlier(
        note="n1",
        action=EVIL,
        category="weight",
        subject=EVIL,
        frames=frames,
        outcome="repeated",
        done=done,
        doubt=EVIL,
    )
    word = Word(start=0, end=1, text=EVIL, raw=EVIL)
    recording = sheet.review.recording.model_copy(update={"file": EVIL})
    review = sheet.review.model_copy(update={"title": EVIL, "mentor": EVIL, "student": EVIL, "recording": recording})
    return sheet.model_copy(
        update={
            "made": EVIL,
            "notes": (note, *NOTES[1:]),
            "review": review,
            "shot": Shot(name=EVIL, first=101, last=188),
            "settings": {EVIL: [EVIL]},
            "doubts": (EVIL,),
            "earlier": (earlier,),
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
    wanted = {
        name
        for _, attributes in tags
        for key in ("for", "aria-labelledby")
        for name in (attributes.get(key) or "").split()
    }
    inside = {attributes["href"][1:] for _, attributes in tags if (attributes.get("href") or "").startswith("#")}
    assert wanted | inside <= set(ids)


def test_the_page_fetches_nothing_but_its_recording(sheet: Sheet, categories: Categories) -> None:
    for recording in (None, FILM):
        tags = Tree(to_html(sheet, categories, recording, {})).found
        fetched = [attributes["src"] for _, attributes in tags if "src" in attributes]
        assert fetched == (list(recording.sources) if recording else [])
        assert not {tag for tag, _ in tags} & {
            "link",
            "img",
            "iframe",
            "object",
            "embed",
            "form",
            "base",
            "use",
            "image",
        }


def test_the_policy_allows_exactly_the_style_and_scripts_in_the_page(sheet: Sheet, categories: Categories) -> None:
    tree = Tree(to_html(sheet, categories, None, {}))
    policy = tree.all("meta", http_equiv="x") or tree.all("meta")
    rules = next(one["content"] for one in policy if one.get("http-equiv") == "Content-Security-Policy") or ""
    for tag, directive in (("style", "style-src"), ("script", "script-src")):
        hashes = [
            f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" for text in tree.text[tag]
        ]
        assert f"{directive} {' '.join(hashes)};" in rules
    assert "default-src 'none'" in rules
    assert "unsafe" not in rules
    assert not any(name == "style" or name.startswith("on") for _, a in tree.found for name in a)


def test_words_of_people_never_become_part_of_the_page(sheet: Sheet, categories: Categories) -> None:
    mild, attacked = (to_html(one, categories, FILM, {}) for one in (sheet, hostile(sheet)))
    for tag in ("script", "img", "style", "meta"):
        assert len(Tree(attacked).all(tag)) == len(Tree(mild).all(tag))
    assert "{{ 7*7 }}" in attacked
    assert not any(name.startswith("on") for _, attributes in Tree(attacked).found for name in attributes)


def test_a_long_sheet_stays_under_a_megabyte(sheet: Sheet, categories: Categories) -> None:
    notes = tuple(changed(NOTES[place % 6], id=f"n{place}", rank=place + 1) for place in range(60))
    talk = sheet.transcript.segments * 40  # about as many words as half an hour's talk
    long = sheet.model_copy(
        update={"notes": notes, "top": ("n0",), "transcript": Transcript(language="en", segments=talk)}
    )
    assert len(to_html(long, categories, FILM, {}).encode()) < 1_000_000


# What a reader finds first.


def test_what_matters_most_stands_before_everything_else(sheet: Sheet, categories: Categories) -> None:
    head = to_html(sheet, categories, None, {}).split("<main")[0]
    assert re.search(r'class="above-all"><a href="#note-n1"[^>]*>Get the hips back and down', head)
    for words in ("Osk lifts the crate", "Jon Tarn", "Mara Quill", "101–188 at 24 a second", "2026-01-31"):
        assert words in head


def test_the_head_counts_what_is_to_do_to_keep_and_to_plan(sheet: Sheet, categories: Categories) -> None:
    head = to_html(sheet, categories, None, {}).split("<main")[0]
    assert re.findall(r"<b>(\d+)</b> ([a-z ]+)", head) == [("4", "to do"), ("1", "to keep"), ("1", "to plan")]
    assert "0 of 5 done" in head


def test_what_works_is_told_at_the_head_and_again_in_its_place(sheet: Sheet, categories: Categories) -> None:
    head, rest = to_html(sheet, categories, None, {}).split("<main")
    assert '<a href="#note-n5"' in head
    assert "Keep the look at the crate" in part(rest, "n5")
    assert "checkbox" not in part(rest, "n5")


def test_the_first_three_are_set_apart(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    assert re.findall(r'class="note leads" id="note-(\w+)"', html) == ["n1", "n2"]


def test_plans_are_numbered_steps(sheet: Sheet, categories: Categories) -> None:
    plans = tuple(changed(NOTES[5], id=f"p{place}", rank=place) for place in (7, 8))
    html = to_html(sheet.model_copy(update={"notes": (*NOTES[:5], *plans)}), categories, None, {})
    assert "Step 1" in part(html, "p7")
    assert "Step 2" in part(html, "p8")


def test_what_to_mind_about_the_whole_sheet_stands_on_top(sheet: Sheet, categories: Categories) -> None:
    doubted = sheet.model_copy(update={"doubts": ("the shot was not seen in the recording",)})
    assert "the shot was not seen" in to_html(doubted, categories, None, {}).split("<main")[0]


def test_a_talk_without_notes_still_makes_a_page(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet.model_copy(update={"notes": (), "top": (), "shot": None}), categories, None, {})
    assert "No notes were found" in html
    assert Tree(html).open == []
    assert "Okay, so this is Osk" in html


def test_praise_alone_says_that_there_is_nothing_to_mend(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet.model_copy(update={"notes": NOTES[4:5], "top": ()}), categories, None, {})
    assert "Nothing to mend was found" in html.split("<main")[0]


# One note.


def test_a_note_says_what_who_where_and_why_in_the_mentors_words(sheet: Sheet, categories: Categories) -> None:
    note = part(to_html(sheet, categories, None, {}), "n1")
    for words in (
        "Get the hips back", "Weight, posing", "Osk", "hips", "about frames 130–138", "asked before, still open",
        "I don&#39;t feel any weight in it", "hips before limbs", "the frames were said roughly",
    ):  # fmt: skip
        assert words in note


def test_the_programs_advice_is_told_apart_from_the_mentors_words(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    advice = re.findall(r'<details class="program">.*?</details>', html, re.S)
    assert len(advice) == 2
    assert "not your mentor&#39;s words" in advice[0]
    assert "Move the hips over the support foot" in advice[0]
    assert "plumb line" in advice[0]
    assert "Move the hips over the support foot" not in html.replace(advice[0], "")


@pytest.mark.parametrize(
    "action", ["Fix the timing: it all goes at once.", "If there is time, fix the timing: it drags."]
)
def test_a_fault_without_remedy_says_so_and_shows_the_usual_one_apart(
    sheet: Sheet, categories: Categories, action: str
) -> None:
    note = part(to_html(with_first(sheet, action=action), categories, None, {}), "n1")
    told = re.search(r'<div class="no-remedy">.*?</div>', note, re.S)
    assert told
    assert "The mentor names no remedy" in told[0]
    assert "from the program" in told[0]
    assert "Move the hips over the support foot" in told[0]


@pytest.mark.parametrize(
    "action", ["Fix the foot at 42.", "Plant the foot: it slides.", "Fix the beat at 1:20.", "Fix his hand (it pops)."]
)
def test_a_remedy_is_not_called_missing(sheet: Sheet, categories: Categories, action: str) -> None:
    assert "no-remedy" not in part(to_html(with_first(sheet, action=action), categories, None, {}), "n1")


def test_the_mentors_own_wording_is_marked(sheet: Sheet, categories: Categories) -> None:
    html = to_html(with_first(sheet, edited=True, action="Fix the timing: mine."), categories, None, {})
    assert "in the mentor&#39;s words" in part(html, "n1")
    assert "no-remedy" not in part(html, "n1")
    assert "in the mentor&#39;s words" not in part(html, "n2")


def test_ticks_and_comments_of_the_sheet_stand_on_the_page(sheet: Sheet, categories: Categories) -> None:
    done = Done(at="2026-02-01T09:00:00Z", comment="On ones now.")
    html = to_html(with_first(sheet, done=done), categories, None, {})
    tree = Tree(part(html, "n1"))
    assert "checked" in tree.all("input", id="tick-n1")[0]
    assert tree.all("input", id="tick-n1")[0]["data-at"] == "2026-02-01T09:00:00Z"
    assert tree.text["textarea"] == ["On ones now."]
    assert "1 of 5 done" in html
    assert "checked" not in Tree(part(html, "n2")).all("input", id="tick-n2")[0]


STILLS = {"stills/n3-1-screen.webp": b"RIFF1", "stills/n3-1-strip.webp": b"RIFF2"}


def pictured(sheet: Sheet) -> Sheet:
    """The sheet with two stills on its third note."""
    stills = (
        Still(file="stills/n3-1-screen.webp", kind="screen", frames=(142,), seconds=80.2, width=640, height=360),
        Still(file="stills/n3-1-strip.webp", kind="strip", frames=(141, 142, 143), width=480, height=90),
    )
    return sheet.model_copy(update={"notes": (*NOTES[:2], changed(NOTES[2], stills=stills), *NOTES[3:])})


def test_stills_stand_inside_the_page_with_words_for_those_who_do_not_see_them(
    sheet: Sheet, categories: Categories
) -> None:
    html = to_html(pictured(sheet), categories, None, STILLS)
    pictures = Tree(html).all("img")
    assert [picture["alt"] for picture in pictures] == ["On screen at 1:20: frame 142", "The shot, frames 141 to 143"]
    for picture, data in zip(pictures, STILLS.values(), strict=True):
        assert picture["src"] == f"data:image/webp;base64,{base64.b64encode(data).decode()}"
    assert "<span>141</span><span>142</span><span>143</span>" in html
    assert "img-src data:" in html


def test_a_page_without_stills_allows_no_picture(sheet: Sheet, categories: Categories) -> None:
    html = to_html(pictured(sheet), categories, None, {})
    assert "<img" not in html
    assert "img-src &#39;none&#39;" in html


# The recording.


def test_times_lead_into_the_recording(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, FILM, {})
    links = Tree(part(html, "n1")).all("a", class_="time")
    assert links[0]["href"] == "../osk%20lift.mp4#t=21.00"
    assert links[0]["data-at"] == "21.00"
    assert links[0]["aria-label"] == "Play from 0:21"
    assert "<video" in html
    assert "<audio" in to_html(sheet, categories, SOUND, {})


def test_without_the_recording_times_are_plain_text(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    assert '<span class="time">0:21</span>' in html
    tree = Tree(html)
    assert not {tag for tag, _ in tree.found} & {"audio", "video", "source"}
    assert all((link["href"] or "").startswith("#") for link in tree.all("a"))


# The rest of the sheet.


def test_notes_can_be_chosen_by_what_who_part_and_priority(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    tools = re.search(r'<details class="tools".*?</details>', html, re.S)
    assert tools
    assert [one["data-filter"] for one in Tree(tools[0]).all("select")] == ["category", "subject", "part", "priority"]
    assert '<option value="hips">hips (2)</option>' in tools[0]
    assert '<option value="weight">Weight (1)</option>' in tools[0]
    note = Tree(part(html, "n1")).all("li", id="note-n1")[0]
    found = [note[f"data-{key}"] for key in ("category", "subject", "part", "priority")]
    assert found == ["weight posing", "Osk", "hips", "first"]


def test_earlier_notes_are_shown_apart_with_what_became_of_them(sheet: Sheet, categories: Categories) -> None:
    done = Done(at="2026-01-20T18:00:00Z", comment="at frame 42")
    earlier = (
        Earlier(
            note="n1", action="Give the lift some weight.", category="weight", outcome="repeated", raised=3, done=done
        ),
        Earlier(action="Spread the fingers.", category="hands", outcome="not mentioned", submission=1),
        Earlier(note="n5", action="Look before you touch.", category="eyes", outcome="resolved"),
    )
    html = to_html(sheet.model_copy(update={"earlier": earlier}), categories, None, {})
    section = html[html.index('<section class="earlier"') :].split("</section>")[0]
    assert re.findall(r"<h3[^>]*>([^<]*)", section) == ["Again", "Not spoken of this time", "Solved"]
    assert "raised 3 times in a row" in section
    assert "You said done, 2026-01-20" in section
    assert "at frame 42" in section
    assert '<a href="#note-n1">see note 1</a>' in section
    assert "1 solved, 1 again, 1 not spoken of" in html.split("<main")[0]
    assert 'class="earlier"' not in to_html(sheet, categories, None, {})


def test_the_page_tells_repairs_settings_cautions_and_the_whole_talk(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    assert '<ins title="heard: wait">weight</ins>' in html
    assert '<td dir="auto">wait</td><td dir="auto">weight</td>' in html
    for text in ("options: model", "No grading", "The mentor decides", "personal data", "Okay, so this is Osk"):
        assert text in html


def test_a_student_reads_the_talk_as_spoken_and_the_form_in_their_own_language(
    sheet: Sheet, categories: Categories
) -> None:
    html = to_html(sheet.model_copy(update={"language": "de"}), categories, None, {})
    assert html.startswith('<!DOCTYPE html>\n<html lang="de">')
    note = part(html, "n2")
    assert 'lang="en">Delay the head' in note
    for words in ("Erledigt", "Bild 151", "Kopf, Brust und Hüfte", "2-mal genannt", "Versatz"):
        assert words in note
    assert "Was gelungen ist" in html


@pytest.fixture
def browse(tmp_path: Path) -> Browse:
    """Opens a page in a headless browser and gives the document as it stands after the page's scripts ran."""
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
def test_a_missing_recording_turns_times_into_plain_text(sheet: Sheet, categories: Categories, browse: Browse) -> None:
    html = browse(to_html(sheet, categories, FILM, {}))
    assert "The recording is not beside this page" in html
    links = Tree(html).all("a")
    assert all((link.get("href") or "#").startswith("#") for link in links)
    assert not Tree(html).all("a", class_="mark mark-first time")


@pytest.mark.browser
def test_nothing_said_runs_in_the_browser(sheet: Sheet, categories: Categories, browse: Browse) -> None:
    tree = Tree(browse(to_html(hostile(sheet), categories, None, {})))
    assert tree.text["title"][0].endswith("critique sheet")
    assert not tree.all("img")
