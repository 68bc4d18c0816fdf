"""The shot with a marker a note, for editing programs: OpenTimelineIO (Academy Software Foundation, Apache-2.0).

Clip and markers count frames as the production does: frame 101 lies at time 101 of the clip's media.
"""

from typing import TYPE_CHECKING
from urllib.parse import quote

from critsheet.render import words
from critsheet.render.words import Numbered, plain
from critsheet.sheet import FrameRange, Sheet, Shot

if TYPE_CHECKING:
    import opentimelineio as otio

_COLOURS = {words.FIRST: "RED", words.THEN: "ORANGE", words.TIME: "YELLOW", words.KEEP: "GREEN", words.PLAN: "BLUE"}
"""By priority, in the names of `otio.schema.MarkerColor`."""


def to_markers(sheet: Sheet) -> str | None:
    """The timeline as text, ending in a newline; None where no note is tied to frames."""
    ranges = [span for note in sheet.notes for span in note.frames]
    if sheet.shot is None or not ranges:
        return None
    import opentimelineio as otio

    last = max(span.last for span in ranges) if sheet.shot.last is None else sheet.shot.last
    first = words.first_frame(sheet) if sheet.shot.first is not None else min(1, *(span.first for span in ranges))
    title = plain(sheet.review.title)
    clip = otio.schema.Clip(
        name=plain(sheet.shot.name or "") or title,
        media_reference=_media(sheet.shot, _time_range(first, last, sheet.shot)),
        source_range=_time_range(first, last, sheet.shot),
    )
    for group in words.grouped(sheet):
        for entry in group.notes:
            clip.markers.extend(_marker(sheet, group.key, entry, span) for span in entry.note.frames)
    track = otio.schema.Track(name="shot", kind=otio.schema.TrackKind.Video, children=[clip])
    timeline = otio.schema.Timeline(name=title, metadata={"critsheet": {"sheet": sheet.id}})
    timeline.global_start_time = clip.source_range.start_time
    timeline.tracks.append(track)
    return str(otio.adapters.write_to_string(timeline, "otio_json")).rstrip() + "\n"


def _marker(sheet: Sheet, group: str, entry: Numbered, span: FrameRange) -> "otio.schema.Marker":
    import opentimelineio as otio

    assert sheet.shot is not None
    note = entry.note
    return otio.schema.Marker(
        name=f"{entry.number}. {note.category}",
        marked_range=_time_range(span.first, span.last, sheet.shot),
        color=_COLOURS[group],
        comment=plain(note.action),
        metadata={
            "critsheet": {
                "sheet": sheet.id,
                "note": note.id,
                "source": span.source,
                "confidence": span.confidence,
            }
        },
    )


def _time_range(first: int, last: int, shot: Shot) -> "otio.opentime.TimeRange":
    from opentimelineio.opentime import RationalTime, TimeRange

    rate = float(shot.rate)
    return TimeRange(RationalTime(first, rate), RationalTime(last - first + 1, rate))


def _media(shot: Shot, available: "otio.opentime.TimeRange") -> "otio.core.MediaReference":
    import opentimelineio as otio

    if shot.file is None:
        return otio.schema.MissingReference(available_range=available)
    # By name only, as beside this file: a path would tell of the user's disk.
    return otio.schema.ExternalReference(target_url=quote(shot.file), available_range=available)
