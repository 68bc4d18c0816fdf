"""Pictures come upright and on the recording's clock, whatever a screen recorder or a phone did."""

import struct
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from critsheet.errors import InputError
from critsheet.media.pictures import open_film, shot_pictures

LEVELS = (40, 80, 120, 160, 200)


def film(path: Path, stamps: Sequence[int], levels: Sequence[int] = LEVELS, **options: str) -> Path:
    """Pictures of even greys, brightest at the upper left, shown from the given hundredths of a second on."""
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=25, options={"crf": "10", "bf": "0", **options})
        stream.width, stream.height, stream.pix_fmt, stream.time_base = 64, 32, "yuv420p", Fraction(1, 100)
        stream.codec_context.time_base = Fraction(1, 100)
        for stamp, level in zip(stamps, levels, strict=True):
            picture = np.full((32, 64, 3), level, np.uint8)
            picture[:8, :8] = 250
            frame = av.VideoFrame.from_ndarray(picture, format="rgb24")
            frame.pts, frame.time_base = stamp, Fraction(1, 100)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


def level(picture: np.ndarray) -> int:
    """Which of the five greys a picture has."""
    return int(np.argmin(np.abs(np.array(LEVELS) * 0.86 + 16 - np.median(picture))))


def test_a_varying_frame_rate_keeps_the_clock(tmp_path) -> None:
    path = film(tmp_path / "varying.mp4", (0, 10, 130, 140, 300))
    samples = {round(seconds, 1): level(picture) for seconds, picture in open_film(path).sampled(5)}
    assert [samples[second] for second in (0.0, 0.2, 1.2, 1.4, 2.8)] == [0, 1, 1, 3, 3]


def test_a_frame_due_at_a_moment_is_shown_at_it(tmp_path) -> None:
    path = film(tmp_path / "even.mp4", (0, 20, 40, 60, 80))
    assert [level(picture) for _, picture in open_film(path).sampled(5)][:5] == [0, 1, 2, 3, 4]


def test_a_phone_held_upright(tmp_path) -> None:
    path = film(tmp_path / "phone.mp4", (0, 20, 40, 60, 80))
    data = bytearray(path.read_bytes())
    matrix = data.index(b"tkhd") + 44  # ISO/IEC 14496-12, 8.3.2: the matrix follows 40 bytes after version and flags
    data[matrix : matrix + 36] = struct.pack(">9i", 0, 0x10000, 0, -0x10000, 0, 0, 0x200000, 0, 0x40000000)
    path.write_bytes(data)
    turned = open_film(path)
    assert (turned.width, turned.height) == (32, 64)
    _, picture = next(turned.pictures())
    assert picture.shape == (64, 32)
    assert picture[:8, -8:].mean() > 200  # a quarter turn clockwise brings the upper left to the upper right


def test_damaged_packets_are_skipped_and_counted(tmp_path) -> None:
    path = film(tmp_path / "whole.mkv", range(0, 500, 4), [LEVELS[n // 25] for n in range(125)], g="5")
    with av.open(str(path)) as container:
        packets = [bytes(packet) for packet in container.demux(video=0) if packet.size]
    data = path.read_bytes()
    for packet in packets[40:44]:
        data = data.replace(packet, b"\xff" * len(packet), 1)
    path.write_bytes(data)
    damaged = open_film(path)
    samples = [level(picture) for _, picture in damaged.sampled(5)]
    assert damaged.damaged > 0
    assert samples[-1] == 4
    assert len(samples) == 25


def test_a_frame_stored_once_and_held_counts_as_often_as_it_shows(tmp_path) -> None:
    path = film(tmp_path / "shot.mp4", (0, 4, 12, 16, 20))
    assert [level(picture) for picture in shot_pictures(open_film(path))] == [0, 1, 1, 2, 3, 4]


def test_sound_alone_has_no_pictures(record) -> None:
    with pytest.raises(InputError, match="no pictures"):
        open_film(record("talk.wav", "pcm_s16le"))
