"""The sheet as one self-contained HTML page: a letter and a form of the trade, with the recording clipped to it.

The page fetches nothing. Style and scripts stand inside it and are allowed by their SHA-256 hashes
(Content Security Policy Level 3, section 6.6.3); all text is escaped by Jinja2.
"""

import base64
import hashlib
from collections.abc import Mapping, Sequence
from pathlib import Path

from markupsafe import Markup

from critsheet.render.page_maker import PageMaker
from critsheet.render.recording import RecordingLink
from critsheet.render.templates import read_templates
from critsheet.sheet import Sheet
from critsheet.vocabulary import CategoryEntry


def to_html(
    sheet: Sheet,
    categories: Mapping[str, CategoryEntry],
    recording: RecordingLink | None,
    stills: Mapping[str, bytes],
    school: Path | None = None,
) -> str:
    """The page as text, in the sheet's language. Without `recording` it shows times as plain text and no player.

    `stills` are the sheet's pictures by name; those that are missing are left out. `school` is a folder of templates,
    texts and a logo laid over those that come with Critsheet. Raises TemplateError for a mistake in it.
    """
    templates = read_templates(school, sheet.language)
    style, scripts = templates.style(), templates.scripts()
    maker = PageMaker(sheet, templates.texts, categories, recording, stills, templates.logo)
    return templates.render(
        {
            "page": maker.page(),
            "t": templates.texts,
            # Files, not words of people: not escaped, as the hashes cover every byte between the tags.
            "style": Markup(style),
            "scripts": tuple(map(Markup, scripts)),
            "policy": _policy(style, scripts, recording, bool(stills) or templates.logo is not None),
        }
    )


def _policy(style: str, scripts: Sequence[str], recording: RecordingLink | None, pictures: bool) -> str:
    return "; ".join(
        (
            "default-src 'none'",
            f"style-src {source_hash(style)}",
            f"script-src {' '.join(map(source_hash, scripts))}",
            # 'self' is the page's own server; file: the same disk, where there is no server.
            "media-src 'self' file:" if recording else "media-src 'none'",
            # The stills and the logo, which stand inside the page.
            "img-src data:" if pictures else "img-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
            "require-trusted-types-for 'script'",
        )
    )


def source_hash(text: str) -> str:
    """How a content security policy allows one style or script that stands in the page."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
