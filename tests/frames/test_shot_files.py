"""The shot's file says how many frames it has, how fast they go, and so how they are numbered."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from invented_playhead import note
from small_films import FRAMES, shot, shot_picture, write

from critsheet.errors import InputError
from critsheet.frames import ShotFile, misnumbered, numbered, read_shot
from critsheet.sheet import FrameRange

FILE = ShotFile(Path("lift.mov"), "0" * 64, Fraction(24), 88)


def test_a_file_is_counted_without_decoding_it(tmp_path: Path) -> None:
    file = read_shot(shot(tmp_path / "shot.mp4"))
    assert (file.frames, file.rate) == (FRAMES, 24)
    assert len(file.sha256) == 64


def test_frames_stored_once_and_held_longer_count_as_often_as_they_show(tmp_path: Path) -> None:
    path = tmp_path / "twos.mkv"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=24)
        stream.width, stream.height, stream.pix_fmt = 160, 96, "yuv420p"
        for index in range(12):
            frame = av.VideoFrame.from_ndarray(shot_picture(index), format="bgr24")
            frame.pts, frame.time_base = 2 * index, Fraction(1, 24)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    assert read_shot(path).frames in (2 * 12 - 1, 12), "as its header tells the rate"


def test_what_was_not_typed_is_read_from_the_file() -> None:
    shot = numbered(FILE, None, None, None)
    assert (shot.fps, shot.first, shot.last, shot.name, shot.file) == ("24", 1, 88, "lift", "lift.mov")


def test_the_first_frame_alone_may_be_typed() -> None:
    shot = numbered(FILE, None, 1001, None)
    assert (shot.first, shot.last) == (1001, 1088)


def test_what_was_typed_stands() -> None:
    shot = numbered(FILE, "23.976", 101, 188)
    assert (shot.fps, shot.first, shot.last) == ("24000/1001", 101, 188)
    assert numbered(None, None, None, None).fps == "24"


def test_a_last_frame_miscounted_by_one_is_let_pass() -> None:
    assert numbered(FILE, None, 101, 189).last == 189


@pytest.mark.parametrize(
    ("fps", "first", "last", "says"), [("25", None, None, "24 frames a second"), (None, 101, 232, "--frames 101-188")]
)
def test_a_file_that_contradicts_what_was_typed_is_refused_with_a_way_out(
    fps: str | None, first: int | None, last: int | None, says: str
) -> None:
    with pytest.raises(InputError, match=says):
        numbered(FILE, fps, first, last)


def test_numbers_that_the_file_does_not_have_tell_that_the_production_counts_otherwise() -> None:
    shot, spoken = numbered(FILE, None, None, None), note((0, 1), frames=(FrameRange(first=1042, last=1050),))
    assert "up to 1050" in misnumbered(shot, [spoken])[0]
    assert misnumbered(shot, [note((0, 1), frames=(FrameRange(first=42, last=50),))]) == ()


def test_sound_alone_is_no_shot(tmp_path: Path) -> None:
    path = tmp_path / "tone.wav"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("pcm_s16le", rate=8000, layout="mono")
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 8000), np.int16), format="s16", layout="mono")
        frame.sample_rate = 8000
        container.mux(stream.encode(frame))
    with pytest.raises(InputError, match="no pictures"):
        read_shot(path)


def test_every_frame_is_counted_whatever_the_rate(tmp_path: Path) -> None:
    for rate in (Fraction(24000, 1001), Fraction(25), Fraction(60)):
        path = write((shot_picture(index) for index in range(20)), tmp_path / "rated.mov", rate)
        file = read_shot(path)
        assert (file.frames, file.rate) == (20, rate)
