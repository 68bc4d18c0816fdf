"""A table says whose each recording is; its first mistake is told with its line."""

from pathlib import Path

import pytest

from critsheet.batch import Recording, read_names
from critsheet.batch.names_file import matched
from critsheet.errors import InputError


def names_file(folder: Path, text: str) -> Path:
    path = folder / "names.csv"
    path.write_bytes(text.encode())
    return path


def recording(shown: str) -> Recording:
    return Recording(Path("/talks") / shown, None, Path(shown).with_suffix(""), shown)


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("comma", [",", ";"])
def test_a_row_says_all_about_a_recording(tmp_path: Path, mark: str, comma: str) -> None:
    (tmp_path / "osk.mov").touch()
    head = "file,student,mentor,shot,submission,shot file,frames".replace(",", comma)
    row = "a/talk.mp4,Tamsin Okoro,Hal Orsini,Osk lifts,2,osk.mov,101-188".replace(",", comma)
    (named,) = read_names(names_file(tmp_path, f"{mark}{head}\r\n{row}\r\n\r\n"), tmp_path)
    assert (named.student, named.mentor, named.title, named.submission) == (
        "Tamsin Okoro",
        "Hal Orsini",
        "Osk lifts",
        2,
    )
    assert (named.shot, named.first, named.last) == (tmp_path / "osk.mov", 101, 188)


def test_only_the_file_must_be_there(tmp_path: Path) -> None:
    assert read_names(names_file(tmp_path, "File\ntalk.mp4\n"), tmp_path)[0].student is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("student\nTamsin\n", "names.csv:1: the columns"),
        ("file,colour\na,b\n", "names.csv:1: the columns"),
        ("file,submission\ntalk.mp4,first\n", "names.csv:2: --submission 'first'"),
        ("file,shot file\ntalk.mp4,none.mov\n", "names.csv:2: there is no shot file none.mov"),
        ("file,student\n,Tamsin\n", "names.csv:2: the row names no file"),
        ("file,frames\ntalk.mp4,188-101\n", "runs backwards"),
    ],
)
def test_a_mistake_is_told_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(InputError) as error:
        read_names(names_file(tmp_path, text), tmp_path)
    assert said in str(error.value)


def test_text_of_another_encoding_is_told(tmp_path: Path) -> None:
    path = tmp_path / "names.csv"
    path.write_bytes("file,student\ntalk.mp4,Zoë\n".encode("cp1252"))
    with pytest.raises(InputError, match="CSV UTF-8"):
        read_names(path, tmp_path)


def test_a_bare_name_will_do_where_only_one_has_it(tmp_path: Path) -> None:
    rows = read_names(names_file(tmp_path, "file\ntalk.mp4\nlost.mp4\n"), tmp_path)
    named, lost = matched(rows, [recording("a/talk.mp4"), recording("a/memo.m4a")], tmp_path)
    assert list(named) == ["a/talk.mp4"] and lost == ["lost.mp4"]


def test_a_name_that_several_have_is_told(tmp_path: Path) -> None:
    rows = read_names(names_file(tmp_path, "file\ntalk.mp4\n"), tmp_path)
    with pytest.raises(InputError, match=r"2 recordings called talk\.mp4"):
        matched(rows, [recording("a/talk.mp4"), recording("b/talk.mp4")], Path("names.csv"))


def test_a_recording_in_two_rows_is_told(tmp_path: Path) -> None:
    rows = read_names(names_file(tmp_path, "file\na/talk.mp4\ntalk.mp4\n"), tmp_path)
    with pytest.raises(InputError, match=r"names\.csv:3: talk\.mp4 stands in two rows"):
        matched(rows, [recording("a/talk.mp4")], Path("names.csv"))


def test_a_shot_file_may_lie_among_the_recordings(tmp_path: Path) -> None:
    shot = tmp_path / "talks/shots/osk.mov"
    shot.parent.mkdir(parents=True)
    shot.touch()
    (named,) = read_names(names_file(tmp_path, "file,shot file\ntalk.mp4,shots\\osk.mov\n"), tmp_path / "talks")
    assert named.shot == shot


def test_an_accent_matches_however_a_disk_keeps_it(tmp_path: Path) -> None:
    rows = read_names(names_file(tmp_path, "file\na/Zo\u00eb.mp4\n"), tmp_path)
    named, lost = matched(rows, [recording("a/Zoe\u0308.mp4")], tmp_path)
    assert list(named) == ["a/Zoe\u0308.mp4"] and not lost


def test_a_path_goes_before_a_bare_name(tmp_path: Path) -> None:
    rows = read_names(names_file(tmp_path, "file\ntalk.mp4\n"), tmp_path)
    named, _ = matched(rows, [recording("a/talk.mp4"), recording("talk.mp4")], tmp_path)
    assert list(named) == ["talk.mp4"]
