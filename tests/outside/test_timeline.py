"""The markers file as OpenTimelineIO itself reads it (Academy Software Foundation, Apache-2.0, https://opentimeline.io)."""

from fractions import Fraction

import opentimelineio as otio
import pytest
from opentimelineio.opentime import RationalTime

from critsheet.frames.timebase import to_timecode
from critsheet.render.markers import to_markers
from critsheet.sheet import FrameRange, Moment, Note, Recording, Review, Sheet, Shot, Transcript

NOTES = (("n1", "fix", "must", ((130, 138),)), ("n2", "keep", None, ((101, 101), (188, 188))), ("n3", "plan", None, ()))


def sheet(shot: Shot) -> Sheet:
    notes = tuple(
        Note(
            id=name, kind=kind, category="arcs", moments=(Moment(start=0, end=1, quote=""),), action=f"Do {name}.",
            rank=rank, strength=strength,
            frames=tuple(FrameRange(first=first, last=last, source="shown", confidence=0.9) for first, last in spans),
        )
        for rank, (name, kind, strength, spans) in enumerate(NOTES, start=1)
    )  # fmt: skip
    recording = Recording(file="talk.mp4", sha256="0" * 64, duration=60)
    return Sheet(
        id="s1", made="2026-01-31T10:00:00Z", review=Review(title="Lift", recording=recording), shot=shot,
        transcript=Transcript(language="en", segments=()), notes=notes,
    )  # fmt: skip


@pytest.mark.parametrize("fps", ["24", "25", "24000/1001", "30000/1001", "60"])
def test_opentimelineio_finds_every_marker_at_its_frames(fps: str) -> None:
    text = to_markers(sheet(Shot(fps=fps, first=101, last=188, file="lift.mov", name="lift")))
    timeline = otio.adapters.read_from_string(text, "otio_json")
    (clip,) = timeline.find_clips()
    rate = float(Fraction(fps))
    assert clip.available_range() == clip.source_range
    assert clip.source_range.start_time == RationalTime(101, rate)
    assert clip.source_range.end_time_inclusive() == RationalTime(188, rate)
    found = {}
    for marker in clip.markers:
        span = marker.marked_range
        ours = marker.metadata["critsheet"]
        frames = (span.start_time.to_frames(), span.end_time_inclusive().to_frames())
        found.setdefault(ours["note"], []).append((marker.color, marker.comment, frames, ours["source"]))
    assert found == {
        "n1": [("RED", "Do n1.", (130, 138), "shown")],
        "n2": [("GREEN", "Do n2.", (101, 101), "shown"), ("GREEN", "Do n2.", (188, 188), "shown")],
    }
    assert timeline.metadata["critsheet"]["sheet"] == "s1"


def test_a_marker_lies_where_the_frame_lies_in_the_clip() -> None:
    """Moved from the media's clock to the clip's, frame 130 of a shot from 101 is 29 frames in: 00:00:01:05."""
    (clip,) = otio.adapters.read_from_string(to_markers(sheet(Shot(first=101, last=188))), "otio_json").find_clips()
    inside = clip.markers[0].marked_range.start_time - clip.source_range.start_time
    assert inside.to_timecode(24) == to_timecode(29, Fraction(24)) == "00:00:01:05"


def test_colours_are_those_that_opentimelineio_knows() -> None:
    (clip,) = otio.adapters.read_from_string(to_markers(sheet(Shot())), "otio_json").find_clips()
    colours = otio.schema.MarkerColor
    known = {getattr(colours, name) for name in dir(colours) if name.isupper()}
    assert {marker.color for marker in clip.markers} <= known
