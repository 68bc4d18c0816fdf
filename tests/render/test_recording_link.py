"""How the page finds the recording, wherever both are moved, without telling about the user's disk."""

from pathlib import Path

from critsheet.render.recording import link


def test_a_recording_beside_the_folder_is_named_by_relative_path_then_by_name(tmp_path: Path) -> None:
    found = link(tmp_path / "talks" / "lift.mp4", tmp_path / "critsheet-lift")
    assert found.sources == ("../talks/lift.mp4", "lift.mp4")
    assert found.is_video


def test_a_recording_inside_the_folder_has_one_name(tmp_path: Path) -> None:
    found = link(tmp_path / "lift.opus", tmp_path)
    assert found.sources == ("lift.opus",)
    assert not found.is_video


def test_odd_letters_in_a_name_are_quoted_for_a_link(tmp_path: Path) -> None:
    found = link(tmp_path / 'a b:#?%"é.wav', tmp_path)
    assert found.sources == ("a%20b%3A%23%3F%25%22%C3%A9.wav",)


def test_a_page_far_from_its_recording_does_not_tell_where_that_lies(tmp_path: Path) -> None:
    found = link(Path("/somewhere/private/lift.mp4"), tmp_path)
    assert found.sources == ("lift.mp4",)
