"""Which files of a folder tree are recordings, and where their sheets go."""

import errno
import os
from pathlib import Path

import pytest
from quick_batch import write_talks

from critsheet.batch import Job, Options, find, make_one
from critsheet.errors import InputError


def tree(folder: Path, *names: str) -> Path:
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    return folder


def close(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Take away the right to list a folder, also from an administrator, whom file rights do not bind."""
    listed = os.scandir

    def refusing(path: str) -> object:
        if os.fspath(path) == os.fspath(folder):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), path)
        return listed(path)

    monkeypatch.setattr(os, "scandir", refusing)


def found(folder: Path, out: Path | None = None, shots: tuple[Path, ...] = ()) -> dict[str, str]:
    return {one.shown: str(one.folder) for one in find(folder, out or folder / "sheets", shots)}


def test_sound_film_and_captions_are_recordings_and_nothing_else(tmp_path: Path) -> None:
    tree(tmp_path, "a/talk.MP4", "a/memo.m4a", "b/words.vtt", "b/notes.txt", "b/picture.png", "readme")
    assert found(tmp_path) == {"a/memo.m4a": "a/memo", "a/talk.MP4": "a/talk", "b/words.vtt": "b/words"}


def test_captions_belong_to_the_recording_of_their_name(tmp_path: Path) -> None:
    tree(tmp_path, "talk.mp4", "talk.vtt")
    (one,) = find(tmp_path, tmp_path / "sheets")
    assert (one.path.name, one.captions and one.captions.name) == ("talk.mp4", "talk.vtt")


def test_recordings_of_one_name_get_folders_of_their_own(tmp_path: Path) -> None:
    tree(tmp_path, "talk.mp4", "talk.wav", "Talk.m4a")
    folders = found(tmp_path)
    assert len({folder.casefold() for folder in folders.values()}) == 3


def test_hidden_files_results_and_shots_are_passed_over(tmp_path: Path) -> None:
    tree(tmp_path, ".hidden.mp4", ".cache/a.mp4", "sheets/talk/captions.vtt", "old/sheet.json", "old/captions.vtt")
    tree(tmp_path, "talk.mp4", "shot.mov")
    assert found(tmp_path, shots=(tmp_path / "shot.mov",)) == {"talk.mp4": "talk"}


def test_a_link_to_a_folder_is_not_followed(tmp_path: Path) -> None:
    tree(tmp_path, "a/talk.mp4")
    (tmp_path / "a/round").symlink_to(tmp_path)
    assert list(found(tmp_path)) == ["a/talk.mp4"]


def test_odd_names_are_taken_as_they_are(tmp_path: Path) -> None:
    names = ["=cmd.mp4", 'quo"te.mp4', "line\nbreak.mp4", "x" * 240 + ".mp4", os.fsdecode(b"\xff.mp4")]
    tree(tmp_path, *names)
    assert set(found(tmp_path)) == set(names)
    assert all(len(os.fsencode(folder)) < 250 for folder in found(tmp_path).values())


def test_no_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no folder"):
        found(tmp_path / "nowhere")


def test_the_result_may_be_the_folder_itself(tmp_path: Path) -> None:
    tree(tmp_path, "talk.mp4", "a/memo.m4a", "talk/sheet.json", "talk/captions.vtt")
    assert set(found(tmp_path, out=tmp_path)) == {"talk.mp4", "a/memo.m4a"}


def test_a_recording_beside_a_folder_of_its_name_gets_another_folder(tmp_path: Path) -> None:
    tree(tmp_path, "lift.mp4", "lift/talk.mp4", "walk.mp4", "walk/picture.png")
    folders = found(tmp_path)
    assert folders["lift/talk.mp4"] == "lift/talk" and folders["walk.mp4"] == "walk"
    assert folders["lift.mp4"].startswith("lift-")


def test_a_recording_named_by_a_blank_gets_a_folder_with_a_name(tmp_path: Path) -> None:
    tree(tmp_path, "a/ .mp4")
    assert found(tmp_path)["a/ .mp4"].startswith("a/recording-")


def test_a_sheet_keeps_its_place_whatever_comes_beside_its_recording(tmp_path: Path) -> None:
    write_talks(tmp_path / "talks", 1)
    (first,) = find(tmp_path / "talks", tmp_path / "out")
    assert make_one(Job(first, Options(tmp_path / "out")), lambda stage, share: None).outcome == "made"
    tree(tmp_path / "talks", "second/talk00.mp4", "second/talk00.wav", "second/talk00/other.mp4")
    folders = found(tmp_path / "talks", tmp_path / "out")
    assert len(set(folders.values())) == 3 and "second/talk00" not in folders.values()


def test_a_folder_that_cannot_be_read_is_told_and_the_rest_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tree(tmp_path, "a/talk.mp4", "closed/talk.mp4")
    close(tmp_path / "closed", monkeypatch)
    refused: list[tuple[str, str]] = []
    recordings = find(tmp_path, tmp_path / "out", refuse=lambda folder, why: refused.append((folder, why)))
    assert [one.shown for one in recordings] == ["a/talk.mp4"]
    assert refused == [("closed", "Permission denied")]
    with pytest.raises(InputError, match=r"Cannot read .*closed: Permission denied"):
        found(tmp_path / "closed")
