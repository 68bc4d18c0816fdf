"""The main job at the command line: a talk goes in, a folder and a checklist come out."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from invented_talk import heard, write_tone

from critsheet import speech
from critsheet.cli import options
from critsheet.sheet import Sheet, load

Run = Callable[..., tuple[int, str, str]]
FILES = ["captions.vtt", "chapters.vtt", "sheet.html", "sheet.json", "sheet.md"]


def listed(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_talk_becomes_a_folder_of_files_named_after_it(critsheet: Run, captions: Path) -> None:
    status, _, _ = critsheet("make", captions)
    assert status == 0
    assert listed(Path("critsheet-talk")) == FILES
    assert listed(Path()) == ["critsheet-talk", "talk.vtt"]


def test_the_checklist_is_printed_within_80_columns_and_without_colour_in_a_pipe(
    critsheet: Run, captions: Path
) -> None:
    _, out, err = critsheet("make", captions)
    assert "DO FIRST" in out
    assert "The hips stop dead at 142." in out
    assert "\x1b" not in out + err
    assert max(map(len, out.splitlines())) <= 80
    assert "sheet.html" in err


def test_colour_appears_where_the_terminal_shows_it(
    critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    _, out, _ = critsheet("make", captions)
    assert "\x1b[" in out


def test_json_prints_the_sheet_and_nothing_else(critsheet: Run, captions: Path) -> None:
    _, out, _ = critsheet("make", captions, "--json")
    assert Sheet.model_validate(json.loads(out)) == load(Path("critsheet-talk/sheet.json"))


def test_quiet_prints_nothing(critsheet: Run, captions: Path) -> None:
    assert critsheet("make", captions, "--quiet") == (0, "", "")


def test_what_the_user_says_about_shot_and_people_stands_in_the_sheet(critsheet: Run, captions: Path) -> None:
    options = {
        "fps": 23.976,
        "frames": "101-188",
        "submission": 2,
        "title": "Lift",
        "mentor": "Mara",
        "student": "Jon",
    }
    typed = [f"--{name}={value}" for name, value in options.items()]
    critsheet("make", captions, *typed, "--names", "Osk, Tibby,Osk", "--out", "a/b")
    sheet = load(Path("a/b/sheet.json"))
    assert (sheet.review.title, sheet.review.mentor, sheet.review.student) == ("Lift", "Mara", "Jon")
    assert sheet.review.submission == 2
    assert sheet.shot is not None
    assert (sheet.shot.fps, sheet.shot.first, sheet.shot.last) == ("24000/1001", 101, 188)
    assert sheet.settings["options"]["names"] == ["Osk", "Tibby"]


def test_captions_of_a_recording_give_the_words_and_the_recording_the_times(
    critsheet: Run, recording: Path, captions: Path
) -> None:
    assert critsheet("make", recording, "--captions", captions)[0] == 0
    sheet = load(Path("critsheet-talk/sheet.json"))
    assert sheet.review.recording.file == "talk.wav"
    assert sheet.notes[0].action == "The hips stop dead at 142."
    assert 'src="../talk.wav"' in Path("critsheet-talk/sheet.html").read_text()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--fps", "fast"], "24, 25"),
        (["--fps", "0"], "24, 25"),
        (["--fps", "1/0"], "24, 25"),
        (["--frames", "101"], "--frames 101-188"),
        (["--frames", "188-101"], "--frames 101-188"),
        (["--frames", "1-99999999"], "digits"),
        (["--names", "Osk, 12"], "commas"),
        (["--names", ",".join(f"n{c}" for c in map(chr, range(0x4E00, 0x4E40)))], "50"),
        (["--submission", "zero"], "The first submission is 1"),
        (["--submission", "0"], "The first submission is 1"),
        (["--title", "x" * 300], "at most 200"),
        (["--language", "fr"], "English: en"),
        (["--device", "abacus"], "cpu or cuda"),
        (["--captions", "more.vtt"], "one caption file alone"),
        (["--vocab", "nowhere"], "nowhere"),
        (["--bogus"], "make --help"),
    ],
)
def test_a_mistyped_option_gets_one_line_with_a_way_out_and_nothing_is_written(
    critsheet: Run, captions: Path, options: list[str], says: str
) -> None:
    status, out, err = critsheet("make", captions, *options)
    assert status != 0
    assert out == ""
    assert says in err
    assert err.count("\n") == 1
    assert listed(Path()) == ["talk.vtt"]


@pytest.mark.parametrize("name", ["nothing.mp4", "folder", "empty.wav", "text.mp4", "nothing.vtt"])
def test_a_file_that_is_no_talk_gets_one_line_and_nothing_is_written(critsheet: Run, name: str) -> None:
    Path("folder").mkdir()
    Path("empty.wav").touch()
    Path("text.mp4").write_text("A letter.")
    before = listed(Path())
    status, out, err = critsheet("make", name)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert name in err
    assert listed(Path()) == before


def test_captions_that_run_on_long_after_their_recording_are_refused(critsheet: Run, recording: Path) -> None:
    Path("other.vtt").write_text("WEBVTT\n\n05:00.000 --> 05:04.000\nThe hips stop dead.\n")
    status, _, err = critsheet("make", recording, "--captions", "other.vtt")
    assert status == 2
    assert "5:04" in err
    assert "0:10" in err


def test_a_file_name_cannot_send_codes_to_the_terminal(critsheet: Run) -> None:
    _, _, err = critsheet("make", "a\x1b[31m\nb.mp4")
    assert "\x1b" not in err
    assert err.count("\n") == 1


def test_the_same_talk_gives_the_same_files_but_for_the_time_of_making(critsheet: Run, captions: Path) -> None:
    critsheet("make", captions, "--out", "one")
    critsheet("make", captions, "--out", "two")
    made = [load(Path(folder, "sheet.json")).made for folder in ("one", "two")]
    for name in FILES:
        one, two = (Path(folder, name).read_text() for folder in ("one", "two"))
        assert (
            one.replace(made[0], made[1]).replace(made[0][:16].replace("T", " "), made[1][:16].replace("T", " ")) == two
        )


def test_settings_tell_versions_and_options_but_no_folders_of_the_user(critsheet: Run, recording: Path) -> None:
    critsheet("make", recording.resolve(), "--out", "sheet")
    settings = load(Path("sheet/sheet.json")).settings
    assert settings["options"]["model"]
    assert settings["versions"]["faster-whisper"]
    assert len(settings["vocabulary"]) == 64
    assert str(Path.cwd()) not in Path("sheet/sheet.json").read_text() + Path("sheet/sheet.html").read_text()


def test_an_untouched_sheet_of_the_same_recording_is_made_again(critsheet: Run, captions: Path) -> None:
    critsheet("make", captions, "--title", "Before")
    Path("critsheet-talk/.DS_Store").touch()
    assert critsheet("make", captions, "--title", "After")[0] == 0
    assert load(Path("critsheet-talk/sheet.json")).review.title == "After"
    assert listed(Path()) == ["critsheet-talk", "talk.vtt"]


@pytest.mark.parametrize(
    "work", ["typed corrections", "tick", "caption", "own file", "no sheet", "damaged sheet", "other talk"]
)
def test_existing_work_is_never_overwritten(critsheet: Run, captions: Path, work: str) -> None:
    critsheet("make", captions)
    folder = Path("critsheet-talk")
    match work:
        case "typed corrections":
            (folder / "sheet-corrections.md").write_text("half a sentence")
        case "tick":
            page = folder / "sheet.md"
            page.write_text(page.read_text().replace("[ ]", "[x]", 1))
        case "caption":
            (folder / "captions.vtt").write_text("WEBVTT\n")
        case "own file":
            (folder / "mine.txt").touch()
        case "no sheet":
            (folder / "sheet.json").unlink()
        case "damaged sheet":
            (folder / "sheet.json").write_text("{")
        case "other talk":
            captions.write_text(captions.read_text() + "\n00:10.000 --> 00:11.000\nOne more thing.\n")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    status, _, err = critsheet("make", captions)
    assert status == 6
    assert "--out" in err
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_the_folder_one_works_in_and_a_file_are_no_place_for_a_sheet(critsheet: Run, captions: Path) -> None:
    Path("taken").touch()
    for place in (".", "..", "taken"):
        status, _, err = critsheet("make", captions, "--out", place)
        assert status == 6
        assert "new folder" in err or "another folder" in err


def test_a_place_that_cannot_be_written_is_told_in_one_line(critsheet: Run, captions: Path) -> None:
    for place in ("/proc/sheet", "x" * 300, "talk.vtt/sheet"):
        status, _, err = critsheet("make", captions, "--out", place)
        assert (status, err.count("\n")) == (6, 1)
        assert "--out" in err


def test_a_read_only_folder_is_told_before_any_listening(
    critsheet: Run, recording: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("critsheet.speech.transcribe", interrupt)
    monkeypatch.setattr("os.access", lambda _, mode: mode == os.R_OK)
    status, _, err = critsheet("make", recording)
    assert (status, err.count("\n")) == (6, 1)


FULL_DISK = """
import resource, sys
from invented_talk import one_note_a_caption
from critsheet import cli, notes
notes.find_notes = one_note_a_caption
resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
sys.exit(cli.run(["make", "talk.vtt"]))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file size limits are a thing of Unix")
def test_a_full_disk_leaves_nothing_half_written(captions: Path) -> None:
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])}
    done = subprocess.run([sys.executable, "-c", FULL_DISK], env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 6, done.stderr
    assert done.stderr.count("\n") == 1
    assert "free some space" in done.stderr
    assert listed(Path()) == ["talk.vtt"]


PATIENT = """
import signal, sys, time
from critsheet import cli, notes
signal.signal(signal.SIGINT, signal.default_int_handler)  # a test run in the background passes on an ignored one
def wait(*args):
    print("waiting", flush=True)
    time.sleep(60)
notes.find_notes = wait
sys.exit(cli.run(["make", "talk.vtt"]))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="signals are a thing of Unix")
def test_ctrl_c_at_the_keyboard_ends_with_one_line_and_status_130(captions: Path) -> None:
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    command = [sys.executable, "-c", PATIENT]
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == "waiting\n"
        running.send_signal(signal.SIGINT)
        _, err = running.communicate(timeout=30)
    assert (running.returncode, err.count("\n")) == (130, 1)
    assert listed(Path()) == ["talk.vtt"]


def interrupt(*args: object) -> None:
    raise KeyboardInterrupt


@pytest.mark.parametrize("moment", ["critsheet.notes.find_notes", "os.fsync", "critsheet.render.folder.Path.rename"])
def test_ctrl_c_leaves_nothing_half_written_and_keeps_the_earlier_sheet(
    critsheet: Run, captions: Path, moment: str
) -> None:
    for earlier in (False, True):
        if earlier:
            critsheet("make", captions)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(moment, interrupt)
            status, out, err = critsheet("make", captions)
        assert (status, out, err.count("\n")) == (130, "", 1)
        assert listed(Path()) == ["critsheet-talk"] * earlier + ["talk.vtt"]
    assert listed(Path("critsheet-talk")) == FILES


def test_ctrl_c_between_old_and_new_sheet_brings_the_old_one_back(
    critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    critsheet("make", captions, "--title", "Before")
    rename = Path.rename

    def second_fails(path: Path, target: Path) -> Path:
        if path.name == "new":
            raise KeyboardInterrupt
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", second_fails)
    assert critsheet("make", captions, "--title", "After")[0] == 130
    assert load(Path("critsheet-talk/sheet.json")).review.title == "Before"
    assert listed(Path()) == ["critsheet-talk", "talk.vtt"]


def test_the_recogniser_is_told_what_the_user_chose(
    critsheet: Run, recording: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def listen(path: Path, options: object, progress: Callable[[float], None]) -> object:
        asked.append(options)
        progress(0.5)
        return heard()

    monkeypatch.setattr("critsheet.speech.transcribe", listen)
    critsheet("make", recording, "--model", "tiny", "--device", "cuda")
    assert (asked[0].model, asked[0].device, asked[0].language) == ("tiny", "cuda", "en")


def test_the_command_line_and_the_recogniser_agree_on_devices() -> None:
    assert options.DEVICES == speech.DEVICES


def test_two_recordings_of_one_name_do_not_share_a_sheet(critsheet: Run, recording: Path) -> None:
    critsheet("make", recording)
    write_tone(recording, 5)
    assert critsheet("make", recording)[0] == 6
