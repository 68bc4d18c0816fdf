"""Scores the held-out critiques with the shipped weights: `make eval`.

Prints a table case by case and means by style (punctuated as written, raw captions), and fails where a
mean falls below the floor that was reached. `--cross` trains anew without each fifth of all critiques and
scores that fifth: slower, less subject to chance.
"""

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import score
import train
from critiques import CORPUS, HELD_OUT, Critique

from critsheet import vocabulary
from critsheet.notes import find_notes

FLOORS: dict[str, dict[str, float]] = {
    "as written": {
        "detect": 0.87,
        "kind": 0.98,
        "loose": 0.78,
        "frames": 0.86,
        "body": 0.73,
        "scope": 0.78,
        "strength": 0.88,
        "followup": 0.92,
        "top": 0.49,
        "usable": 0.63,
    },
    "raw captions": {
        "detect": 0.87,
        "kind": 0.91,
        "loose": 0.79,
        "frames": 0.74,
        "body": 0.71,
        "scope": 0.81,
        "strength": 0.84,
        "followup": 0.91,
        "top": 0.47,
        "usable": 0.60,
    },
}
"""Means that the held-out critiques reached; falling below one fails."""

FOLDS = 5
COLUMNS = (
    "gold", "found", "precision", "recall", "detect", "fix", "kind", "category", "loose", "frames", "body", "scope",
    "strength", "followup", "top", "action", "usable",
)  # fmt: skip

Scores = dict[str, float]


def scored(items: Iterable[Critique], pack: vocabulary.Vocabulary) -> dict[tuple[str, str], Scores]:
    """The scores of each critique, by style and name."""
    rows: dict[tuple[str, str], Scores] = {}
    for item in items:
        notes, top = find_notes(item.transcript, pack, item.shot, item.names)
        sheet: dict[str, Any] = {"notes": [note.model_dump() for note in notes], "top": list(top)}
        style = "raw captions" if item.raw else "as written"
        rows[style, item.name] = score.score(item.gold, sheet)
    return rows


def cross_scored(paths: list[Path], pack: vocabulary.Vocabulary) -> dict[tuple[str, str], Scores]:
    """Each critique scored with weights that were trained without it."""
    rows: dict[tuple[str, str], Scores] = {}
    for fold in range(FOLDS):
        left_out = paths[fold::FOLDS]
        train.train([path for path in paths if path not in left_out])
        rows |= scored(train.both_forms(left_out), pack)
        print(f"fold {fold + 1} of {FOLDS} scored", file=sys.stderr)
    return rows


def table(rows: dict[tuple[str, str], Scores]) -> str:
    """A line a case and the means by style."""
    lines = [f"{'':26}" + "".join(f"{column[:8]:>9}" for column in COLUMNS)]
    for style in FLOORS:
        chosen = {name: row for (kind, name), row in sorted(rows.items()) if kind == style}
        if not chosen:
            continue
        lines += [_line(f"{name}, {style}", row) for name, row in chosen.items()]
        lines.append(_line(f"MEAN of {len(chosen)}, {style}", means(rows, style)))
    return "\n".join(lines)


def _line(label: str, row: Scores) -> str:
    return f"{label:26}" + "".join(f"{row[column]:>9.2f}" for column in COLUMNS)


def means(rows: dict[tuple[str, str], Scores], style: str) -> Scores:
    """The mean of each column over the critiques of a style."""
    chosen = [row for (kind, _), row in rows.items() if kind == style]
    return {column: float(np.mean([row[column] for row in chosen])) for column in COLUMNS}


def shortfalls(rows: dict[tuple[str, str], Scores]) -> list[str]:
    """What fell below its floor, in words."""
    return [
        f"{style}: {column} is {reached:.3f}, its floor is {floor:.3f}"
        for style, floors in FLOORS.items()
        for column, floor in floors.items()
        if (reached := means(rows, style)[column]) < floor
    ]


def main() -> int:
    """Print the table; exit status 1 where a floor is not held."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cross", action="store_true", help="train anew without each fifth of all critiques")
    pack = vocabulary.load()
    if parser.parse_args().cross:
        print(table(cross_scored(sorted(CORPUS.glob("*.md")), pack)))
        return 0
    rows = scored(train.both_forms(sorted(HELD_OUT.glob("*.md"))), pack)
    print(table(rows))
    missed = shortfalls(rows)
    print("\n".join(missed) or "every floor is held")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
