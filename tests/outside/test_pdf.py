"""The PDF as others read it (ISO 32000): its text by PDFium, its structure by pypdf.

Tags for screen readers: PDF/UA-1, ISO 14289-1, section 7.1.
"""

import base64
import io
import sys
from contextlib import closing
from pathlib import Path

import pypdfium2
import pytest
from hostile_sheet import HOSTILE, hostile_sheet
from PIL import Image
from pypdf import PdfReader

from critsheet.errors import OutputError
from critsheet.render.page import to_html
from critsheet.render.pdf import to_pdf
from critsheet.render.templates import read_templates

A4_POINTS = (595, 842)
"""ISO 216: 210 by 297 mm, at 72 points an inch."""
MARGIN_POINTS = 39
"""14 mm, as the page's print style has it."""
STYLE = read_templates(None, "en").paper_style()
ASCII = [text for text in HOSTILE if text.isascii() and text.isprintable() and len(text) < 100]


@pytest.fixture(scope="module")
def content(pango: None) -> bytes:
    return to_pdf(to_html(hostile_sheet(), {}, None, {}), STYLE)


@pytest.fixture(scope="module")
def hostile(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content), strict=True)


def test_hostile_texts_are_only_text(content: bytes) -> None:
    with closing(pypdfium2.PdfDocument(content)) as document:
        pages = [page.get_textpage().get_text_range() for page in document]
    text = "".join("".join(page.split()) for page in pages).replace("\u200b", "")
    assert [said for said in ASCII if "".join(said.split()) not in text] == []


def test_no_letter_lies_outside_the_margins(content: bytes) -> None:
    with closing(pypdfium2.PdfDocument(content)) as document:
        for page in document:
            letters = page.get_textpage()
            boxes = [letters.get_charbox(place) for place in range(letters.count_chars())]
            edges = [edge for left, _, right, _ in boxes if right > left for edge in (left, right)]
            assert min(edges) >= MARGIN_POINTS, page
            assert max(edges) <= A4_POINTS[0] - MARGIN_POINTS, page


def test_it_is_made_of_a4_sheets_and_says_what_it_is(hostile: PdfReader) -> None:
    assert {tuple(round(float(side)) for side in page.mediabox[2:]) for page in hostile.pages} == {A4_POINTS}
    assert hostile.metadata is not None
    assert hostile.metadata.title


def test_a_screen_reader_finds_tags_language_and_title(hostile: PdfReader) -> None:
    root = hostile.root_object
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert root["/StructTreeRoot"]["/K"]
    assert b"pdfuaid:part" in root["/Metadata"].get_data()


def test_it_holds_no_script_no_file_and_leads_nowhere_outside(hostile: PdfReader) -> None:
    assert not {"/OpenAction", "/AA"} & set(hostile.root_object)
    assert not hostile.attachments
    actions = [note.get_object().get("/A", {}).get("/S") for page in hostile.pages for note in page.get("/Annots", [])]
    assert not {"/URI", "/Launch", "/JavaScript", "/GoToR"} & set(actions)


def test_the_same_page_gives_the_same_file(pango: None) -> None:
    sheet = hostile_sheet()
    talk = sheet.transcript.model_copy(update={"segments": ()})
    small = {"notes": sheet.notes[:2], "top": (), "doubts": (), "transcript": talk}
    page = to_html(sheet.model_copy(update=small), {}, None, {})
    assert to_pdf(page, STYLE) == to_pdf(page, STYLE)


def test_pictures_inside_the_page_are_shown_and_nothing_is_fetched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pango: None
) -> None:
    def connect(*address: object) -> None:
        raise AssertionError(f"tried to reach {address}")

    monkeypatch.setattr("socket.socket.connect", connect)
    file = tmp_path / "secret.png"
    Image.new("RGB", (9, 9), "red").save(file)
    inside = base64.b64encode(file.read_bytes()).decode()
    outside = [file.as_uri(), str(file), "http://127.0.0.1:9/p.png"]
    pictures = "".join(f'<img alt="a" src="{source}">' for source in outside)
    page = f'<html lang="en"><title>t</title><link rel="stylesheet" href="{file.as_uri()}">{pictures}'
    assert len(images(page)) == 0
    assert len(images(f'{page}<img alt="b" src="data:image/png;base64,{inside}">')) == 1


def images(page: str) -> list[str]:
    return [image.name for leaf in PdfReader(io.BytesIO(to_pdf(page, STYLE))).pages for image in leaf.images]


def test_without_pango_one_line_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "weasyprint.py").write_text("print('a page of advice')\nraise OSError('cannot load libpango-1.0-0')\n")
    monkeypatch.syspath_prepend(tmp_path)
    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    with pytest.raises(OutputError, match=r"apt install libpango-1.0-0 .* print sheet.html from a browser"):
        to_pdf("<p>", "")
    assert capsys.readouterr().out == ""


def test_without_fonts_one_line_says_so(monkeypatch: pytest.MonkeyPatch, pango: None) -> None:
    def nothing_fits(*_: object, **__: object) -> bytes:
        raise AssertionError

    monkeypatch.setattr("weasyprint.HTML.write_pdf", nothing_fits)
    with pytest.raises(OutputError, match="fonts-dejavu-core"):
        to_pdf("<p>", "")
