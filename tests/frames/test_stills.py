"""The picture that a note points at: with the whole drawing, cut to the shot, beside the clean frame."""

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest
from invented_playhead import note
from small_films import AREA, FIRST, FRAMES, TALL, WIDE, Picture, Tick, ink, recording, shot, shot_picture

from critsheet.frames import Sources, combine, cut_stills, numbered, read_shot
from critsheet.frames.drawing import drawn_share
from critsheet.frames.picturing import cut
from critsheet.frames.showing import Area
from critsheet.screen import Still
from critsheet.sheet import FrameRange, Note

Cut = Callable[..., list[tuple[Still, Picture]]]
DRAWS = [Tick(110)] * 5 + [Tick(110, part / 20) for part in range(20)] + [Tick(110, 1.0)] * 10
AFTER = [Tick(110)] * 10 + [Tick(FIRST + n % FRAMES) for n in range(0, 60, 2)]


@pytest.fixture
def cut_from(tmp_path: Path) -> Cut:
    """Cuts the stills of notes from a recording of these ticks; gives those of the first, with their pictures."""

    def run(ticks: list[Tick], *notes: Note, with_shot: bool = True) -> list[tuple[Still, Picture]]:
        film, playhead = recording(ticks, tmp_path / "review.mp4")
        file = read_shot(shot(tmp_path / "shot.mp4")) if with_shot else None
        numbering = numbered(file, "24", FIRST, FIRST + FRAMES - 1)
        combined = combine(notes, playhead, numbering)
        cut, files = cut_stills(combined, playhead, Sources(film, file, numbering), lambda share: None)
        assert sorted(files) == sorted(still.file for one in cut for still in one.stills)
        pictures = {name: cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR) for name, data in files.items()}
        for one in cut:
            assert all(pictures[still.file].shape[:2] == (still.height, still.width) for still in one.stills)
        return [(still, pictures[still.file]) for still in cut[0].stills]

    return run


def test_a_note_gets_the_screen_the_clean_frame_and_a_strip(cut_from: Cut) -> None:
    stills = cut_from(DRAWS + AFTER, note((0.5, 3.5)))
    assert [still.kind for still, _ in stills] == ["screen", "frame", "strip"]
    screen, clean, strip = stills
    assert screen[0].frames == clean[0].frames == (110,)
    assert strip[0].frames == tuple(range(107, 114))


def test_the_screen_is_cut_to_the_shots_picture(cut_from: Cut) -> None:
    (_, screen), (_, clean), _ = cut_from(DRAWS + AFTER, note((0.5, 3.5)))
    assert screen.shape[:2] == (TALL, WIDE)
    assert drawn_share(screen, clean) < 0.08


def test_the_moment_kept_is_the_one_with_the_whole_drawing(cut_from: Cut) -> None:
    (still, screen), (_, clean), _ = cut_from(DRAWS + AFTER, note((0.5, 3.5)))
    assert still.seconds is not None
    assert 2.4 <= still.seconds <= 3.5
    assert ink(screen) == pytest.approx(6 * 100 / (WIDE * TALL), rel=0.25)
    assert ink(clean) == 0


def test_a_drawing_finished_after_the_words_is_waited_for(cut_from: Cut) -> None:
    (_, screen), *_ = cut_from(DRAWS + AFTER, note((0.0, 1.0)))
    assert ink(screen) > 0.9 * 6 * 100 / (WIDE * TALL)


def test_a_drawing_of_the_next_note_is_left_to_it(cut_from: Cut) -> None:
    (_, screen), *_ = cut_from(DRAWS + AFTER, note((0.0, 1.0)), note((1.0, 3.5), name="n2"))
    assert ink(screen) < 0.5 * 6 * 100 / (WIDE * TALL)


def test_a_mirrored_look_is_no_drawing(cut_from: Cut) -> None:
    ticks = [Tick(tick.frame, tick.drawn, mirrored=True) for tick in DRAWS]
    (_, screen), *_ = cut_from(ticks + AFTER, note((0.5, 3.5)))
    assert ink(screen) == pytest.approx(6 * 100 / (WIDE * TALL), rel=0.25)


def test_two_places_get_a_picture_each(cut_from: Cut) -> None:
    stills = cut_from([Tick(105)] * 20 + [Tick(120)] * 20, note((0.2, 1.8), (2.2, 3.8)))
    assert [(still.kind, still.frames[0]) for still, _ in stills if still.kind == "screen"] == [
        ("screen", 105),
        ("screen", 120),
    ]
    for still, picture in stills:
        if still.kind == "frame":
            assert np.abs(picture.astype(int) - shot_picture(still.frames[0] - FIRST)).mean() < 8


def test_frames_that_were_only_said_are_shown_from_the_shot(cut_from: Cut) -> None:
    said = note((0.2, 1.8), frames=(FrameRange(first=115, last=115),))
    stills = cut_from([Tick(None)] * 30, said)
    assert [(still.kind, still.frames[0]) for still, _ in stills] == [("frame", 115), ("strip", 112)]


def test_a_said_frame_is_shown_beside_another_that_was_on_screen(cut_from: Cut) -> None:
    stills = cut_from(DRAWS + AFTER, note((0.5, 3.5), frames=(FrameRange(first=123, last=123),)))
    assert [(still.kind, still.frames[0]) for still, _ in stills if still.kind != "strip"] == [
        ("screen", 110),
        ("frame", 110),
        ("frame", 123),
    ]


def test_a_strip_at_the_shots_end_stays_within_the_shot(cut_from: Cut) -> None:
    said = note((0.2, 1.8), frames=(FrameRange(first=124, last=124),))
    assert cut_from([Tick(None)] * 30, said)[1][0].frames == tuple(range(118, 125))


def test_a_strip_of_a_long_stretch_is_spread_over_it(cut_from: Cut) -> None:
    said = note((0.2, 1.8), frames=(FrameRange(first=101, last=119),))
    assert cut_from([Tick(None)] * 30, said)[1][0].frames == (101, 104, 107, 110, 113, 116, 119)


def test_without_the_shots_file_only_the_screen_is_shown(cut_from: Cut) -> None:
    stills = cut_from(DRAWS + AFTER, note((0.5, 3.5)), with_shot=False)
    assert [still.kind for still, _ in stills] == ["screen"]


def test_a_looping_shot_gives_no_picture(cut_from: Cut) -> None:
    assert cut_from([Tick(FIRST + 2 * n % FRAMES) for n in range(60)], note((0.5, 5.5))) == []


def test_stills_are_small_and_come_out_the_same_each_time(tmp_path: Path) -> None:
    film, playhead = recording(DRAWS + AFTER, tmp_path / "review.mp4")
    file = read_shot(shot(tmp_path / "shot.mp4"))
    numbering = numbered(file, None, FIRST, None)
    combined = combine([note((0.5, 3.5))], playhead, numbering)
    made = [cut_stills(combined, playhead, Sources(film, file, numbering), lambda share: None) for _ in range(2)]
    assert made[0] == made[1]
    assert sum(map(len, made[0][1].values())) < 60_000


def test_a_zoomed_picture_is_compared_with_what_is_visible_of_the_shot() -> None:
    screen = np.zeros((100, 200, 3), np.uint8)
    picture, visible = cut(screen, Area(-100, -50, 400, 200))
    assert picture.shape == (100, 200, 3)
    assert visible.of(np.zeros((80, 160, 3), np.uint8)).shape == (40, 80, 3)


def test_an_area_off_the_screen_leaves_the_whole_screen() -> None:
    screen = np.zeros((100, 200, 3), np.uint8)
    assert cut(screen, Area(300, 0, 100, 50))[0].shape == screen.shape


def test_a_brighter_player_is_no_drawing() -> None:
    clean = shot_picture(5)
    brighter = np.clip(clean * 1.15 + 12, 0, 255).astype(np.uint8)
    assert drawn_share(brighter, clean) < 0.005
    assert AREA.width == WIDE
