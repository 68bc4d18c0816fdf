"""Where an archive lies: a file on this computer, or a PostgreSQL database by its URL."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from critsheet.errors import InputError

if TYPE_CHECKING:
    from sqlalchemy import URL

_SCHEMES = ("postgresql://", "postgres://")
_PRIVATE = 0o700


@dataclass(frozen=True)
class Place:
    """A file or a URL, and how it is shown: never with its password."""

    file: Path | None
    url: "URL | None"
    shown: str


def default_file() -> Path:
    """The archive of this user, where no other is named."""
    return platformdirs.user_data_path("critsheet", appauthor=False) / "archive.db"


def read_place(text: str | None) -> Place:
    """The place that a person typed; this user's own archive where they typed none. Raises InputError."""
    if not text:
        return Place(default_file(), None, str(default_file()))
    if "://" not in text:
        return Place(Path(text), None, text)
    from sqlalchemy import make_url
    from sqlalchemy.exc import ArgumentError

    if not text.startswith(_SCHEMES):
        raise InputError(
            f"--archive: {text.split(':')[0]} is no database that Critsheet knows.",
            "Give a file, or postgresql://USER@HOST/DATABASE.",
        )
    try:
        url = make_url(text).set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError):
        raise InputError(
            "--archive: that URL cannot be read.", "Its form is postgresql://USER@HOST/DATABASE."
        ) from None
    return Place(None, url, url.set(drivername="postgresql").render_as_string(hide_password=True))


def make_folder(file: Path) -> None:
    """Create the folder of this user's own archive: only they may look into it."""
    if file == default_file():
        for missing in reversed([one for one in (file.parent, *file.parent.parents) if not one.exists()]):
            missing.mkdir(mode=_PRIVATE)
