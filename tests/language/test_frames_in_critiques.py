"""The frames read from the labelled critiques, note by note, against the labels; the floor only ever rises."""

import importlib.util
import re
from pathlib import Path
from typing import Any

import pytest

from critsheet.language.said_frames import frames_of_note, said_frames
from critsheet.sheet import Shot

EVAL = Path(__file__).parents[1] / "eval"
FLOORS = {
    ("abcdefghijklmnopqrst", "punctuated"): 0.965,
    ("abcdefghijklmnopqrst", "captions"): 0.954,
    ("uvwxyz", "punctuated"): 0.96,
    ("uvwxyz", "captions"): 0.943,
}
"""By the first letters of the critiques' names: the later ones have other speakers and other ways of naming frames."""


def parse(path: Path) -> Any:
    spec = importlib.util.spec_from_file_location("casefile", EVAL / "casefile.py")
    assert spec is not None and spec.loader is not None
    casefile = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(casefile)
    return casefile.parse(path)


def hits(path: Path, manner: str) -> tuple[int, int, int]:
    """Ranges right, ranges found and ranges labelled in one critique."""
    meta, text, spans, labels = parse(path)
    first, last = map(int, str(meta["shot"]).split("-"))
    places = [(match.group(), match.start()) for match in re.finditer(r"\S+", text)]
    words = [word if manner == "punctuated" else word.lower().strip('.,:;?!-—…"“”()') for word, _ in places]
    said = said_frames(words, Shot(fps=str(meta["fps"]), first=first, last=last))
    right = found = labelled = 0
    for name, label in labels.items():
        if name == "top":
            continue
        mine = [s for s in said for note, a, b in spans if note == name and a <= places[s.start][1] < b]
        ranges = {(frames.first, frames.last) for frames in frames_of_note(mine)}
        gold = {tuple(frames) for frames in label.get("frames") or []}
        right, found, labelled = right + len(ranges & gold), found + len(ranges), labelled + len(gold)
    return right, found, labelled


@pytest.mark.parametrize(("letters", "manner"), FLOORS)
def test_the_frames_of_labelled_critiques_are_read(letters: str, manner: str) -> None:
    critiques = sorted([*EVAL.glob("cases/*.md"), *EVAL.glob("corpus/*.md")])
    counts = [hits(path, manner) for path in critiques if path.name[0] in letters]
    right, found, labelled = (sum(column) for column in zip(*counts, strict=True))
    f1 = 2 * right / (found + labelled)
    print(f"{letters[0]}-{letters[-1]} {manner}: {right} of {labelled} ranges right, {found} found, F1 {f1:.3f}")
    assert f1 >= FLOORS[letters, manner]
