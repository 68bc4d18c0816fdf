"""The playhead as a picture: the recording's time across, the shot's frames up, the notes where they were said."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PAPER, INK, SOFT, RULE, SURE, DOUBTFUL = "#fcfbf6", "#22262b", "#565c63", "#b9d3de", "#1d5a78", "#c98a2b"
"""The sheet's colours, and one for frames that are not sure."""
SURE_FROM = 0.9
_INCHES_HIGH, _INCHES_A_MINUTE, _NARROWEST, _WIDEST = 4.6, 2.6, 9.0, 30.0
_MOST_NOTES = 60
"""More marks than that hide what they mark."""


@dataclass(frozen=True)
class Mark:
    """A note on the figure: its rank, and the seconds of the recording at which it was said."""

    rank: int
    moments: tuple[tuple[float, float], ...]


def to_svg(playhead: Playhead, title: str, marks: Sequence[Mark] = ()) -> str:
    """The figure as SVG text: blue where the frame is sure, ochre where not, a grey band where the shot was away."""
    import matplotlib
    from matplotlib.figure import Figure

    length_s = max((showing.seconds for showing in playhead.showings), default=0.0) + 1 / SAMPLES_A_SECOND
    wide = min(max(_NARROWEST, _INCHES_A_MINUTE * length_s / 60), _WIDEST)
    settings: dict[Any, Any] = {
        "svg.hashsalt": "critsheet",
        "svg.fonttype": "none",
        "font.family": "sans-serif",
        "text.usetex": False,
    }
    with matplotlib.rc_context(settings):
        figure = Figure(figsize=(wide, _INCHES_HIGH), facecolor=PAPER, layout="constrained")
        axes = figure.add_subplot()
        _draw_frames(axes, playhead)
        _draw_away(axes, playhead)
        _draw_marks(axes, marks[:_MOST_NOTES])
        _dress(axes, title.replace("$", r"\$"), length_s, any(showing.spans for showing in playhead.showings))
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()


def _draw_frames(axes: "Axes", playhead: Playhead) -> None:
    for sure, ink, word in ((True, SURE, "sure"), (False, DOUBTFUL, "not sure")):
        shown = [each for each in playhead.showings if each.spans and (each.confidence >= SURE_FROM) == sure]
        if shown:
            left = [each.seconds for each in shown]
            low = [each.spans[0][0] - 0.5 for each in shown]
            tall = [each.spans[0][1] - each.spans[0][0] + 1 for each in shown]
            axes.bar(left, tall, 1 / SAMPLES_A_SECOND, low, align="edge", color=ink, label=word)


def _draw_away(axes: "Axes", playhead: Playhead) -> None:
    start: float | None = None
    named = False
    for showing in [*playhead.showings, None]:
        away = showing is not None and not showing.spans
        if away and start is None and showing is not None:
            start = showing.seconds
        elif not away and start is not None:
            end = showing.seconds if showing else playhead.showings[-1].seconds + 1 / SAMPLES_A_SECOND
            label = None if named else "shot not on screen"
            axes.axvspan(start, end, color=SOFT, alpha=0.16, linewidth=0, label=label)
            start, named = None, True


def _draw_marks(axes: "Axes", marks: Sequence[Mark]) -> None:
    for mark in marks:
        for start, end in mark.moments:
            axes.axvspan(start, max(end, start + 0.2), color=RULE, alpha=0.45, linewidth=0, zorder=0)
            axes.annotate(
                str(mark.rank),
                (start, 1.0),
                xycoords=("data", "axes fraction"),
                xytext=(2, -11),
                textcoords="offset points",
                fontsize=9,
                color=INK,
            )


def _dress(axes: "Axes", title: str, length_s: float, seen: bool) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axes.set_facecolor(PAPER)
    axes.set_title(title, loc="left", color=INK, fontsize=12)
    axes.set_xlabel("time in the recording (minutes:seconds)", color=SOFT)
    axes.set_ylabel("frame of the shot", color=SOFT)
    axes.set_xlim(0, length_s)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=14, steps=[1, 2, 3, 6, 10], integer=True))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda x, _: f"{int(x) // 60}:{int(x) % 60:02d}"))
    axes.yaxis.set_major_locator(MaxNLocator(integer=True))
    if not seen:
        axes.set_yticks([])
    axes.grid(axis="y", color=RULE, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.tick_params(colors=SOFT)
    for name, spine in axes.spines.items():
        spine.set_visible(name in ("left", "bottom"))
        spine.set_color(SOFT)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.16), ncols=3, frameon=False, labelcolor=SOFT)
