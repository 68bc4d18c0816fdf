"""One sheet in one more format: asked for by name, written whole, over nobody's work."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet.cli.export import FORMATS
from critsheet.sheet import (
    FrameRange,
    Moment,
    Note,
    Recording,
    Review,
    Segment,
    Sheet,
    Shot,
    Transcript,
    Word,
    load,
    save,
)

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def sheet_file() -> Path:
    """A sheet of one note that is tied to a frame, in a folder of its own."""
    said = "The hips stop dead at 142."
    note = Note(
        id="n1", kind="fix", category="overlap", moments=(Moment(start=1, end=4, quote=said),),
        frames=(FrameRange(first=142, last=142),), action=said, rank=1,
    )  # fmt: skip
    words = tuple(Word(start=1, end=4, text=text) for text in said.split())
    sheet = Sheet(
        id="s1",
        made="2026-01-31T10:00:00Z",
        review=Review(title="Lift", recording=Recording(file="talk.mp4", sha256="0" * 64, duration=9)),
        shot=Shot(first=101, last=188),
        transcript=Transcript(language="en", segments=(Segment(start=1, end=4, text=said, words=words),)),
        notes=(note,),
    )
    Path("critsheet-talk").mkdir()
    return saved(sheet, Path("critsheet-talk/sheet.json"))


def saved(sheet: Sheet, path: Path) -> Path:
    save(sheet, path)
    return path


@pytest.mark.parametrize("name", FORMATS)
def test_every_format_is_written_here_and_named_after_the_recording(
    critsheet: Run, sheet_file: Path, name: str, request: pytest.FixtureRequest
) -> None:
    if name == "pdf":
        request.getfixturevalue("pango")
    expected = Path(f"critsheet-talk{FORMATS[name].ending}")
    status, out, err = critsheet("export", sheet_file, "--to", name)
    assert (status, out) == (0, "")
    assert str(expected) in err
    assert b"hips stop dead" in expected.read_bytes() or name in ("pdf", "xlsx")
    assert len({form.ending for form in FORMATS.values()}) == len(FORMATS), "and none is in another's way"


def test_the_file_goes_where_out_says_and_keeps_its_line_ends(critsheet: Run, sheet_file: Path) -> None:
    assert critsheet("export", sheet_file, "--to", "CSV", "--out", "notes.table")[0] == 0
    content = Path("notes.table").read_bytes()
    assert content.startswith(b'\xef\xbb\xbf"No."')
    assert content.count(b"\r\n") == content.count(b"\n") == 2


@pytest.mark.parametrize("typed", [[], ["--to", "docx"], ["--to", ""]])
def test_a_wrong_or_missing_format_lists_the_choices(critsheet: Run, sheet_file: Path, typed: list[str]) -> None:
    status, _, err = critsheet("export", sheet_file, *typed)
    assert status == 2
    assert err.count("\n") == 1
    assert all(name in err for name in FORMATS)


def test_help_says_what_each_format_is_for(critsheet: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    _, out, _ = critsheet("export", "--help")
    assert all(f"{name}: {form.about}" in out for name, form in FORMATS.items())


def test_nothing_is_overwritten(critsheet: Run, sheet_file: Path) -> None:
    Path("mine.md").write_text("my notes")
    Path("link.md").symlink_to("nowhere")
    for out in ("mine.md", "link.md"):
        status, _, err = critsheet("export", sheet_file, "--to", "markdown", "--out", out)
        assert status == 6
        assert "exists. Move it away" in err
    assert Path("mine.md").read_text() == "my notes"


@pytest.mark.parametrize(("out", "says"), [("critsheet-talk", "is a folder"), ("no/where.md", "There is no folder no")])
def test_a_place_that_takes_no_file_is_named(critsheet: Run, sheet_file: Path, out: str, says: str) -> None:
    status, _, err = critsheet("export", sheet_file, "--to", "markdown", "--out", out)
    assert status == 6
    assert says in err
    assert "--out" in err


def test_a_recording_with_an_odd_name_gives_a_file_here(critsheet: Run, sheet_file: Path) -> None:
    sheet = load(sheet_file)
    recording = sheet.review.recording.model_copy(update={"file": '../../a:b\0"c*\u202e.tar.mp4'})
    odd = sheet.model_copy(update={"review": sheet.review.model_copy(update={"recording": recording})})
    assert critsheet("export", saved(odd, sheet_file), "--to", "mail")[0] == 0
    assert Path("critsheet-a-b -c-.tar.txt").is_file()


@pytest.mark.parametrize("name", ["markers", "shot-chapters"])
def test_without_frames_there_are_no_markers_and_that_is_said(critsheet: Run, sheet_file: Path, name: str) -> None:
    sheet = load(sheet_file)
    saved(sheet.model_copy(update={"notes": (sheet.notes[0].model_copy(update={"frames": ()}),)}), sheet_file)
    status, _, err = critsheet("export", sheet_file, "--to", name)
    assert status == 2
    assert "No note of this sheet is tied to frames. Make it with --frames" in err
    assert not list(Path().glob("*.otio")) + list(Path().glob("*-chapters.vtt"))


@pytest.mark.parametrize(
    ("content", "status", "says"),
    [
        ('{"schema": "critsheet/9"}', 5, "upgrade it"),
        ('{"schema": "critsheet/1"', 5, "not a whole sheet"),
        ("{}", 5, "not a Critsheet sheet"),
        (None, 2, "Cannot read"),
    ],
)
def test_a_sheet_that_cannot_be_read_gets_one_line(critsheet: Run, content: str | None, status: int, says: str) -> None:
    if content is not None:
        Path("sheet.json").write_text(content)
    assert critsheet("export", "sheet.json", "--to", "csv")[0] == status
    _, _, err = critsheet("export", "sheet.json", "--to", "csv")
    assert says in err
    assert err.count("\n") == 1
    assert not list(Path().glob("*.csv"))


def test_the_stills_beside_the_sheet_are_in_the_pdf(critsheet: Run, sheet_file: Path, pango: None) -> None:
    import io

    from PIL import Image
    from pypdf import PdfReader

    from critsheet.screen import Still

    picture = io.BytesIO()
    Image.new("RGB", (64, 36), "teal").save(picture, "WEBP")
    (sheet_file.parent / "stills").mkdir()
    (sheet_file.parent / "stills/n1-1.webp").write_bytes(picture.getvalue())
    sheet = load(sheet_file)
    stills = tuple(
        Still(file=f"stills/n1-{number}.webp", kind="frame", frames=(142,), width=64, height=36) for number in (1, 2)
    )
    note = sheet.notes[0].model_copy(update={"stills": stills})
    saved(sheet.model_copy(update={"notes": (note, *sheet.notes[1:])}), sheet_file)
    assert critsheet("export", sheet_file, "--to", "pdf")[0] == 0
    assert len({image.name for page in PdfReader("critsheet-talk.pdf").pages for image in page.images}) == 1


def test_the_pdf_has_the_schools_look_and_the_sheets_language(critsheet: Run, sheet_file: Path, pango: None) -> None:
    from pypdf import PdfReader

    saved(load(sheet_file).model_copy(update={"language": "de"}), sheet_file)
    school = Path("school/texts")
    school.mkdir(parents=True)
    (school / "de.yaml").write_text("form: Blatt der Nordschule\n")
    (school.parent / "pdf.css").write_text("@page { size: A5 }")
    assert critsheet("export", sheet_file, "--to", "pdf", "--templates", "school")[0] == 0
    first = PdfReader("critsheet-talk.pdf").pages[0]
    assert "Blatt der Nordschule" in first.extract_text()
    assert round(float(first.mediabox.width)) == 420
