"""The figure of a playhead, for a person to judge it at a glance."""

from xml.etree import ElementTree

from critsheet.frames.figure import Mark, to_svg
from critsheet.frames.showing import Playhead, Showing

SEEN = Playhead(
    (
        *(Showing(n / 5, ((101 + n, 101 + n),), 0.98) for n in range(20)),
        *(Showing(n / 5, (), 1.0) for n in range(20, 30)),
        *(Showing(n / 5, ((120, 124),), 0.5) for n in range(30, 40)),
    ),
    "shown",
)


def words(svg: str) -> set[str]:
    return {text.strip() for text in ElementTree.fromstring(svg).itertext() if text.strip()}


def test_the_figure_says_what_is_sure_and_when_the_shot_was_away() -> None:
    assert {"sure", "not sure", "shot not on screen", "frame of the shot", "0:04"} <= words(to_svg(SEEN, "a talk"))


def test_notes_are_marked_by_their_rank() -> None:
    assert "17" in words(to_svg(SEEN, "a talk", [Mark(17, ((1.0, 2.5),))]))


def test_a_shot_never_seen_still_gives_a_figure() -> None:
    found = words(to_svg(Playhead((Showing(0.0, (), 1.0),), "shown"), "a talk"))
    assert "shot not on screen" in found
    assert "sure" not in found


def test_a_file_name_is_only_text() -> None:
    assert "<script>$x$ & co" in words(to_svg(SEEN, "<script>$x$ & co"))


def test_the_same_playhead_gives_the_same_figure() -> None:
    assert to_svg(SEEN, "a talk") == to_svg(SEEN, "a talk")
