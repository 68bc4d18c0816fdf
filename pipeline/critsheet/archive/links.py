"""Where the words of a hit can be heard and its page be seen: links to the second and to the note."""

from pathlib import Path
from urllib.parse import unquote

from critsheet.archive.searching import Hit
from critsheet.render.folder import PAGE
from critsheet.render.recording import kept_link
from critsheet.sheet import Recording


def recording_link(hit: Hit) -> str | None:
    """A link that plays the recording from the second on (W3C Media Fragments URI 1.0, section 4.2.1).

    None where the recording is not on this computer, or not where it was when the sheet was filed.
    """
    links = kept_link(Recording(file=hit.recording, sha256="", duration=0, links=hit.recording_links))
    if hit.place is None or links is None:
        return None
    for source in links.sources:
        found = Path(hit.place).parent / unquote(source)
        if _is_there(found):
            return found.resolve().as_uri() + (f"#t={hit.start:g}" if hit.start is not None else "")
    return None


def page_link(hit: Hit) -> str | None:
    """A link to the note on its sheet's page; None where the page is not beside the sheet any more."""
    page = Path(hit.place).parent / PAGE if hit.place else None
    return f"{page.as_uri()}#note-{hit.note}" if page and _is_there(page) else None


def _is_there(path: Path) -> bool:
    """Whether a file can be reached; an archive that several share names folders that not all of them may enter."""
    try:
        return path.is_file()
    except OSError:
        return False
