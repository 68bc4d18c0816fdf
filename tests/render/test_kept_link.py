"""A sheet's page links to the recording near it, wherever the sheet comes from."""

import pytest

from critsheet.render.recording import kept_link
from critsheet.sheet import Recording


def recording(*links: str) -> Recording:
    return Recording(file="osk.mp4", sha256="0" * 64, duration=9.0, links=links)


def test_a_relative_path_is_kept() -> None:
    found = kept_link(recording("../talks/osk%20lift.mp4", "osk.mp4"))
    assert found is not None
    assert found.sources == ("../talks/osk%20lift.mp4", "osk.mp4")
    assert found.is_video


@pytest.mark.parametrize(
    "link", ["javascript:alert(1)", "https://example.org/a.mp4", "//example.org/a.mp4", "/etc/passwd"]
)
def test_a_script_or_another_machine_is_no_recording(link: str) -> None:
    assert kept_link(recording(link)) is None
