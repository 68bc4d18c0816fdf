"""Correcting a sheet at the command line: an editor opens, what was typed comes back, nothing typed is ever lost."""

import json
import os
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet.form.guide import GUIDE
from critsheet.sheet import Sheet, load, save

Run = Callable[..., tuple[int, str, str]]
SHEET = Path("critsheet-talk/sheet.json")
TYPED = Path("critsheet-talk/sheet-corrections.md")
HIPS = "The hips stop dead at 142."
SETTLE = "Let them settle two frames later."


@pytest.fixture(autouse=True)
def made(critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The sheet of the talk, and no editor set."""
    critsheet("make", captions, "--frames", "101-188")
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.delenv("EDITOR", raising=False)


@pytest.fixture
def editor(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Sets an editor that types: each pair of arguments is replaced in the file; then it ends with `status`."""

    def types(*changes: tuple[str, str], status: int = 0) -> None:
        Path("typist.py").write_text(
            f"import sys, pathlib\npath = pathlib.Path(sys.argv[1])\ntext = path.read_text(encoding='utf-8')\n"
            f"for old, new in {changes!r}:\n    assert old in text\n    text = text.replace(old, new)\n"
            f"path.write_text(text, encoding='utf-8')\nsys.exit({status})\n",
            encoding="utf-8",
        )
        monkeypatch.setenv("EDITOR", shlex.join([sys.executable, "typist.py"]))

    return types


def actions() -> list[str]:
    return [note.action for note in load(SHEET).notes]


def files() -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in SHEET.parent.iterdir()}


def test_what_the_mentor_types_stands_in_every_file_of_the_folder(critsheet: Run, editor: Callable[..., None]) -> None:
    names = set(files())
    editor((f"n1: {HIPS}", "n1: Let the hips settle."))
    status, out, err = critsheet("edit", SHEET)
    assert (status, out) == (0, "")
    assert "Corrected: 1 changed. The sheet lies in critsheet-talk" in err
    assert actions() == ["Let the hips settle.", SETTLE]
    assert load(SHEET).notes[0].edited
    for name in ("sheet.md", "sheet.html", "chapters.vtt"):
        assert "Let the hips settle." in Path("critsheet-talk", name).read_text()
    assert set(files()) == names


def test_frames_that_were_set_bring_markers_and_taken_away_remove_them(
    critsheet: Run, editor: Callable[..., None]
) -> None:
    editor(("  - category: overlap\n  - said 0:01", "  - category: overlap\n  - frames: 142\n  - said 0:01"))
    critsheet("edit", SHEET)
    assert {"markers.otio", "shot-chapters.vtt"} <= set(files())
    editor(("  - frames: 142\n", ""))
    critsheet("edit", SHEET)
    assert not {"markers.otio", "shot-chapters.vtt"} & set(files())


def test_other_files_in_the_folder_stay(critsheet: Run, editor: Callable[..., None]) -> None:
    Path("critsheet-talk/talk.mp4").write_bytes(b"the recording")
    editor((HIPS, "Let the hips settle."))
    assert critsheet("edit", SHEET)[0] == 0
    assert files()["talk.mp4"] == b"the recording"


def test_a_sheet_that_lies_alone_stays_alone(critsheet: Run, editor: Callable[..., None]) -> None:
    Path("mail").mkdir()
    alone = Path("mail/lift.json")
    SHEET.rename(alone)
    editor((HIPS, "Let the hips settle."))
    assert critsheet("edit", alone)[0] == 0
    assert load(alone).notes[0].action == "Let the hips settle."
    assert [path.name for path in Path("mail").iterdir()] == ["lift.json"]


def test_the_page_still_finds_the_recording_after_a_correction(
    critsheet: Run, recording: Path, editor: Callable[..., None]
) -> None:
    critsheet("make", recording, "--out", "a/b")
    editor(("Delay the head a little.", "Delay the head."))
    critsheet("edit", "a/b/sheet.json")
    assert 'src="../../talk.wav"' in Path("a/b/sheet.html").read_text()


def test_nothing_changed_changes_nothing(critsheet: Run, editor: Callable[..., None]) -> None:
    before = files()
    editor()
    status, _, err = critsheet("edit", SHEET)
    assert status == 0
    assert "Nothing was changed" in err
    assert files() == before


def test_visual_comes_before_editor_as_is_the_custom(
    critsheet: Run, editor: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    editor((HIPS, "Let the hips settle."))
    monkeypatch.setenv("VISUAL", os.environ["EDITOR"])
    monkeypatch.setenv("EDITOR", "no-such-program")
    assert critsheet("edit", SHEET)[0] == 0


@pytest.mark.parametrize("value", [None, " ", "no-such-program", "'half quoted"])
def test_without_an_editor_one_line_says_how_to_set_one(
    critsheet: Run, monkeypatch: pytest.MonkeyPatch, value: str | None
) -> None:
    if value:
        monkeypatch.setenv("EDITOR", value)
    before = files()
    status, out, err = critsheet("edit", SHEET)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "EDITOR" in err
    assert files() == before


@pytest.mark.parametrize(
    ("slip", "says"),
    [
        ((f"n1: {HIPS}", "Mine."), "n1 is missing"),
        ((f"n1: {HIPS}", "n2: Mine."), "n2 stands twice"),
        ((f"n1: {HIPS}\n  - category: overlap", "n1: Mine.\n  - category: swing"), "“swing” is none of acting"),
        ((f"n1: {HIPS}\n", "n1: Mine.\n  - frames: 300\n"), "300 lies outside the shot, frames 101–188"),
    ],
)
def test_a_slip_is_told_with_its_line_and_the_text_is_kept_to_go_on_with(
    critsheet: Run, editor: Callable[..., None], slip: tuple[str, str], says: str
) -> None:
    before = files()
    editor(slip)
    status, _, err = critsheet("edit", SHEET)
    assert status == 2
    assert says in err
    last = err.splitlines()[-1]
    assert f"{TYPED}:" in last
    assert "critsheet edit critsheet-talk/sheet.json goes on with it" in last
    assert "Mine." in TYPED.read_text()
    assert {name: content for name, content in files().items() if name != TYPED.name} == before


def test_one_slip_is_one_line(critsheet: Run, editor: Callable[..., None]) -> None:
    editor(("category: overlap\n  - said 0:05", "category: swing\n  - said 0:05"))
    assert critsheet("edit", SHEET)[2].count("\n") == 1


def test_the_same_command_goes_on_with_what_was_typed(critsheet: Run, editor: Callable[..., None]) -> None:
    editor((f"n1: {HIPS}\n", "n1: Mine.\n  - frames: 300\n"))
    critsheet("edit", SHEET)
    editor(("frames: 300", "frames: 130"))
    status, _, err = critsheet("edit", SHEET)
    assert status == 0
    assert "Going on with" in err
    assert actions()[0] == "Mine."
    assert not TYPED.exists()


def test_an_editor_that_fails_takes_nothing_in_and_loses_nothing(critsheet: Run, editor: Callable[..., None]) -> None:
    editor((HIPS, "Mine."), status=3)
    status, _, err = critsheet("edit", SHEET)
    assert (status, err.count("\n")) == (2, 1)
    assert "status 3" in err
    assert actions()[0] == HIPS
    assert "Mine." in TYPED.read_text()
    editor(status=1)
    assert critsheet("edit", SHEET)[0] == 2
    assert TYPED.exists()


def test_an_editor_left_without_a_word_leaves_nothing_behind(critsheet: Run, editor: Callable[..., None]) -> None:
    editor(status=1)
    critsheet("edit", SHEET)
    assert not TYPED.exists()


@pytest.mark.parametrize(
    "moment", ["critsheet.form.taking.corrected", "os.fsync", "critsheet.render.folder.write_whole"]
)
def test_a_crash_loses_nothing_typed_and_the_same_command_goes_on(
    critsheet: Run, editor: Callable[..., None], moment: str
) -> None:
    editor((HIPS, "Mine."))
    calls = []

    def crash(*args: object) -> None:
        calls.append(args)
        if moment != "os.fsync" or len(calls) > 2:
            raise KeyboardInterrupt

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(moment, crash)
        assert critsheet("edit", SHEET)[0] == 130
    assert "Mine." in TYPED.read_text()
    assert actions()[0] == HIPS
    editor()
    assert critsheet("edit", SHEET)[0] == 0
    assert actions()[0] == "Mine."
    assert not TYPED.exists()


def test_a_file_of_the_folder_changed_by_hand_is_not_written_over(critsheet: Run, editor: Callable[..., None]) -> None:
    page = Path("critsheet-talk/sheet.md")
    page.write_text(page.read_text().replace("[ ]", "[x]"))
    editor((HIPS, "Mine."))
    status, _, err = critsheet("edit", SHEET)
    assert (status, err.count("\n")) == (6, 1)
    assert "sheet.md was changed by hand" in err
    assert "Your text is kept" in err
    assert "[x]" in page.read_text()
    page.unlink()
    editor()
    assert critsheet("edit", SHEET)[0] == 0
    assert actions()[0] == "Mine."


def test_a_sheet_that_was_changed_while_the_editor_was_open_is_not_set_back(
    critsheet: Run, editor: Callable[..., None]
) -> None:
    editor((HIPS, "Mine."), status=1)
    critsheet("edit", SHEET)
    sheet = load(SHEET)
    save(sheet.model_copy(update={"notes": sheet.notes[:1], "top": ()}), SHEET)
    editor()
    status, _, err = critsheet("edit", SHEET)
    assert status == 2
    assert "was changed after this form was made" in err.splitlines()[-1]
    assert "move it away" in err.splitlines()[-1]
    assert "Mine." in TYPED.read_text()


@pytest.mark.parametrize("content", [b"\xff\xfe", b"", b"x" * 8_000_001], ids=["no text", "nothing", "a film"])
def test_what_is_no_form_is_refused_and_left_alone(critsheet: Run, content: bytes) -> None:
    Path("mine.md").write_bytes(content)
    status, _, err = critsheet("edit", SHEET, "--from", "mine.md")
    assert (status, err.count("\n")) == (2, 1)
    assert "mine.md" in err
    assert Path("mine.md").read_bytes() == content


def test_a_list_is_printed_corrected_elsewhere_and_taken_in(critsheet: Run) -> None:
    _, text, err = critsheet("edit", SHEET, "--text")
    assert err == ""
    Path("mine.md").write_text(text.replace(HIPS, "Let the hips settle."))
    assert critsheet("edit", SHEET, "--from", "mine.md")[0] == 0
    assert actions()[0] == "Let the hips settle."
    assert Path("mine.md").exists()
    assert "Give one of them" in critsheet("edit", SHEET, "--text", "--from", "mine.md")[2]


@pytest.mark.parametrize(
    ("content", "status", "says"),
    [
        ("{", 5, "not a whole sheet"),
        ("[]", 5, "not a Critsheet sheet"),
        (json.dumps({"schema": "critsheet/2"}), 5, "another version"),
        (json.dumps({"schema": "critsheet/1", "notes": 3}), 5, "damaged at"),
        (None, 2, "Cannot read"),
    ],
)
def test_a_sheet_that_cannot_be_read_is_told_in_one_line(
    critsheet: Run, editor: Callable[..., None], content: str | None, status: int, says: str
) -> None:
    editor()
    if content is None:
        SHEET.unlink()
    else:
        SHEET.write_text(content)
    for options in ((), ("--text",), ("--from", "typist.py")):
        found, _, err = critsheet("edit", SHEET, *options)
        assert (found, err.count("\n")) == (status, 1)
        assert says in err
    assert not TYPED.exists()


def test_the_help_says_how_corrections_are_written(critsheet: Run) -> None:
    _, out, _ = critsheet("edit", "--help")
    shown = " ".join(out.split())
    for name, how in GUIDE:
        assert f"{name}: {how}" in shown


def corrected(critsheet: Run, editor: Callable[..., None]) -> Sheet:
    """The second note reworded and set first, the first one left out, one added and ticked."""
    text = critsheet("edit", SHEET, "--text")[1]
    start, end = text.index("- [ ] n1:"), text.index("## Then")
    block = text[start:end]
    form = text.replace(block, "").replace("## Left out\n", f"## Left out\n\n{block}").replace(SETTLE, "Settle late.")
    form = form.replace("## Keep\n", "## Keep\n\n- [x] Keep the fall.\n  - category: weight\n")
    Path("form.md").write_text(form)
    assert critsheet("edit", SHEET, "--from", "form.md")[0] == 0
    return load(SHEET)


def test_making_the_sheet_again_keeps_every_correction(
    critsheet: Run, captions: Path, editor: Callable[..., None]
) -> None:
    before = corrected(critsheet, editor)
    assert [note.action for note in before.notes] == ["Settle late.", "Keep the fall."]
    assert critsheet("make", captions, "--title", "Again")[0] == 0
    after = load(SHEET)
    assert after.review.title == "Again"
    assert (after.id, after.corrected, after.top) == (before.id, before.corrected, before.top)
    assert [note.model_dump() for note in after.notes] == [note.model_dump() for note in before.notes]
    assert [note.action for note in after.left_out] == [HIPS]
    assert "The hips stop" not in Path("critsheet-talk/sheet.md").read_text()


def test_what_is_found_for_the_first_time_comes_to_a_corrected_sheet(
    critsheet: Run, captions: Path, editor: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    from critsheet import notes

    found = notes.find_notes
    monkeypatch.setattr("critsheet.notes.find_notes", lambda *args: (found(*args)[0][:1], ("n1",)))
    Path("critsheet-talk").rename("aside")
    critsheet("make", captions)
    editor((HIPS, "Mine."))
    critsheet("edit", SHEET)
    monkeypatch.setattr("critsheet.notes.find_notes", found)
    critsheet("make", captions)
    assert [(note.id, note.action) for note in load(SHEET).notes] == [("n1", "Mine."), ("n2", SETTLE)]


def test_a_ticked_sheet_is_made_again_with_its_ticks(
    critsheet: Run, captions: Path, editor: Callable[..., None]
) -> None:
    editor(("[ ] n2", "[x] n2"))
    critsheet("edit", SHEET)
    tick = load(SHEET).notes[1].done
    assert tick is not None
    critsheet("make", captions)
    assert [note.done for note in load(SHEET).notes] == [None, tick]


IMPATIENT = """
import os, signal, sys, time
os.kill(os.getppid(), signal.SIGINT)
time.sleep(0.2)
path = sys.argv[1]
text = open(path, encoding="utf-8").read()
open(path, "w", encoding="utf-8").write(text.replace("The hips stop dead at 142.", "Mine."))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals are a thing of Unix")
def test_ctrl_c_in_the_editor_is_the_editors_business() -> None:
    Path("impatient.py").write_text(IMPATIENT)
    env = {**os.environ, "EDITOR": shlex.join([sys.executable, "impatient.py"])}
    env["PYTHONPATH"] = os.pathsep.join(filter(None, sys.path))
    command = [sys.executable, "-c", "import sys; from critsheet import cli; sys.exit(cli.run(sys.argv[1:]))"]
    done = subprocess.run([*command, "edit", str(SHEET)], env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert actions()[0] == "Mine."


def test_a_corrected_wording_is_marked_as_the_mentors_wherever_it_is_read(
    critsheet: Run, captions: Path, editor: Callable[..., None]
) -> None:
    editor((HIPS, "Mine."))
    critsheet("edit", SHEET)
    _, out, _ = critsheet("make", captions)
    marked = [text.count("in the mentor's words") for text in (out, Path("critsheet-talk/sheet.md").read_text())]
    assert marked == [1, 1]
    assert "in the mentor&#39;s words" in Path("critsheet-talk/sheet.html").read_text()


def test_the_words_of_the_school_stay_on_the_page(critsheet: Run, editor: Callable[..., None]) -> None:
    Path("school/categories").mkdir(parents=True)
    Path("school/categories/overlap.yaml").write_text("id: overlap\nmeaning: Nothing lands with anything else.\n")
    editor((HIPS, "Mine."))
    assert critsheet("edit", SHEET, "--vocab", "school")[0] == 0
    assert "Nothing lands with anything else." in Path("critsheet-talk/sheet.html").read_text()
