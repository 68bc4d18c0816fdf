"""How a page refers to its recording: by a relative path, never by copying it or naming a user's folders."""

import mimetypes
import os
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote, urlsplit

from critsheet.sheet import Recording, Sheet


@dataclass(frozen=True)
class RecordingLink:
    """Where a page in some folder may find its recording: references to try in turn, quoted for a URL."""

    sources: tuple[str, ...]
    is_video: bool


def link(recording: Path, folder: Path) -> RecordingLink:
    """Refers from a page in `folder` to the recording, and failing that to one of its name beside the page.

    Where the two share no folder but the root of the disk, the path would tell every reader of the page
    how the user's disk is laid out, often with the user's name: then only the place beside the page is tried.
    """
    recording, folder = recording.parent.resolve() / recording.name, folder.resolve()
    beside = _quoted(recording.name)
    try:
        shared = Path(os.path.commonpath([recording, folder]))
    except ValueError:  # two drives
        shared = Path(recording.anchor)
    sources = [beside]
    if shared != Path(shared.anchor):
        sources.insert(0, _quoted(os.path.relpath(recording, folder)))
    return RecordingLink(tuple(dict.fromkeys(sources)), _is_video(recording.name))


def linked(sheet: Sheet, found: RecordingLink) -> Sheet:
    """The sheet with the link kept in it, so that its page can be written again without the recording at hand."""
    recording = sheet.review.recording.model_copy(update={"links": found.sources})
    return sheet.model_copy(update={"review": sheet.review.model_copy(update={"recording": recording})})


def kept_link(recording: Recording) -> RecordingLink | None:
    """The link that the sheet was written with, relative paths alone; None where it was made from captions alone."""
    sources = tuple(source for source in recording.links if _is_relative(source))
    return RecordingLink(sources, _is_video(recording.file)) if sources else None


def _is_relative(source: str) -> bool:
    """A sheet may come from anywhere: its links lead to files near it, never to a script or another machine."""
    parts = urlsplit(source)
    return not (parts.scheme or parts.netloc or source.startswith(("/", "\\")))


def _is_video(name: str) -> bool:
    return (mimetypes.guess_type(name)[0] or "").startswith("video/")


def _quoted(path: str) -> str:
    return quote(os.fsencode(path.replace(os.sep, "/")))
