"""The page as a PDF to print or hand over (ISO 32000-2), tagged for screen readers (PDF/UA-1, ISO 14289-1)."""

import re
from contextlib import redirect_stdout
from io import StringIO
from xml.etree.ElementTree import Element, SubElement

from critsheet.errors import OutputError

_VARIANT = "pdf/ua-1"
_SVG = "{http://www.w3.org/2000/svg}"
_LONG_RUN = re.compile(r"\S{30}(?=\S)")
"""More than a word has, and less than any column holds."""
_MAY_BREAK = "\u200b"
"""Invisible: a line may break here. WeasyPrint finds other places by trial, in the square of the length of the run."""


def to_pdf(page: str, style: str) -> bytes:
    """The page (`render.page.to_html`, made without a recording) on A4 sheets. Nothing is fetched to make it.

    `style` is what paper needs beyond the page's own print style (`Templates.paper_style`).

    Raises OutputError where the libraries that lay out text, or all fonts, are missing.
    """
    try:
        with redirect_stdout(StringIO()):  # where it prints its own account of what is missing
            from weasyprint import HTML
            from weasyprint.urls import URLFetcher
    except OSError as error:
        raise OutputError(
            "A PDF needs the library Pango, which is not installed.",
            "On Debian or Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0. On macOS: brew "
            "install pango. On Windows, see doc.courtbouillon.org/weasyprint. Or print sheet.html from a browser.",
        ) from error
    document = HTML(string=page, url_fetcher=URLFetcher(allowed_protocols=("data",)))
    _fit_for_paper(document.etree_element, style)
    try:
        return bytes(document.write_pdf(pdf_variant=_VARIANT))
    except AssertionError as error:
        raise OutputError(
            "The page cannot be laid out on paper: this computer may have no fonts.",
            "On Debian or Ubuntu: apt install fonts-dejavu-core. Or print sheet.html from a browser.",
        ) from error


def _fit_for_paper(root: Element, style: str) -> None:
    for element in root.iterfind("body//"):
        element.text, element.tail = _breakable(element.text), _breakable(element.tail)
    # As `order` has it in the print style; to lay out all notes as one flexible column takes minutes.
    for main in root.iter("main"):
        for drawn in main.findall("nav[@class='map']"):
            main.remove(drawn)
            main.append(drawn)
    # After the page's own style, and in every drawing, which knows only the style inside it.
    for place in root.iterfind("head"):
        SubElement(place, "style").text = style
    for drawing in [*root.iter(f"{_SVG}svg")]:
        SubElement(drawing, f"{_SVG}style").text = style


def _breakable(text: str | None) -> str | None:
    return text and _LONG_RUN.sub(rf"\g<0>{_MAY_BREAK}", text)
