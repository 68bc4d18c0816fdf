"""Files that are no recordings: one clear line that says what to do, and no traceback."""

from pathlib import Path

import pytest

from critsheet import media
from critsheet.errors import InputError, NothingSaid


def refused(path: Path) -> InputError:
    """The error that opening and decoding a file ends in; it is one line with a way out."""
    with pytest.raises(InputError) as caught:
        media.probe(path)
        media.decode_sound(path)
    assert str(path) in caught.value.what
    assert "\n" not in str(caught.value)
    assert caught.value.hint
    return caught.value


def test_no_such_file(tmp_path: Path) -> None:
    assert "no file" in refused(tmp_path / "gone.mp4").what


def test_a_folder(tmp_path: Path) -> None:
    assert "folder" in refused(tmp_path).what


def test_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "empty.wav"
    path.touch()
    assert "empty" in refused(path).what


def test_a_text_file_named_mp4(tmp_path: Path) -> None:
    path = tmp_path / "notes.mp4"
    path.write_text("The hips lead, then the chest.")
    assert "text" in refused(path).what


def test_noise_named_mp4(tmp_path: Path) -> None:
    path = tmp_path / "noise.mp4"
    path.write_bytes(bytes(range(256)) * 40)
    assert "not a recording" in refused(path).what


def test_a_playlist_cannot_reach_for_addresses_or_other_files(tmp_path: Path) -> None:
    path = tmp_path / "list.mp4"
    path.write_text("#EXTM3U\n#EXT-X-TARGETDURATION:5\n#EXTINF:5,\nhttp://127.0.0.1:9/a.ts\n#EXT-X-ENDLIST\n")
    assert "text" in refused(path).what


def test_a_name_that_looks_like_an_address_is_only_a_name(record, tmp_path: Path, monkeypatch) -> None:
    record("talk.wav", "pcm_s16le", seconds=1).rename(tmp_path / "concat:take%03d.wav")
    monkeypatch.chdir(tmp_path)
    assert media.probe(Path("concat:take%03d.wav")).has_sound


def test_something_that_is_no_ordinary_file() -> None:
    assert "ordinary" in refused(Path("/dev/null")).what


@pytest.mark.parametrize("options", [{}, {"movflags": "faststart"}], ids=["index last", "index first"])
def test_a_truncated_mp4(record, options) -> None:
    path = record("cut.mp4", "aac", seconds=20, pictures=True, options=options)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    assert "cut short" in refused(path).what


def test_a_truncated_mkv(record) -> None:
    path = record("cut.mkv", "libopus", seconds=20, pictures=True)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    assert "cut short" in refused(path).what


def test_a_video_with_no_sound_says_so(record) -> None:
    error = refused(record("mute.mp4", None, pictures=True))
    assert isinstance(error, NothingSaid)
    assert "no sound" in error.what


def test_a_recording_longer_than_any_review(record, monkeypatch) -> None:
    monkeypatch.setattr("critsheet.media.opening.MAX_SECONDS", 2)
    assert "hours" in refused(record("long.wav", "pcm_s16le")).what


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "secret.wav"
    path.write_bytes(b"RIFF")

    def forbidden(*args: object, **kwargs: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", forbidden)
    assert "Permission denied" in refused(path).what
