"""The main job with a shot: frames and pictures beside the notes, files for other programs, nothing lost on the way.

Finding the notes and finding the shot on the screen have their own tests; here quick ones stand in for both.
"""

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest
from invented_playhead import note
from small_films import FIRST, FRAMES, INK, Tick, recording, shot

from critsheet import cli
from critsheet.frames.showing import Playhead
from critsheet.sheet import Sheet, load

Run = Callable[..., tuple[int, str, str]]
TICKS = [Tick(110)] * 10 + [Tick(110, part / 20) for part in range(20)] + [Tick(110, 1.0)] * 10 + [Tick(None)] * 20
TALK = "WEBVTT\n\n00:00.500 --> 00:03.000\nThis foot here.\n\n00:04.500 --> 00:05.500\nAnd the end.\n"
LOG = "seconds,frame\n0,110\n4,\n"


@pytest.fixture(autouse=True)
def playhead(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Playhead:
    """A current folder with a review, its captions, the shot and a log, and a stand-in that sees what is there."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    _, seen = recording(TICKS, Path("review.mp4"))
    shot(Path("shot.mp4"))
    Path("talk.vtt").write_text(TALK)
    Path("log.csv").write_text(LOG)

    def find(*args: object) -> object:
        return (note((0.5, 3.0)), note((4.5, 5.5), name="n2", place="end")), ("n1",)

    monkeypatch.setattr("critsheet.notes.find_notes", find)
    monkeypatch.setattr("critsheet.frames.matching.match_pictures", lambda *args: seen)
    return seen


@pytest.fixture
def make(capsys: pytest.CaptureFixture[str]) -> Run:
    """Makes the sheet of the review into the folder `out`; gives exit status, stdout and stderr."""

    def run(*options: object, source: str = "review.mp4") -> tuple[int, str, str]:
        captions = ["--captions", "talk.vtt"] if source == "review.mp4" else []
        status = cli.run(["make", source, *captions, "--out", "out", *map(str, options)])
        captured = capsys.readouterr()
        return status, captured.out, captured.err

    return run


WITH_SHOT = ("--shot", "shot.mp4", "--frames", f"{FIRST}-{FIRST + FRAMES - 1}")


def made() -> Sheet:
    return load(Path("out/sheet.json"))


def files() -> list[str]:
    return sorted(path.relative_to("out").as_posix() for path in Path("out").rglob("*") if path.is_file())


def test_a_shot_gives_frames_stills_markers_and_chapters(make: Run) -> None:
    status, out, _ = make(*WITH_SHOT)
    assert status == 0
    assert "frame 110 (shown on screen)" in out
    assert files() == [
        "captions.vtt", "chapters.vtt", "markers.otio", "sheet.html", "sheet.json", "sheet.md", "shot-chapters.vtt",
        "stills/n1-1-frame.webp", "stills/n1-1-screen.webp", "stills/n1-1-strip.webp",
    ]  # fmt: skip
    assert "frame 110 (shown on screen)" in Path("out/sheet.md").read_text()
    assert Path("out/sheet.html").read_text().count("<img ") == 3


def test_the_sheet_tells_what_was_on_screen_and_of_which_file(make: Run) -> None:
    make(*WITH_SHOT)
    sheet = made()
    assert sheet.shot is not None
    assert (sheet.shot.name, sheet.shot.file, sheet.shot.fps) == ("shot", "shot.mp4", "24")
    assert sheet.on_screen is not None
    assert [(run.start, run.first, run.last) for run in sheet.on_screen.runs] == [(0, 110, 110), (4, None, None)]
    assert sheet.settings["options"]["shot"]["file"] == "shot.mp4"
    assert sheet.settings["versions"]["opencv-python-headless"]
    assert [note.frames[0].source for note in sheet.notes] == ["shown", "placed"]


def test_the_still_on_the_page_shows_the_whole_drawing(make: Run) -> None:
    make(*WITH_SHOT)
    screen = cv2.imdecode(np.frombuffer(Path("out/stills/n1-1-screen.webp").read_bytes(), np.uint8), cv2.IMREAD_COLOR)
    near = np.abs(screen.astype(int) - INK).max(axis=2) < 60
    assert near[30:36, 12:106].mean() > 0.9


def test_frames_are_counted_from_the_file_where_nothing_is_typed(make: Run) -> None:
    make("--shot", "shot.mp4")
    assert (made().shot.first, made().shot.last) == (1, FRAMES)  # type: ignore[union-attr]


def test_the_first_frame_is_enough_beside_a_shot(make: Run) -> None:
    assert make("--shot", "shot.mp4", "--frames", "1001")[0] == 0
    assert (made().shot.first, made().shot.last) == (1001, 1024)  # type: ignore[union-attr]
    assert make("--frames", "1001")[0] == 2


def test_a_log_gives_frames_without_the_shot(make: Run) -> None:
    assert make("--playhead", "log.csv")[0] == 0
    assert [(span.first, span.source) for span in made().notes[0].frames] == [(110, "logged")]
    assert files()[-1] == "stills/n1-1-screen.webp"


def test_a_log_beside_a_shot_gives_the_frames_and_the_pictures_the_place_on_screen(make: Run) -> None:
    Path("log.csv").write_text("0,111\n4,\n")
    make(*WITH_SHOT, "--playhead", "log.csv")
    assert [(span.first, span.source) for span in made().notes[0].frames] == [(111, "logged")]
    still = made().notes[0].stills[0]
    assert (still.kind, still.width, still.height) == ("screen", 160, 96)


def test_a_log_serves_captions_alone(make: Run) -> None:
    assert make("--playhead", "log.csv", source="talk.vtt")[0] == 0
    assert [(span.first, span.source) for span in made().notes[0].frames] == [(110, "logged")]
    assert not made().notes[0].stills


def test_a_recording_that_is_the_shot_played_once(make: Run) -> None:
    assert make("--offset", "0:00.4", "--frames", "101-200")[0] == 0
    first = made().notes[0].frames[0]
    assert (first.first, first.source) == (101, "placed")
    assert first.confidence < 0.5
    assert made().settings["options"]["offset"] == 0.4


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--playhead", "log.csv", "--offset", "1"], "Give one of them"),
        (["--playhead", "none.csv"], "none.csv"),
        (["--playhead", "talk.vtt"], "line 1"),
        (["--shot", "none.mp4"], "none.mp4"),
        (["--shot", "talk.vtt"], "talk.vtt"),
        (["--shot", "shot.mp4", "--fps", "30"], "24 frames a second"),
        (["--shot", "shot.mp4", "--frames", "101-188"], "--frames 101-124"),
        (["--offset", "soon"], "--offset 75.5"),
        (["--offset", "-3"], "--offset"),
        (["--offset", "1:75"], "--offset 1:15.5"),
    ],
)
def test_a_mistake_gets_one_line_with_a_way_out_and_nothing_is_written(
    make: Run, options: list[str], says: str
) -> None:
    status, out, err = make(*options)
    assert status != 0
    assert (out, err.count("\n")) == ("", 1)
    assert says in err
    assert not Path("out").exists()


def test_a_shot_that_never_appears_is_said_and_the_sheet_is_made(
    make: Run, monkeypatch: pytest.MonkeyPatch, playhead: Playhead
) -> None:
    nothing = Playhead(playhead.showings[-5:], "shown")
    monkeypatch.setattr("critsheet.frames.matching.match_pictures", lambda *args: nothing)
    status, out, _ = make(*WITH_SHOT)
    assert status == 0
    assert "the shot was not seen in the recording" in out
    assert "the shot was not seen" in Path("out/sheet.md").read_text()


def test_captions_alone_beside_a_shot_are_no_mistake(make: Run) -> None:
    assert make(*WITH_SHOT, source="talk.vtt")[0] == 0
    assert "no pictures" in made().doubts[0]


def test_an_untouched_folder_with_stills_is_made_again(make: Run) -> None:
    make(*WITH_SHOT)
    Path("out/stills/.DS_Store").touch()
    assert make(*WITH_SHOT, "--title", "Again")[0] == 0
    assert made().review.title == "Again"
    assert make("--title", "Bare")[0] == 0
    assert not Path("out/stills").exists()


def test_a_corrected_note_gets_the_pictures_of_the_frames_that_the_mentor_set(
    make: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    make(*WITH_SHOT)
    cli.run(["edit", "out/sheet.json", "--text"])
    form = capsys.readouterr().out.replace("- frames: 110", f"- frames: {FIRST + 4}")
    Path("form.md").write_text(form)
    assert cli.run(["edit", "out/sheet.json", "--from", "form.md"]) == 0
    assert [still.kind for still in made().notes[0].stills] == ["screen"]
    assert make(*WITH_SHOT)[0] == 0
    first = made().notes[0]
    assert [(span.first, span.source) for span in first.frames] == [(FIRST + 4, "by hand")]
    assert (first.stills[0].kind, first.stills[0].frames) == ("frame", (FIRST + 4,))


@pytest.mark.parametrize("work", ["own picture", "changed markers"])
def test_work_in_the_folder_is_never_overwritten(make: Run, work: str) -> None:
    make(*WITH_SHOT)
    match work:
        case "own picture":
            Path("out/stills/mine.png").touch()
        case "changed markers":
            Path("out/markers.otio").write_text("{}")
    before = {name: Path("out", name).read_bytes() for name in files()}
    assert make(*WITH_SHOT)[0] == 6
    assert {name: Path("out", name).read_bytes() for name in files()} == before


def test_a_full_disk_among_the_stills_leaves_nothing(make: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    written = Path.open

    def full(path: Path, *args: object, **more: object) -> object:
        if path.suffix == ".webp":
            raise OSError(28, "No space left on device")
        return written(path, *args, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", full)
    status, _, err = make(*WITH_SHOT)
    assert (status, err.count("\n")) == (6, 1)
    assert sorted(path.name for path in Path().iterdir()) == ["log.csv", "review.mp4", "shot.mp4", "talk.vtt"]


def test_the_same_files_come_out_each_time(make: Run) -> None:
    make(*WITH_SHOT)
    before = {name: Path("out", name).read_bytes() for name in files()}
    make(*WITH_SHOT)
    for name in files():
        assert name in ("sheet.json", "sheet.html") or Path("out", name).read_bytes() == before[name], name
