"""--templates and --sheet-language: a school's look, and the page in another language."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]


def test_the_page_is_written_in_the_language_asked_for(critsheet: Run, captions: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet"
    status, _, told = critsheet("make", captions, "--sheet-language", "de", "--out", out, "--quiet")
    assert (status, told) == (0, "")
    page = (out / "sheet.html").read_text(encoding="utf-8")
    assert '<html lang="de">' in page
    assert "Kritikbogen" in page
    assert json.loads((out / "sheet.json").read_text())["language"] == "de"


def test_an_unknown_language_is_told_before_any_work(critsheet: Run, captions: Path, tmp_path: Path) -> None:
    status, _, told = critsheet("make", captions, "--sheet-language", "xx", "--out", tmp_path / "sheet")
    assert status == 2
    assert "de, en" in told
    assert not (tmp_path / "sheet").exists()


def test_a_schools_templates_shape_the_page_and_stay_after_a_tick(
    critsheet: Run, captions: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    school, out = tmp_path / "school", tmp_path / "sheet"
    (school / "texts").mkdir(parents=True)
    (school / "texts" / "en.yaml").write_text("form: Notes from the attic\n")
    monkeypatch.setenv("CRITSHEET_TEMPLATES", str(school))
    assert critsheet("make", captions, "--out", out, "--quiet")[0] == 0
    sheet = json.loads((out / "sheet.json").read_text())
    note = next(note["id"] for note in sheet["notes"] if note["kind"] == "fix")
    tick = {"done": True, "at": "2026-02-01T09:00:00Z", "comment": ""}
    ticks = tmp_path / "ticks.json"
    ticks.write_text(
        json.dumps({"schema": "critsheet-ticks/1", "sheet": sheet["id"], "saved": tick["at"], "notes": {note: tick}})
    )
    assert critsheet("done", out / "sheet.json", ticks)[0] == 0
    page = (out / "sheet.html").read_text(encoding="utf-8")
    assert "Notes from the attic" in page
    assert " checked" in page


def test_a_mistake_in_a_schools_template_is_one_line_and_writes_nothing(
    critsheet: Run, captions: Path, tmp_path: Path
) -> None:
    school = tmp_path / "school"
    (school / "parts").mkdir(parents=True)
    (school / "parts" / "note.html").write_text("<li>\n{{ note.action }\n")
    status, _, told = critsheet("make", captions, "--templates", school, "--out", tmp_path / "sheet")
    assert status == 8
    assert "note.html:2: " in told
    assert told.count("\n") == 1
    assert not (tmp_path / "sheet").exists()
