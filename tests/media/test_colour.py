"""Single pictures of a film, in colour and at their time, without reading all of it."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from critsheet.errors import InputError
from critsheet.media import colour
from critsheet.media.colour import pictures_at


def shade(second: int) -> int:
    return 20 + 11 * second


@pytest.fixture
def film(tmp_path: Path) -> Path:
    """Twenty seconds; each second has a shade of its own."""
    path = tmp_path / "film.mp4"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=Fraction(10), options={"g": "20", "bf": "2"})
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for tick in range(200):
            picture = np.full((48, 64, 3), shade(tick // 10), np.uint8)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode(None))
    return path


def seen(path: Path, *moments: float) -> list[tuple[float, int]]:
    """For each picture its moment and the second that its shade tells."""
    return [(at, round((float(picture.mean()) - 20) / 11)) for at, picture in pictures_at(path, moments)]


def test_each_moment_gets_the_picture_on_screen_then(film: Path) -> None:
    assert seen(film, 0.0, 0.95, 1.0, 1.4, 7.3, 7.35) == [(0.0, 0), (0.95, 0), (1.0, 1), (1.4, 1), (7.3, 7), (7.35, 7)]


def test_moments_come_in_order_of_time(film: Path) -> None:
    assert [at for at, _ in seen(film, 9.0, 2.0, 5.0)] == [2.0, 5.0, 9.0]


def test_leaps_give_the_same_pictures_as_reading_on(film: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = [0.5, 3.3, 3.4, 11.0, 11.1, 18.9]
    leaping = seen(film, *moments)
    monkeypatch.setattr(colour, "SKIP_S", 1e9)
    assert seen(film, *moments) == leaping == [(at, int(at)) for at in moments]


def test_after_the_end_the_last_picture_stays(film: Path) -> None:
    assert seen(film, 19.9, 25.0, 90.0) == [(19.9, 19), (25.0, 19), (90.0, 19)]


def test_no_film_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        list(pictures_at(tmp_path / "none.mp4", [1.0]))
