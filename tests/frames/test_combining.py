"""A note is about the frames that were said, or on screen while it was spoken."""

import pytest
from invented_playhead import SHOT, Frames, away, note, paused, playhead, playing

from critsheet.frames.combining import Combined, combine
from critsheet.frames.showing import Playhead, Showing
from critsheet.sheet import FrameRange, Note, Shot


def combined(one: Note, *parts: tuple[float, Frames], shot: Shot = SHOT) -> Note:
    return combine([one], playhead(*parts), shot)[0].note


def ranges(one: Note) -> list[tuple[int, int, str]]:
    return [(span.first, span.last, span.source) for span in one.frames]


def said(first: int, last: int | None = None, confidence: float = 1.0) -> dict[str, object]:
    return {"frames": (FrameRange(first=first, last=last or first, confidence=confidence),)}


def test_a_mentor_who_stops_and_speaks_points_at_that_frame() -> None:
    found = combined(note((3, 6)), (2, playing(101)), (5, paused(142)))
    assert ranges(found) == [(142, 142, "shown")]
    assert found.frames[0].confidence > 0.9
    assert not found.doubts


def test_a_pause_while_speaking_weighs_more_than_frames_that_flew_by() -> None:
    found = combined(note((0, 6)), (3, playing(101)), (2, paused(173)), (1, playing(173)))
    assert ranges(found) == [(173, 173, "shown")]


def test_a_short_stop_on_the_way_does_not_count() -> None:
    found = combined(note((0, 7)), (1, paused(120)), (1, playing(120)), (5, paused(160)))
    assert ranges(found) == [(160, 160, "shown")]


def test_the_last_frame_where_a_player_rests_before_it_loops_is_not_pointed_at() -> None:
    found = combined(note((0, 8.8)), (3.6, playing(101)), (0.8, paused(188)), (3.6, playing(101)), (0.8, paused(188)))
    assert found.looped
    assert found.frames == ()


def test_stepping_about_a_place_names_the_place() -> None:
    steps = [(0.6, paused(frame)) for frame in (142, 143, 144, 143, 145)]
    assert ranges(combined(note((0, 3)), *steps)) == [(142, 145, "shown")]


def test_a_slow_scrub_names_the_frames_it_went_over() -> None:
    found = combined(note((0, 4)), (4, playing(130, 0.25)))
    assert ranges(found) == [(130, 152, "shown")]
    assert 0.7 < found.frames[0].confidence < 0.95


def test_while_the_whole_shot_loops_the_note_says_so_and_names_no_frame() -> None:
    found = combined(note((1, 8)), (9, playing(101)))
    assert found.looped
    assert found.frames == ()


def test_the_whole_shot_in_slow_motion_names_no_frame_either() -> None:
    found = combined(note((0, 7)), (7.4, playing(101, 0.5)))
    assert found.looped
    assert found.frames == ()


def test_a_part_that_loops_is_meant() -> None:
    found = combined(note((0, 6)), (6, playing(120, first=120, last=159)))
    assert ranges(found) == [(120, 158, "shown")], "159 fell between two samples"
    assert not found.looped
    assert found.frames[0].confidence > 0.7


def test_frames_that_went_by_once_are_a_rough_guess() -> None:
    found = combined(note((1.5, 2.5)), (3.6, playing(101)))
    assert [span.confidence < 0.5 for span in found.frames] == [True]
    assert found.frames[0].first <= 137 <= found.frames[0].last


def test_what_was_seen_just_before_the_words_counts_while_playing() -> None:
    """People speak about half a second after they saw: common practice, no source."""
    found = combined(note((2, 2.5)), (3.6, playing(101)))
    assert found.frames[0].first < 101 + 2 * 24


def test_another_window_names_no_frame() -> None:
    found = combined(note((2.2, 4)), (2, playing(101)), (3, away))
    assert (found.frames, found.looped, found.doubts) == ((), False, ())


def test_a_note_spoken_of_twice_has_the_frames_of_both_times() -> None:
    found = combined(note((0, 2), (4, 6)), (3, paused(120)), (4, paused(170)))
    assert ranges(found) == [(120, 120, "shown"), (170, 170, "shown")]


def test_a_held_drawing_that_plays_by_is_no_pause() -> None:
    """A drawing held for 24 frames stands for a second even while the shot plays."""
    shown = playhead((1, playing(101)), (1, paused(125)), (1, playing(149)))
    held = tuple(
        Showing(one.seconds, ((125, 148),), 1.0) if 1.0 <= one.seconds < 2.0 else one for one in shown.showings
    )
    found = combine([note((0.6, 2.4))], Playhead(held, "shown"), SHOT)[0].note
    assert all(span.confidence < 0.9 for span in found.frames)


def test_frames_that_were_said_stay_as_they_are() -> None:
    found = combined(note((0, 3), **said(140, confidence=0.7)), (4, paused(142)))
    assert found.frames == (FrameRange(first=140, last=140, source="said", confidence=0.7),)
    assert not found.doubts


def test_a_said_and_a_shown_range_that_disagree_are_both_kept_and_doubted() -> None:
    found = combined(note((0, 3), **said(120)), (4, paused(142)))
    assert ranges(found) == [(120, 120, "said"), (142, 142, "shown")]
    assert found.doubts == ("said: frame 120; on screen meanwhile: frame 142",)


def test_frames_that_flew_by_do_not_contradict_what_was_said() -> None:
    found = combined(note((0, 1), **said(180)), (3.6, playing(101)))
    assert ranges(found) == [(180, 180, "said")]
    assert not found.doubts


def test_a_second_place_that_was_shown_is_added_to_the_said_one_without_a_doubt() -> None:
    found = combined(note((0, 2), (4, 6), **said(120)), (3, paused(121)), (4, paused(170)))
    assert ranges(found) == [(120, 120, "said"), (170, 170, "shown")]
    assert not found.doubts


def test_at_the_end_is_a_range_where_the_shots_length_is_known() -> None:
    found = combine([note((0, 2), place="end")], None, SHOT)[0].note
    assert ranges(found) == [(167, 188, "placed")]
    assert found.frames[0].confidence < 0.5
    assert combine([note((0, 2), place="end")], None, Shot())[0].note.frames == ()


def test_start_middle_and_end_make_the_whole_shot() -> None:
    places = [
        combine([note((0, 2), place=place)], None, SHOT)[0].note.frames[0] for place in ("start", "middle", "end")
    ]
    covered = [frame for span in places for frame in range(span.first, span.last + 1)]
    assert covered == list(range(101, 189))


def test_what_was_shown_says_more_exactly_where_at_the_end_is() -> None:
    assert ranges(combined(note((0, 3), place="end"), (4, paused(181)))) == [(181, 181, "shown")]


def test_at_the_end_while_the_start_was_on_screen_is_doubted() -> None:
    found = combined(note((0, 3), place="end"), (4, paused(105)))
    assert ranges(found) == [(105, 105, "shown"), (167, 188, "placed")]
    assert found.doubts == ("said: near the end; on screen meanwhile: frame 105",)


def test_a_picture_that_comes_again_in_the_shot_is_told() -> None:
    shown = Playhead(tuple(Showing(n / 5, ((110, 111), (134, 135)), 0.9) for n in range(20)), "shown")
    found = combine([note((0, 3))], shown, SHOT)[0].note
    assert ranges(found) == [(110, 111, "shown")]
    assert found.frames[0].confidence <= 0.5
    assert found.doubts == ("the picture of frames 110–111 comes again at frames 134–135",)


def test_an_unsure_picture_gives_an_unsure_range() -> None:
    found = combine([note((0, 3))], playhead((4, paused(142)), confidence=0.4), SHOT)[0].note
    assert found.frames[0].confidence < 0.4


def test_the_source_is_that_of_the_playhead() -> None:
    shown = playhead((4, paused(142)))
    for source in ("shown", "logged", "placed"):
        found = combine([note((0, 3))], Playhead(shown.showings, source), SHOT)[0].note
        assert [span.source for span in found.frames] == [source]


def test_without_a_playhead_and_a_place_a_note_stays_as_it_is() -> None:
    one = note((0, 3), **said(120))
    assert combine([one], None, SHOT) == [Combined(one, ())]


def test_a_picture_out_of_sight_for_a_blink_is_one_pause() -> None:
    shown = [
        Showing(one.seconds, (), 0.6) if number % 3 == 2 else one
        for number, one in enumerate(playhead((5, paused(142))).showings)
    ]
    found = combine([note((0, 5))], Playhead(tuple(shown), "shown"), SHOT)[0].note
    assert ranges(found) == [(142, 142, "shown")]
    assert found.frames[0].confidence > 0.9


def test_a_few_misread_samples_do_not_widen_a_pause() -> None:
    shown = list(playhead((5, paused(142))).showings)
    shown[8] = Showing(shown[8].seconds, ((143, 143),), 0.9)
    found = combine([note((0, 5))], Playhead(tuple(shown), "shown"), SHOT)[0].note
    assert ranges(found) == [(142, 142, "shown")]


@pytest.mark.parametrize("fps", ["12", "24000/1001", "60"])
def test_any_frame_rate_will_do(fps: str) -> None:
    shot = Shot(fps=fps, first=101, last=188)
    assert ranges(combined(note((0, 3)), (4, paused(142)), shot=shot)) == [(142, 142, "shown")]
