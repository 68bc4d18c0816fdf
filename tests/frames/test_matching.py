"""The playhead found in recordings of which every moment is known."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest
from clips import Clip, cycle, film, need_film, on_ones, on_twos, stranger, write
from reviews import FPS, Renderer, Screen, Script, record, truth_at

from critsheet.errors import InputError
from critsheet.frames.matching import match_pictures
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead

SMALL = Screen(size=(640, 360), viewer=(80, 40, 480, 280))
FIRST = 101
Shots = Callable[[Callable[[], Clip]], tuple[Clip, Path]]


def quiet(stage: str, share: float) -> None:
    """Nobody watches."""


@pytest.fixture(scope="module")
def shots(tmp_path_factory: pytest.TempPathFactory) -> Shots:
    """Each clip drawn and written once."""
    made: dict[str, tuple[Clip, Path]] = {}
    folder = tmp_path_factory.mktemp("shots")

    def shot(draw: Callable[[], Clip]) -> tuple[Clip, Path]:
        if draw.__name__ not in made:
            clip = draw()
            made[draw.__name__] = clip, write(clip, folder / f"{clip.name}.mp4")
        return made[draw.__name__]

    return shot


class Review:
    """A recording of a script, what was found in it, and what is true."""

    def __init__(self, shot: tuple[Clip, Path], folder: Path, script: Script, screen: Screen = SMALL) -> None:
        self.clip, shot_file = shot
        self.renderer = Renderer(self.clip, screen, stranger())
        self.looks = script.looks
        recording = record(script.looks, self.renderer, folder / "review.mp4")
        self.found: Playhead = match_pictures(recording, shot_file, FIRST, quiet)

    def right(self, within: int = 0) -> float:
        """The share of moments that are right: a frame of the same drawing or so near it, or rightly none."""
        good = [self._right(index, within) for index in range(len(self.found.showings))]
        return sum(good) / len(good)

    def _true(self, index: int) -> int | None:
        return truth_at(self.looks, Fraction(index, SAMPLES_A_SECOND))

    def _right(self, index: int, within: int) -> bool:
        spans = self.found.showings[index].spans
        true = self._true(index)
        if true is None:
            return not spans
        low, high = (FIRST + frame for frame in self.clip.held[true])
        return any(first - within <= high and last + within >= low for first, last in spans)


def test_playing_stepping_and_scrubbing_are_followed_frame_by_frame(shots, tmp_path) -> None:
    script = Script(shots(on_ones)[0]).play(2).hold(0.6).step(2).step(-3).scrub(20, 1).scrub(80, 1).play(1.5, 0.5)
    review = Review(shots(on_ones), tmp_path, script.play(1, 2.0).play(1, -1.0))
    assert review.right() > 0.97
    assert len(review.found.showings) == ceil(len(script.looks) * SAMPLES_A_SECOND / FPS)
    assert all(0.0 <= showing.confidence <= 1.0 for showing in review.found.showings)


def test_the_area_is_where_the_picture_lies(shots, tmp_path) -> None:
    review = Review(shots(on_ones), tmp_path, Script(shots(on_ones)[0]).play(2))
    area = review.found.showings[4].area
    assert area is not None
    assert (area.x, area.y, area.width, area.height) == pytest.approx((80, 45, 480, 270), abs=1.0)


def test_a_drawing_on_twos_is_both_its_frames(shots, tmp_path) -> None:
    review = Review(shots(on_twos), tmp_path, Script(shots(on_twos)[0]).play(2).step(3))
    assert {showing.spans[0][1] - showing.spans[0][0] for showing in review.found.showings} == {1}
    assert review.right() > 0.97


def test_a_cycle_names_every_repeat_and_is_not_sure_of_one(shots, tmp_path) -> None:
    review = Review(shots(cycle), tmp_path, Script(shots(cycle)[0]).play(2).hold(1))
    assert all(len(showing.spans) == 4 for showing in review.found.showings)
    assert all(showing.confidence < 0.9 for showing in review.found.showings)
    assert review.right() > 0.97


def test_drawing_over_the_picture_hides_no_frame(shots, tmp_path) -> None:
    script = Script(shots(on_ones)[0]).play(1).draw(1.5).hold(0.4).step(2).play(1.5)
    assert Review(shots(on_ones), tmp_path, script).right() > 0.97


def test_other_windows_menus_and_shots_are_not_the_shot(shots, tmp_path) -> None:
    script = Script(shots(on_ones)[0]).away("desktop", 1).play(1.6).away("window", 1.4).hold(0.6)
    review = Review(shots(on_ones), tmp_path, script.away("menu", 1).play(1).away("stranger", 2).step(1))
    assert review.right() > 0.97


def test_a_picture_zoomed_and_panned_is_followed(shots, tmp_path) -> None:
    script = Script(shots(on_ones)[0]).play(2).hold(0.4).look(2.0, (0.5, 0.5), 0.8).step(2).play(1)
    review = Review(shots(on_ones), tmp_path, script.look(1.0, (0.5, 0.5), 0.6).play(1))
    assert review.right(within=1) > 0.85
    area = review.found.showings[20].area
    assert area is not None
    assert area.width == pytest.approx(960, rel=0.02)


def test_a_mirrored_picture_is_the_same_frame(shots, tmp_path) -> None:
    screen = Screen(size=(640, 360), viewer=(80, 40, 480, 280), mirrored=True)
    assert Review(shots(on_ones), tmp_path, Script(shots(on_ones)[0]).play(2).step(2), screen).right() > 0.97


def test_a_shot_that_never_appears_is_nowhere(shots, tmp_path) -> None:
    review = Review(shots(on_ones), tmp_path, Script(shots(on_ones)[0]).away("window", 2).away("stranger", 3))
    assert not any(showing.spans for showing in review.found.showings)


def test_the_same_recording_gives_the_same_playhead(shots, tmp_path) -> None:
    clip, shot = shots(on_ones)
    script = Script(clip).play(1).look(1.6, (0.4, 0.5), 0.6).play(0.6)
    recording = record(script.looks, Renderer(clip, SMALL, stranger()), tmp_path / "review.mp4")
    assert match_pictures(recording, shot, 1, quiet) == match_pictures(recording, shot, 1, quiet)


def test_one_picture_is_no_shot(tmp_path) -> None:
    clip = on_ones()
    alone = write(Clip("alone", clip.pictures[:1], clip.rate, [(0, 0)]), tmp_path / "alone.mp4")
    with pytest.raises(InputError, match="single picture"):
        match_pictures(alone, alone, 1, quiet)


def test_a_long_film_is_no_shot(tmp_path) -> None:
    clip = on_ones()
    long = write(Clip("long", [clip.pictures[0]] * 61, Fraction(1, 10), []), tmp_path / "long.mp4")
    with pytest.raises(InputError, match=r"lasts 10 minutes|longer than 10 minutes"):
        match_pictures(long, long, 1, quiet)


def test_an_animated_film_is_followed_while_its_camera_moves(tmp_path) -> None:
    shot = need_film()
    clip = film()
    assert Review((clip, shot), tmp_path, Script(clip).play(3).hold(0.4).step(-2).scrub(90, 1)).right(within=1) > 0.97
