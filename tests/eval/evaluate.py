"""Scores the held-out critiques with the shipped weights: `make eval`.

Prints a table case by case and means by style (punctuated as written, raw captions) and the causes of the
errors, writes pages that show each error (build/eval/index.html), and fails where a mean falls below the floor
that was reached. `--cross` trains anew without each fifth of all critiques and scores that fifth: slower, less
subject to chance; its pages lie in build/eval-cross/.
"""

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pages
import score
import train
from critiques import CORPUS, HELD_OUT, Critique
from diagnosis import Reading

from critsheet import vocabulary
from critsheet.notes import find_notes

FLOORS: dict[str, dict[str, float]] = {
    "as written": {
        "detect": 0.91,
        "kind": 0.93,
        "loose": 0.84,
        "frames": 0.89,
        "body": 0.76,
        "scope": 0.79,
        "strength": 0.87,
        "followup": 0.93,
        "top": 0.59,
        "usable": 0.70,
    },
    "raw captions": {
        "detect": 0.89,
        "kind": 0.93,
        "loose": 0.79,
        "frames": 0.77,
        "body": 0.72,
        "scope": 0.81,
        "strength": 0.87,
        "followup": 0.96,
        "top": 0.59,
        "usable": 0.63,
    },
}
"""What the means of the held-out critiques may not fall below: a hundredth under what was reached."""

FOLDS = 5
COLUMNS = (
    "gold", "found", "precision", "recall", "detect", "fix", "kind", "category", "loose", "frames", "body", "scope",
    "strength", "followup", "top", "action", "usable",
)  # fmt: skip
BUILD = Path(__file__).parents[2] / "build"

Scores = dict[str, float]


def read(items: Iterable[Critique], pack: vocabulary.Vocabulary) -> list[Reading]:
    """The notes found in each critique, with their scores."""
    readings = []
    for item in items:
        notes, top = find_notes(item.transcript, pack, item.shot, item.names)
        sheet: dict[str, Any] = {"notes": [note.model_dump() for note in notes], "top": list(top)}
        readings.append(Reading(item, sheet, score.score(item.gold, sheet)))
    return readings


def cross_read(paths: list[Path], pack: vocabulary.Vocabulary) -> list[Reading]:
    """Each critique read with weights that were trained without it."""
    readings = []
    for fold in range(FOLDS):
        left_out = paths[fold::FOLDS]
        train.train([path for path in paths if path not in left_out])
        readings += read(train.both_forms(left_out), pack)
        print(f"fold {fold + 1} of {FOLDS} scored", file=sys.stderr)
    return readings


def lines(readings: list[Reading]) -> list[tuple[str, Scores]]:
    """A label and scores a case, and the means by style."""
    out: list[tuple[str, Scores]] = []
    for style in FLOORS:
        chosen = sorted((r for r in readings if r.style == style), key=lambda r: r.critique.name)
        if chosen:
            out += [(f"{reading.critique.name}, {style}", reading.scores) for reading in chosen]
            out.append((f"MEAN of {len(chosen)}, {style}", means(readings, style)))
    return out


def report(readings: list[Reading], folder: Path) -> None:
    """Print the scores and the causes of the errors, and write the pages."""
    print(f"{'':26}" + "".join(f"{column[:8]:>9}" for column in COLUMNS))
    for label, row in lines(readings):
        print(f"{label:26}" + "".join(f"{row[column]:>9.2f}" for column in COLUMNS))
    causes = pages.write(readings, lines(readings), COLUMNS, folder)
    print(f"{pages.cause_table(causes)}\n\nnote by note: {folder / 'index.html'}")


def means(readings: list[Reading], style: str) -> Scores:
    """The mean of each column over the critiques of a style."""
    chosen = [reading.scores for reading in readings if reading.style == style]
    return {column: float(np.mean([row[column] for row in chosen])) for column in COLUMNS}


def shortfalls(readings: list[Reading]) -> list[str]:
    """What fell below its floor, in words."""
    return [
        f"{style}: {column} is {reached:.3f}, its floor is {floor:.3f}"
        for style, floors in FLOORS.items()
        for column, floor in floors.items()
        if (reached := means(readings, style)[column]) < floor
    ]


def main() -> int:
    """Print the tables and write the pages; exit status 1 where a floor is not held."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cross", action="store_true", help="train anew without each fifth of all critiques")
    pack = vocabulary.load()
    if parser.parse_args().cross:
        report(cross_read(sorted(CORPUS.glob("*.md")), pack), BUILD / "eval-cross")
        return 0
    readings = read(train.both_forms(sorted(HELD_OUT.glob("*.md"))), pack)
    report(readings, BUILD / "eval")
    missed = shortfalls(readings)
    print("\n".join(missed) or "every floor is held")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
