"""A school's own templates, style and logo, laid over those that come with Critsheet."""

import base64
from collections.abc import Mapping
from pathlib import Path

import pytest

from critsheet.errors import TemplateError
from critsheet.render.page import to_html
from critsheet.render.templates import MAX_FILE_BYTES, read_templates
from critsheet.sheet import Sheet
from critsheet.vocabulary import CategoryEntry

Categories = Mapping[str, CategoryEntry]
LOGO = b'<svg xmlns="http://www.w3.org/2000/svg"/>'


@pytest.fixture
def school(tmp_path: Path) -> Path:
    """An empty folder for a school's files."""
    (tmp_path / "parts").mkdir()
    return tmp_path


def test_a_school_changes_one_part_and_keeps_the_rest(sheet: Sheet, categories: Categories, school: Path) -> None:
    (school / "parts" / "made.html").write_text("<p>Printed by {{ page.letter.counts[0].name }} press</p>\n")
    html = to_html(sheet, categories, None, {}, school)
    assert "<p>Printed by to do press</p>" in html
    assert "How this sheet was made" not in html
    assert "Get the hips back" in html


def test_a_schools_logo_stands_inside_the_page(sheet: Sheet, categories: Categories, school: Path) -> None:
    (school / "logo.svg").write_bytes(LOGO)
    html = to_html(sheet, categories, None, {}, school)
    assert f'src="data:image/svg+xml;base64,{base64.b64encode(LOGO).decode()}"' in html
    assert "img-src data:" in html


def test_a_schools_style_is_allowed_by_its_own_hash(sheet: Sheet, categories: Categories, school: Path) -> None:
    (school / "sheet.css").write_text("h1 { color: teal; }")
    html = to_html(sheet, categories, None, {}, school)
    assert "<style>h1 { color: teal; }</style>" in html
    assert "&gt;" not in html.split("</style>")[0].split("<style>")[1]


def test_words_of_people_are_escaped_in_a_schools_template_too(
    sheet: Sheet, categories: Categories, school: Path
) -> None:
    (school / "parts" / "made.html").write_text("{{ page.title }}")
    review = sheet.review.model_copy(update={"title": "<b>Osk"})
    html = to_html(sheet.model_copy(update={"review": review}), categories, None, {}, school)
    assert "<b>Osk" not in html


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("<p>\n{{ page.title }\n", 2),
        ("<p>\n\n{% if page.title %}\n", 3),
        ("\n{{ page.nothing }}\n", 2),
        ("\n\n{{ page.letter.counts[99] }}", 3),
        ("{{ page.title.__class__.__mro__ }}", 1),
        ("\n{{ 1 // 0 }}", 2),
    ],
)
def test_a_mistake_in_a_template_names_file_and_line(
    sheet: Sheet, categories: Categories, school: Path, text: str, line: int
) -> None:
    path = school / "parts" / "made.html"
    path.write_text(text)
    with pytest.raises(TemplateError) as error:
        to_html(sheet, categories, None, {}, school)
    assert f"made.html:{line}: " in error.value.what
    assert "\n" not in str(error.value)


def test_a_style_that_would_end_early_is_refused(school: Path) -> None:
    (school / "sheet.css").write_text("a {}\n</STYLE><script>")
    with pytest.raises(TemplateError, match=r"sheet\.css:2: "):
        read_templates(school, "en")


def test_a_misspelt_name_is_told(school: Path) -> None:
    (school / "parts" / "notes.html").write_text("x")
    with pytest.raises(TemplateError, match=r"notes\.html takes the place of no file.*parts/note\.html"):
        read_templates(school, "en")


def test_a_folder_may_hold_a_readme_beside_its_templates(school: Path) -> None:
    (school / "README.md").write_text("Ours")
    assert read_templates(school, "en").logo is None


def test_two_logos_are_one_too_many(school: Path) -> None:
    for name in ("logo.svg", "logo.png"):
        (school / name).write_bytes(LOGO)
    with pytest.raises(TemplateError, match="Keep one logo"):
        read_templates(school, "en")


def test_a_huge_logo_is_refused(school: Path) -> None:
    (school / "logo.png").write_bytes(b"0" * (MAX_FILE_BYTES + 1))
    with pytest.raises(TemplateError, match="larger than 400 kB"):
        read_templates(school, "en")


def test_a_missing_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(TemplateError, match="not a folder"):
        read_templates(tmp_path / "nowhere", "en")
