"""Times that a sheet holds as text, as formats with a calendar of their own need them."""

from datetime import UTC, datetime

from critsheet.errors import SheetError
from critsheet.render.words import plain
from critsheet.sheet import Sheet


def instant(text: str) -> datetime | None:
    """A time written by ISO 8601, in UTC to the second; UTC is meant where no zone is named. None if it is no time."""
    try:
        read = datetime.fromisoformat(text)
        return (read if read.tzinfo else read.replace(tzinfo=UTC)).astimezone(UTC).replace(microsecond=0)
    except (ValueError, OverflowError):
        return None


def made(sheet: Sheet) -> datetime:
    """When the sheet was made, in UTC. Raises SheetError where it holds no time."""
    if (read := instant(sheet.made)) is None:
        raise SheetError(
            f"The sheet is damaged at made: {plain(sheet.made)[:40]!r} is no time.",
            "Take it from a backup, or run critsheet make again.",
        )
    return read
