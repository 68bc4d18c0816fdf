"""Caption files that cannot be used: one clear line that names the place and the way out."""

import time
from pathlib import Path

import pytest

from critsheet.errors import InputError
from critsheet.speech import read_captions


def refused(path: Path) -> InputError:
    with pytest.raises(InputError) as caught:
        read_captions(path)
    assert str(path) in caught.value.what
    assert "\n" not in str(caught.value)
    assert caught.value.hint
    return caught.value


def refused_text(tmp_path: Path, text: str | bytes) -> str:
    path = tmp_path / "talk.vtt"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return refused(path).what


def test_no_such_file(tmp_path: Path) -> None:
    assert "no file" in refused(tmp_path / "gone.vtt").what


def test_a_folder(tmp_path: Path) -> None:
    assert "folder" in refused(tmp_path).what


@pytest.mark.parametrize("content", [b"", b" \n\n"])
def test_an_empty_file(tmp_path: Path, content: bytes) -> None:
    assert "empty" in refused_text(tmp_path, content)


def test_a_film_given_as_captions(tmp_path: Path) -> None:
    assert "not a caption file" in refused_text(tmp_path, bytes(range(256)) * 40)


def test_text_without_any_times(tmp_path: Path) -> None:
    assert "no times" in refused_text(tmp_path, "The hips lead, then the chest.\n")


REVERSED = {
    "WebVTT": "WEBVTT\n\n00:01.000 --> 00:02.000\nokay\n\n00:05.000 --> 00:03.000\nthe hips\n",
    "SubRip": "1\n00:00:01,000 --> 00:00:02,000\nokay\n\n2\n00:00:05,000 --> 00:00:03,000\nthe hips\n",
    "lines": "[0:01] okay\n\n\n\n\n[0:05 - 0:03] the hips\n",
}


@pytest.mark.parametrize("text", REVERSED.values(), ids=REVERSED)
def test_a_caption_that_ends_before_it_starts(tmp_path: Path, text: str) -> None:
    line = next(n for n, row in enumerate(text.splitlines(), 1) if "05" in row or "0:05" in row)
    assert f"line {line}: this caption ends (0:03) before it starts (0:05)" in refused_text(tmp_path, text)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("WEBVTT\n\n00:01.000 -->\nokay\n", 3),
        ("WEBVTT\n\nthe hips\n\n00:01.000 --> 00:02.000\nokay\n", 3),
        ("1\n00:00:01,000 --> 00:00:02,000\nokay\n\n2\nthe hips\n", 5),
        ("1\n00:00:aa,000 --> 00:00:02,000\nokay\n", 2),
    ],
    ids=["no end", "no times in WebVTT", "no times in SubRip", "letters"],
)
def test_a_caption_whose_times_are_missing(tmp_path: Path, text: str, line: int) -> None:
    assert f"line {line}" in refused_text(tmp_path, text)


@pytest.mark.parametrize(
    "text",
    [
        '{"segments": [{"start": 0, "end": 1, "text": "ok"}',
        '{"words": []}',
        '{"segments": [1]}',
        '{"segments": [{"end": 1, "text": "ok"}]}',
        '{"segments": [{"start": 2, "end": 1, "text": "ok"}]}',
        '{"segments": [{"start": -1, "end": 1, "text": "ok"}]}',
        '{"segments": [{"start": NaN, "end": 1, "text": "ok"}]}',
        '{"segments": [{"start": true, "end": 1, "text": "ok"}]}',
        '{"segments": [{"start": 1e99, "text": "ok"}]}',
        '{"segments": [{"start": 0, "end": 1, "text": ["ok"]}]}',
        '{"segments": [{"start": 0, "end": 1, "text": "ok", "words": [{"word": "ok"}]}]}',
        "[" * 100_000,
        '{"segments": ' + "[" * 100_000,
    ],
)
def test_json_that_is_no_recognisers(tmp_path: Path, text: str) -> None:
    refused_text(tmp_path, text)


def test_a_time_past_a_day(tmp_path: Path) -> None:
    assert "24 hours" in refused_text(tmp_path, "WEBVTT\n\n25:00:00.000 --> 25:00:01.000\nokay\n")


def test_a_hundred_thousand_captions_are_refused_at_once(tmp_path: Path) -> None:
    clocks = (f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}" for n in range(100_000))
    text = "WEBVTT\n\n" + "".join(f"{clock}.000 --> {clock}.900\nthe hips\n\n" for clock in clocks)
    before = time.perf_counter()
    assert "there are 100000 captions" in refused_text(tmp_path, text)
    assert time.perf_counter() - before < 10.0


def test_a_file_too_large_is_not_even_read(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "talk.vtt"
    with path.open("wb") as file:
        file.truncate(30_000_000)
    monkeypatch.setattr(Path, "read_bytes", lambda self: pytest.fail("it was read"))
    assert "too large" in refused(path).what
