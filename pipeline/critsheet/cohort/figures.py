"""The cohort as pictures: what is told when, and how long it stays open."""

import base64
import io
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from critsheet.cohort.hiding import FEWEST

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

PAPER, INK, SOFT, RULE = "#fbfcf8", "#1c221e", "#545d56", "#bccdbd"
"""The page's colours on paper; a picture keeps them in the dark."""
_MOST_LABELS = 14
"""Weeks that are written under the picture; with more they run into each other."""


def weeks_picture(weeks: "pd.DataFrame", names: Sequence[str]) -> str:
    """Notes by category and week as a data URI: the more, the larger the square; a cross where too few students are."""
    import numpy as np

    def draw(axes: "Axes") -> None:
        values = weeks.to_numpy(dtype=float, na_value=np.nan)
        rows, columns = np.nonzero(np.nan_to_num(values) > 0)
        most = np.nanmax(values) if np.isfinite(values).any() else 1.0
        width = min(1.0, 30 / max(1, len(weeks.columns)))
        sizes = 130 * width * np.nan_to_num(values)[rows, columns] / most
        axes.scatter(columns, rows, s=sizes, marker="s", color=INK, linewidths=0)
        rows, columns = np.nonzero(np.isnan(values))
        axes.scatter(columns, rows, s=14 * width, marker="x", color=SOFT, linewidths=0.7)
        step = max(1, len(weeks.columns) // _MOST_LABELS)
        axes.set_xticks(range(0, len(weeks.columns), step), weeks.columns[::step], rotation=45, ha="right")
        axes.set_yticks(range(len(names)), names)
        axes.set_xlim(-0.7, len(weeks.columns) - 0.3)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlabel(f"ISO week; x: fewer than {FEWEST} students", color=SOFT)

    return _picture(draw, 1.4 + 0.27 * len(names))


def open_picture(days: "pd.Series[float]", names: Sequence[str]) -> str:
    """The median days that notes of each category stay open, as a data URI; a category without one has no line."""

    def draw(axes: "Axes") -> None:
        places = range(len(names))
        axes.hlines(places, 0, days.fillna(0), color=INK, linewidth=2.2)
        axes.plot(days, list(places), "|", color=INK, markersize=11, markeredgewidth=2.2)
        axes.set_yticks(places, names)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlim(left=0)
        axes.set_xlabel("days until half of them are done", color=SOFT)

    return _picture(draw, 1.0 + 0.27 * len(names))


def _picture(draw: "Callable[[Axes], None]", inches_high: float) -> str:
    import matplotlib
    from matplotlib.figure import Figure

    settings: dict[Any, Any] = {
        "svg.hashsalt": "critsheet",
        "svg.fonttype": "none",
        "font.family": "sans-serif",
        "font.size": 9.5,
        "text.usetex": False,
        "text.parse_math": False,
    }
    with matplotlib.rc_context(settings):
        figure = Figure(figsize=(9.5, inches_high), facecolor=PAPER, layout="constrained")
        axes = figure.add_subplot(facecolor=PAPER)
        draw(axes)
        axes.grid(color=RULE, linewidth=0.5)
        axes.set_axisbelow(True)
        axes.tick_params(length=0, colors=INK)
        for side in ("top", "right", "bottom", "left"):
            axes.spines[side].set_color(RULE)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return f"data:image/svg+xml;base64,{base64.b64encode(out.getvalue().encode()).decode()}"
