"""Pictures of the page as people meet it: screens from a phone to a wide desk, light and dark, and on paper.

Writes build/shots/NAME-WIDTH-SCHEME.png and NAME.pdf for the demo's sheets, for one of sixty notes with everything that
a sheet can hold, in English and in German, for one of a single note and for one without any. Needs Debian's chromium.
"""

import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import chdir
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from critsheet import cli, vocabulary
from critsheet.render.page import to_html
from critsheet.screen import OnScreen, ScreenRun, Still
from critsheet.sheet import Done, Earlier, FrameRange, Note, Sheet, Shot, Transcript, load

sys.path.append(str(Path(__file__).parent / "frames"))

OUT = Path("build/shots")
WIDTHS = {390: 844, 1280: 800, 1920: 1080}
SCHEMES = ("light", "dark")
MANY = 60
Stills = dict[str, bytes]


def main() -> None:
    """Write every picture and say where they lie."""
    OUT.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, sync_playwright() as player:
        pages = dict(_pages(Path(place)))
        browser = player.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, page in pages.items():
            _shoot(browser, name, page)
            print(f"{name}: {page.stat().st_size // 1000} kB")
        browser.close()
    print(f"Pictures lie in {OUT}")


def _pages(place: Path) -> Iterator[tuple[str, Path]]:
    with chdir(place):
        assert cli.run(["demo"]) == 0
    demo = sorted(place.glob("demo/*/sheet.html"))
    yield from ((page.parent.name, page) for page in demo)
    first, *_ = sheets = [load(page.with_name("sheet.json")) for page in demo]
    many, stills = sixty_notes(sheets)
    samples: Mapping[str, tuple[Sheet, Stills]] = {
        "sixty": (many, stills),
        "sixty-de": (many.model_copy(update={"language": "de"}), stills),
        "one": (first.model_copy(update={"notes": first.notes[:1], "top": first.top[:1]}), {}),
        "none": (first.model_copy(update={"notes": (), "top": ()}), {}),
    }
    categories = vocabulary.load().categories
    for name, (sheet, pictures) in samples.items():
        page = place / f"{name}.html"
        page.write_text(to_html(sheet, categories, None, pictures), encoding="utf-8")
        yield name, page


def sixty_notes(sheets: list[Sheet]) -> tuple[Sheet, Stills]:
    """A long talk with every part that a sheet can have, made of shorter ones; and its stills."""
    notes: list[Note] = []
    segments = []
    start = 0.0
    while len(notes) < MANY:
        sheet = sheets[len(segments) % len(sheets)]
        for note in sheet.notes[: MANY - len(notes)]:
            moments = [
                one.model_copy(update={"start": one.start + start, "end": one.end + start}) for one in note.moments
            ]
            number = len(notes) + 1
            update = {"id": f"n{number}", "rank": number, "moments": tuple(moments), "frames": _frames(note, number)}
            notes.append(note.model_copy(update=update))
        for segment in sheet.transcript.segments:
            words = [
                word.model_copy(update={"start": word.start + start, "end": word.end + start}) for word in segment.words
            ]
            times = {"start": segment.start + start, "end": segment.end + start, "words": tuple(words)}
            segments.append(segment.model_copy(update=times))
        start += sheet.review.recording.duration
    pictured, stills = _pictured(notes[0])
    notes[0] = pictured
    notes[1] = notes[1].model_copy(
        update={"edited": True, "done": Done(at="2026-01-30T09:00:00Z", comment="On ones now.")}
    )
    notes[3] = notes[3].model_copy(update={"action": "Fix the timing: it all goes at one speed.", "looped": True})
    review = sheets[0].review
    recording = review.recording.model_copy(update={"duration": start})
    runs = (
        ScreenRun(start=t, end=t + 20, first=101 + t % 60, last=101 + (t + 40) % 112)
        for t in range(0, int(start) - 20, 20)
    )
    return sheets[0].model_copy(
        update={
            "review": review.model_copy(update={"recording": recording}),
            "shot": Shot(name="Bodkin, the chair", first=101, last=212),
            "notes": tuple(notes),
            "top": tuple(note.id for note in notes if note.kind == "fix")[:3],
            "transcript": Transcript(language="en", segments=tuple(segments), repairs=sheets[0].transcript.repairs),
            "on_screen": OnScreen(source="shown", runs=tuple(runs)),
            "earlier": _earlier(),
            "doubts": ("2 damaged pictures of the recording were skipped",),
        }
    ), stills


def _frames(note: Note, number: int) -> tuple[FrameRange, ...]:
    """Spread over the shot, with a crowd near the landing; every fourth note stays without frames."""
    if note.frames or number % 4 == 0:
        return note.frames
    first = 146 + number % 9 if number % 3 == 0 else 101 + number * 37 % 100
    return (
        FrameRange(first=first, last=first + number % 7, source="shown", confidence=0.6 if number % 5 == 0 else 0.9),
    )


def _pictured(note: Note) -> tuple[Note, Stills]:
    from clips import on_ones

    from critsheet.frames.picturing import webp

    pictures = on_ones().pictures
    height, width = pictures[0].shape[:2]
    stills = (
        Still(file="stills/n1-1-screen.webp", kind="screen", frames=(131,), seconds=49.6, width=width, height=height),
        Still(file="stills/n1-1-frame.webp", kind="frame", frames=(131,), width=width, height=height),
    )
    return note.model_copy(update={"stills": stills}), {still.file: webp(pictures[30]) for still in stills}


def _earlier() -> tuple[Earlier, ...]:
    hand = (FrameRange(first=140, last=146),)
    done = Done(at="2026-01-20T18:00:00Z", comment="Pinned it from 120 on.")
    foot = Earlier(note="n1", action="Pin the left foot down.", category="contact", body=("foot",), outcome="repeated")
    return (
        foot.model_copy(update={"raised": 3, "submission": 2, "done": done}),
        Earlier(action="Spread the fingers.", category="hands", frames=hand, outcome="not mentioned"),
        Earlier(note="n12", action="Get the hips over the foot first.", category="weight", outcome="resolved"),
    )


def _shoot(browser: Browser, name: str, page: Path) -> None:
    for width, height in WIDTHS.items():
        for scheme in SCHEMES:
            tab = browser.new_page(viewport={"width": width, "height": height}, color_scheme=scheme)
            tab.goto(page.as_uri())
            tab.screenshot(path=OUT / f"{name}-{width}-{scheme}.png", full_page=True)
            tab.close()
    tab = browser.new_page()
    tab.goto(page.as_uri())
    tab.pdf(path=OUT / f"{name}.pdf", format="A4")
    tab.close()


if __name__ == "__main__":
    main()
