"""Which frame of a shot a recording of a screen shows, five times a second."""

from collections.abc import Callable
from pathlib import Path

from critsheet.frames.bank import Bank, load_bank
from critsheet.frames.decoding import Belief, decode
from critsheet.frames.following import Follower
from critsheet.frames.placing import Place
from critsheet.frames.repeats import Repeats
from critsheet.frames.searching import Searcher
from critsheet.frames.settling import SCREEN_WIDTH, settle
from critsheet.frames.showing import SAMPLES_A_SECOND, Area, Playhead, Showing
from critsheet.media.pictures import Film, open_film

_WHILE_MOVING = 0.85
"""While the picture itself is zoomed and panned, one frame passes for another: the share found right when measured."""

Tell = Callable[[str, float], None]
"""Hears the stage at work and its share done."""

_NEAR = 2
"""Frames: a confidence is that of being right within so many."""


def match_pictures(recording: Path, shot: Path, first: int, tell: Tell) -> Playhead:
    """The playhead found in a recording's pictures; `first` is the number of the shot's first frame.

    Raises InputError for files that hold no pictures, a shot of one frame, and one longer than `bank.MAX_SHOT_S`.
    """
    film = open_film(recording)
    bank = load_bank(shot, lambda share: tell("Looking at the shot", share))
    searcher = Searcher(bank)
    places = settle(film, searcher, lambda share: tell("Finding its picture", share))
    length_s = max(film.duration_s, 1.0)
    moments = Follower(searcher, places).follow(film.sampled(SAMPLES_A_SECOND))
    repeats, enlarged = Repeats(bank), max(1.0, film.width / SCREEN_WIDTH)
    showings = []
    for belief in decode(bank, repeats, moments):
        showings.append(_showing(belief, repeats, bank, first, enlarged))
        tell("Following its frames", min(1.0, belief.moment.seconds / length_s))
    return Playhead(tuple(showings), "shown", _remarks(film, bank))


def _remarks(film: Film, bank: Bank) -> tuple[str, ...]:
    damaged = (("recording", film.damaged), ("shot", bank.damaged))
    return tuple(f"{count} damaged pictures of the {name} were skipped" for name, count in damaged if count)


def _showing(belief: Belief, repeats: Repeats, bank: Bank, first: int, enlarged: float) -> Showing:
    """The likeliest frames of a moment, and how sure that is; none where the shot is likelier to be absent."""
    seconds, likeness = belief.moment.seconds, belief.moment.likeness
    present = float(belief.frames.sum())
    if present < 0.5 or likeness is None:
        return Showing(seconds, (), 1 - present)
    spans = repeats.spans(belief.frames)
    low, high = spans[0]
    sure = float(belief.frames[max(0, low - _NEAR) : high + _NEAR + 1].sum())
    if belief.moment.free and not belief.moment.held:
        sure *= _WHILE_MOVING
    numbered = tuple((low + first, high + first) for low, high in spans)
    return Showing(seconds, numbered, min(1.0, sure), _area(likeness.place, bank, enlarged))


def _area(place: Place, bank: Bank, enlarged: float) -> Area:
    return place.area(bank.size, enlarged)
