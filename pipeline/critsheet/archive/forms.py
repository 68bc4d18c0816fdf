"""The forms of a sheet as they are stored, and whether they are whole."""

import json
import zlib
from collections.abc import Callable
from dataclasses import dataclass

from critsheet.archive.filing import digest
from critsheet.errors import ArchiveError
from critsheet.sheet import Sheet, from_document


@dataclass(frozen=True)
class Form:
    """A stored form of the sheet `sheet`. `document` reads what is stored, and may raise ArchiveError."""

    sheet: int
    number: int
    changed: str
    sha256: str
    document: Callable[[], bytes]

    def read(self) -> Sheet:
        """The sheet in this form. Raises ArchiveError where it is not what was filed, SheetError for a newer one."""
        try:
            document = json.loads(zlib.decompress(self.document()).decode())
            if digest(document) == self.sha256:
                return from_document(document, f"Sheet {self.sheet} of the archive")
        except (zlib.error, ValueError, TypeError):
            pass
        raise ArchiveError(
            f"Sheet {self.sheet} of the archive is damaged.", "See what can be saved: critsheet archive check"
        )
