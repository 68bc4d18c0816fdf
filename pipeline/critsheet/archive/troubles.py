"""What a database complains about, as one line with a way out."""

from sqlalchemy.exc import DBAPIError

from critsheet.errors import ArchiveError

_SQLITE = {
    "not a database": (
        "{} is no archive, or its beginning is damaged.",
        "Take it from a backup, or see what can be saved: critsheet archive check.",
    ),
    "malformed": ("{} is damaged.", "See what is hurt and what can be saved: critsheet archive check."),
    "readonly": ("{} may not be written to.", "Ask its owner, or give another place with --archive."),
    "disk is full": ("The disk with {} is full; nothing was half-written.", "Free some space and run it again."),
    "locked": ("{} is being written to by another command.", "Try again when that is done."),
    "unable to open": ("{} cannot be opened.", "Check the path and who may read it."),
    "disk i/o error": ("The disk with {} gave an error.", "Check the disk; then: critsheet archive check."),
}


def trouble(error: DBAPIError, place: str, *, lost: bool) -> ArchiveError:
    """The error to show. `lost`: the connection to a server went away, or never came about."""
    said = str(error.orig).strip().splitlines()[0] if str(error.orig).strip() else type(error.orig).__name__
    if lost:
        return ArchiveError(
            f"The connection to {place} was lost: {said.rstrip('.')}.",
            "What was added before is kept. Check that the server runs, then run the same command again.",
        )
    for sign, (what, hint) in _SQLITE.items():
        if sign in said.lower():
            return ArchiveError(what.format(place), hint)
    return ArchiveError(f"{place}: {said.rstrip('.')}.", "Check the archive: critsheet archive check.")
