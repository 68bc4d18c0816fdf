"""Counts of notes by two things at once, without those that rest on too few students or give such a one away.

What is hidden in a line whose total is known can be worked out together, by subtraction. So what is hidden there must
rest on enough students together, and no single hidden cell may follow from all known totals at once. Such cells are
hidden with others (secondary suppression: A. Hundepool and others, "Statistical Disclosure Control", 2012, chapter 4;
from memory). A cell that nobody is behind is shown as 0, so a reader knows that each hidden one holds a note at least.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import pandas as pd

    Mask = npt.NDArray[np.bool_]

FEWEST = 5
"""Students behind a figure: fewer could be recognised in it."""
_SURE = 1e-6


class Cells:
    """Notes by row and column, and who is behind each cell."""

    def __init__(
        self,
        row: "pd.Series[Any]",
        column: "pd.Series[Any]",
        student: "pd.Series[Any]",
        rows: Sequence[Any],
        columns: Sequence[Any],
    ) -> None:
        import numpy as np
        import pandas as pd

        self.rows, self.columns = rows, columns
        at = pd.Index(rows).get_indexer(row) * len(columns) + pd.Index(columns).get_indexer(column)
        self.notes = np.bincount(at, minlength=len(rows) * len(columns)).reshape(len(rows), len(columns))
        people = pd.Categorical(student)
        self._n_people = max(1, len(people.categories))
        # Each cell with each student once: two million notes become far fewer.
        pairs = pd.unique(pd.Series((at * self._n_people + people.codes)[people.codes >= 0]))
        self._cell, self._who = np.divmod(np.asarray(pairs, dtype=np.int64), self._n_people)

    def shown(
        self, row_totals: "Sequence[bool] | Mask", column_totals: "Sequence[bool] | Mask", never: Sequence[Any] = ()
    ) -> "pd.DataFrame":
        """The counts, with NA for what may not be shown. Totals say which lines' sums a reader knows.

        `never` are rows, or columns, that are left out whatever is behind them.
        """
        import numpy as np
        import pandas as pd

        students = np.bincount(self._cell, minlength=self.notes.size).reshape(self.notes.shape)
        few = (students < FEWEST) & (self.notes > 0)
        hidden = few.copy()
        hidden[[each in never for each in self.rows]] = True
        hidden[:, [each in never for each in self.columns]] = True
        hidden &= self.notes > 0
        totals = np.concatenate([np.asarray(row_totals, bool), np.asarray(column_totals, bool)])
        while (more := self._to_hide(hidden, few, totals)) is not None:
            hidden[more] = True
        table = pd.DataFrame(self.notes, index=self.rows, columns=self.columns).astype("Int64")
        return table.mask(hidden)

    def _to_hide(self, hidden: "Mask", few: "Mask", totals: "Mask") -> tuple[int, int] | None:
        """The smallest cell that is shown in a line that gives something away; None where none does."""
        import numpy as np

        n_rows = len(self.rows)
        giving = totals & self._gives_away(hidden)
        known = _determined(hidden, totals) & few
        giving[:n_rows] |= totals[:n_rows] & known.any(axis=1)
        giving[n_rows:] |= totals[n_rows:] & known.any(axis=0)
        for line in np.flatnonzero(giving):
            inside = np.zeros(hidden.shape, bool)
            inside[(line, slice(None)) if line < n_rows else (slice(None), line - n_rows)] = True
            free = np.argwhere(inside & ~hidden & (self.notes > 0))
            if len(free):
                row, column = min(map(tuple, free), key=lambda cell: (self.notes[cell], cell))
                return int(row), int(column)
        return None

    def _gives_away(self, hidden: "Mask") -> "Mask":
        """The lines, rows first, where what is hidden rests on too few students together, or must be a note each."""
        import numpy as np

        inside = hidden.ravel()[self._cell]
        cell, who = self._cell[inside], self._who[inside]
        rows, columns = np.divmod(cell, len(self.columns))
        together = [
            np.bincount(np.unique(line * self._n_people + who) // self._n_people, minlength=size)
            for line, size in ((rows, len(self.rows)), (columns, len(self.columns)))
        ]
        students = np.concatenate(together)
        sums = [
            np.concatenate([each.sum(axis=1), each.sum(axis=0)]) for each in (np.where(hidden, self.notes, 0), hidden)
        ]
        return np.asarray((sums[1] > 0) & ((students < FEWEST) | (sums[0] == sums[1])))


def _determined(hidden: "Mask", totals: "Mask") -> "Mask":
    """The hidden cells that follow from the known totals: there the projection onto the equations changes nothing."""
    import numpy as np

    places = np.argwhere(hidden)
    found = np.zeros(hidden.shape, bool)
    lines = np.flatnonzero(totals)
    if not len(places) or not len(lines):
        return found
    line_of = np.stack([places[:, 0], places[:, 1] + hidden.shape[0]])
    equations = (lines[:, None, None] == line_of[None]).any(axis=1).astype(float)
    _, sizes, directions = np.linalg.svd(equations, full_matrices=False)
    leverage = (directions[sizes > _SURE] ** 2).sum(axis=0)
    found[tuple(places[leverage > 1 - _SURE].T)] = True
    return found
