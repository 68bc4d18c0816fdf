"""What the tables say of a sheet: its rows, made from its document alone."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from critsheet.errors import SheetError
from critsheet.render.words import plain
from critsheet.sheet import Note, Sheet

MOST_NAME = 200
"""Letters of a name or title; see cli/options."""
MOST_TEXT = 20_000
"""Letters of a note that the search shows; ten minutes of talk in one note. The sheet itself is kept whole."""

YEARS = range(1970, 2200)
"""A computer's clock that was never set says 1970; tables of dates cannot hold all that a sheet might claim."""


def sheet_row(sheet: Sheet) -> dict[str, Any]:
    """What `sheets` says of it, without whom and what it is filed under."""
    review = sheet.review
    return {
        "sheet_id": sheet.id,
        "recording_sha256": review.recording.sha256,
        "title": plain(review.title)[:MOST_NAME],
        "submission": review.submission,
        "made": moment(sheet.made, sheet),
        "changed": changed(sheet),
        "recording_file": plain(review.recording.file)[:MOST_TEXT],
        "recording_links": "\n".join(plain(each) for each in review.recording.links)[:MOST_TEXT],
        "names": "\n".join(_option(sheet, "names"))[:MOST_TEXT],
    }


def note_row(note: Note) -> dict[str, Any]:
    """What `notes` says of it, without how it stands."""
    return {
        "note": note.id,
        "kind": note.kind,
        "category": note.category,
        "body": " ".join(note.body),
        "subject": plain(note.subject)[:MOST_NAME] if note.subject else None,
        "strength": note.strength,
        "followup": note.followup,
        "rank": note.rank,
        "frames": " ".join(f"{each.first}-{each.last}" for each in note.frames),
        "starts": " ".join(f"{moment.start:g}" for moment in note.moments),
        "done_at": moment(note.done.at) if note.done and note.done.at else None,
    }


def texts_row(note: Note) -> dict[str, str]:
    """What `note_texts` says of it."""
    quotes = "\n".join(plain(moment.quote) for moment in note.moments)
    return {"action": plain(note.action)[:MOST_TEXT], "quotes": quotes[:MOST_TEXT]}


def follows_rows(sheet: Sheet) -> list[dict[str, Any]]:
    """What `follows` says of it."""
    return [{"previous": each} for each in dict.fromkeys(_option(sheet, "previous"))]


def outcome_rows(sheet: Sheet) -> list[dict[str, Any]]:
    """What `outcomes` says of it."""
    return [
        {"place": place, "action": plain(each.action)[:MOST_TEXT], "outcome": each.outcome}
        for place, each in enumerate(sheet.earlier)
    ]


def changed(sheet: Sheet) -> str:
    """When it was made, corrected or ticked last. Raises SheetError where a date cannot be read."""
    ticks = [note.done.at for note in sheet.notes if note.done and note.done.at]
    return max(moment(each, sheet) for each in (sheet.made, *filter(None, (sheet.corrected, *ticks))))


def person_key(name: str) -> str:
    """A person's name as it is compared: no difference of case or spacing counts."""
    return plain(name)[:MOST_NAME].casefold()


def moment(text: str, sheet: Sheet | None = None) -> str:
    """A date and time as the archive keeps it: UTC to the second. Raises SheetError."""
    try:
        found = datetime.fromisoformat(text)
        if found.year not in YEARS:
            raise ValueError
        utc = (found if found.tzinfo else found.replace(tzinfo=UTC)).astimezone(UTC)
    except ValueError as error:
        title = plain(sheet.review.title)[:MOST_NAME] if sheet else "The sheet"
        raise SheetError(f"“{title}” bears the date {plain(text)[:40]!r}.", "Run critsheet make again.") from error
    return utc.strftime("%Y-%m-%dT%H:%M:%SZ")


def _option(sheet: Sheet, name: str) -> Sequence[str]:
    """A list of texts among the options that a sheet was made with; sheets come from anywhere."""
    options = sheet.settings.get("options")
    listed = options.get(name) if isinstance(options, dict) else None
    return [plain(each)[:MOST_NAME] for each in listed if isinstance(each, str)] if isinstance(listed, list) else []
