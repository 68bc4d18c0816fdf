"""What the page does in a real browser: finding, ticking off, saving and opening ticks, keyboard alone, narrow screens.

Where a check follows a standard it names it: WCAG 2.2 (W3C Recommendation, 5 October 2023).
"""

import io
import json
import shutil
import wave
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path

import html5lib
import pytest
from playwright.sync_api import Page, sync_playwright
from pypdf import PdfReader

from critsheet.render.page import to_html
from critsheet.render.recording import RecordingLink
from critsheet.sheet import Sheet, load, save
from critsheet.ticks import load as load_ticks
from critsheet.vocabulary import CategoryEntry

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def browser_page() -> Iterator[Page]:
    chromium = shutil.which("chromium")
    assert chromium, "install chromium for the tests marked 'browser'"
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield browser.new_page()
        browser.close()


@pytest.fixture
def tab(browser_page: Page, sheet: Sheet, categories: Mapping[str, CategoryEntry], tmp_path: Path) -> Page:
    path = tmp_path / "sheet.html"
    path.write_text(to_html(sheet, categories, None, {}), encoding="utf-8")
    browser_page.set_viewport_size({"width": 1280, "height": 900})
    browser_page.goto(path.as_uri())
    browser_page.locator("#tools > summary").click()
    return browser_page


def shown(tab: Page) -> list[str]:
    notes = tab.locator("li.note")
    seen = [notes.nth(place) for place in range(notes.count())]
    return [str(note.get_attribute("data-note")) for note in seen if note.is_visible()]


def test_a_time_plays_the_recording_from_there(
    browser_page: Page, sheet: Sheet, categories: Mapping[str, CategoryEntry], tmp_path: Path
) -> None:
    with wave.open(str(tmp_path / "talk.wav"), "wb") as sound:
        sound.setparams((1, 2, 8000, 0, "NONE", "not compressed"))
        sound.writeframes(bytes(2 * 8000 * 90))
    page = tmp_path / "sheet.html"
    page.write_text(to_html(sheet, categories, RecordingLink(("talk.wav",), False), {}), encoding="utf-8")
    browser_page.goto(page.as_uri())
    time = browser_page.locator("li.note a.time").first
    said_at = float(time.get_attribute("data-at") or "nan")
    time.click()
    at = browser_page.evaluate("document.getElementById('recording').currentTime")
    assert 0 < said_at <= at < said_at + 5


def test_the_page_prints(tab: Page, sheet: Sheet) -> None:
    printed = PdfReader(io.BytesIO(tab.pdf(format="A4")))
    text = "".join(sheet_of_paper.extract_text() for sheet_of_paper in printed.pages)
    assert sheet.review.title in text
    assert all(note.action.split()[0] in text for note in sheet.notes)


def test_one_category_can_be_picked_and_let_go_again(tab: Page, sheet: Sheet) -> None:
    everything = shown(tab)
    category = sheet.notes[0].category
    tab.locator("#filter-category").select_option(category)
    kept = {note.id for note in sheet.notes if category in (note.category, *note.also)}
    assert set(shown(tab)) == kept < set(everything)
    tab.locator("#filter-clear").click()
    assert shown(tab) == everything


def test_words_of_an_action_find_its_note(tab: Page, sheet: Sheet) -> None:
    note = sheet.notes[0]
    tab.locator("#filter-text").fill(note.action)
    assert note.id in shown(tab)
    tab.locator("#filter-text").fill("no such words anywhere")
    assert shown(tab) == []


def test_a_tick_stays_when_the_page_is_opened_again_and_can_be_hidden(tab: Page, sheet: Sheet) -> None:
    note = next(note.id for note in sheet.notes if note.kind != "keep" and not note.done)
    tab.locator(f"#tick-{note}").check()
    tab.reload()
    assert tab.locator(f"#tick-{note}").is_checked()
    tab.locator("#tools > summary").click()
    tab.locator("#filter-left").check()
    assert note not in shown(tab)


def test_ticks_saved_by_the_page_are_read_back_into_the_sheet(tab: Page, sheet: Sheet, tmp_path: Path) -> None:
    note = next(note.id for note in sheet.notes if note.kind != "keep" and not note.done)
    tab.locator(f"#tick-{note}").check()
    with tab.expect_download() as saving:
        tab.locator("#ticks-save").click()
    ticks = tmp_path / "ticks.json"
    saving.value.save_as(ticks)
    assert json.loads(ticks.read_text())["schema"] == "critsheet-ticks/1"
    save(sheet, tmp_path / "sheet.json")
    done = load_ticks(ticks, load(tmp_path / "sheet.json"))
    assert next(one for one in done.notes if one.id == note).done is not None


def test_a_note_is_ticked_off_by_keyboard_alone(tab: Page, sheet: Sheet) -> None:
    """WCAG 2.2, 2.1.1 Keyboard."""
    note = next(note.id for note in sheet.notes if note.kind != "keep" and not note.done)
    tab.locator(f"#tick-{note}").focus()
    before = tab.locator(f"#tick-{note}").is_checked()
    tab.keyboard.press("Space")
    assert tab.locator(f"#tick-{note}").is_checked() is not before


@pytest.mark.parametrize("width", [320, 390, 1280, 1920])
def test_nothing_has_to_be_scrolled_sideways(tab: Page, width: int) -> None:
    """WCAG 2.2, 1.4.10 Reflow: 320 CSS pixels, which is 1280 at 400 %."""
    tab.set_viewport_size({"width": width, "height": 800})
    assert tab.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_independent_checker_of_accessibility_finds_nothing(tab: Page, scheme: str) -> None:
    """The rules of axe-core 4 for WCAG 2.2 A and AA."""
    tab.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    tab.evaluate((files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8"))
    found = tab.evaluate("axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']})")
    assert [one["id"] for one in found["violations"]] == []


def test_an_independent_parser_finds_no_error(sheet: Sheet, categories: Mapping[str, CategoryEntry]) -> None:
    """HTML Living Standard, section 13.2, as html5lib implements it."""
    html5lib.HTMLParser(strict=True).parse(to_html(sheet, categories, None, {}))
