"""The sheet as one self-contained HTML page: a paper form with the recording clipped to it.

The page fetches nothing. Style and script stand inside it and are allowed by their SHA-256 hashes
(Content Security Policy Level 3, section 6.6.3); all text is escaped by Jinja2.
"""

import base64
import hashlib
from collections.abc import Mapping

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from critsheet import resources
from critsheet.render.page_context import PageMaker
from critsheet.render.recording import RecordingLink
from critsheet.sheet import Sheet
from critsheet.vocabulary import CategoryEntry


def to_html(
    sheet: Sheet,
    categories: Mapping[str, CategoryEntry],
    recording: RecordingLink | None,
    stills: Mapping[str, bytes],
) -> str:
    """The page as text. Without `recording` it shows times as plain text and no player.

    `stills` are the sheet's pictures by name; those that are missing are left out.
    """
    folder = resources.folder("templates")
    environment = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    style = (folder / "sheet.css").read_text(encoding="utf-8")
    script = (folder / "sheet.js").read_text(encoding="utf-8")
    return environment.get_template("sheet.html").render(
        page=PageMaker(categories, recording, stills).page(sheet),
        # Our own files, not escaped: the hashes cover every byte between the tags.
        style=Markup(style),
        script=Markup(script),
        policy=_policy(style, script, recording, bool(stills)),
    )


def _policy(style: str, script: str, recording: RecordingLink | None, pictures: bool) -> str:
    return "; ".join(
        (
            "default-src 'none'",
            f"style-src {_hash(style)}",
            f"script-src {_hash(script)}",
            # 'self' is the page's own server; file: the same disk, where there is no server.
            "media-src 'self' file:" if recording else "media-src 'none'",
            # The stills, which stand inside the page.
            "img-src data:" if pictures else "img-src 'none'",
            "base-uri 'none'",
            "form-action 'none'",
            "require-trusted-types-for 'script'",
        )
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
