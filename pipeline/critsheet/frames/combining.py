"""Ties notes to frames of the shot: by what was said, by what was on screen meanwhile, by words such as "at the end".

A mentor who stops at a picture, or creeps about it, while speaking points at it; frames that flew by only say roughly
where. The weights below were set by reasoning about how mentors handle a player: common practice, no source.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from critsheet.frames.showing import Origin, Playhead
from critsheet.frames.stretches import Span, Stretch, starts_again, stretches
from critsheet.sheet import FrameRange, Moment, Note, Place, Shot

PAUSED, SLOW, LOOPED, PLAYED = "paused", "slow", "looped", "played"

WEIGHTS = {PAUSED: 1.0, SLOW: 0.6, LOOPED: 0.4, PLAYED: 0.15}
"""What a second of each manner counts for: half a second's pause is worth three seconds of playing."""

TRUST = {PAUSED: 0.95, SLOW: 0.85, LOOPED: 0.8, PLAYED: 0.4}
"""How likely the note is about just these frames, where they are read rightly."""

REACTION_S = 0.5
"""People begin to speak of a thing about this long after it went by."""

LEAST_S = 0.4
"""Frames that stood on screen for less while a note was spoken belong to the note before, or the one after."""

REST_S = 1.5
"""Players rest on a shot's last frame, or its first, for up to this long before they start it again."""

MINOR = 0.3
"""Of the weight of the frames dwelt on most: below it a stop was on the way to somewhere else."""

WHOLE = 0.8
"""Of the shot: who plays that much of it while speaking points at none of its frames."""

NEAR = 2
"""Frames between two stops that are one place."""

CLOSE_S = 0.25
"""A number said and a frame on screen this far apart are one place: people round, and stop a little late."""

MOST_RANGES = 4
"""Ranges that were shown in one note; more would bury the others."""

SPREAD = 0.25
"""Of the shot: "the start" and "the end" of it, and what lies between is its middle."""

PLACED = 0.4
"""Confidence of frames known by a word such as "at the end" alone."""

_PLACES = {"start": "near the start", "middle": "in the middle", "end": "near the end"}
_SEEN: dict[Origin, str] = {
    "shown": "on screen",
    "logged": "in the playhead log",
    "placed": "playing",
}


@dataclass(frozen=True)
class Look:
    """Frames that were on screen while a note was spoken; `start_s` to `end_s` is the whole stretch they stood for."""

    first: int
    last: int
    manner: str
    start_s: float
    end_s: float
    confidence: float
    weight: float
    repeats: tuple[Span, ...] = ()


@dataclass(frozen=True)
class Combined:
    """A note with its frames, and what the mentor looked at meanwhile, most looked at first."""

    note: Note
    looks: tuple[Look, ...]


def combine(notes: Sequence[Note], playhead: Playhead | None, shot: Shot) -> list[Combined]:
    """The notes in their order, with the frames they are about: those said, as they are, then those shown or placed."""
    found = stretches(playhead, shot.rate) if playhead else []
    extent = _extent(found, shot)
    found = [replace(stretch, manner="played") if _is_rest(stretch, extent) else stretch for stretch in found]
    combined = []
    for note in notes:
        by_moment = [_looks(found, moment, extent) for moment in note.moments]
        looks = [look for looks in by_moment for look in looks]
        named = _merged(look for look in looks if not _is_whole(look, extent))
        combined.append(_combined(note, named, bool(looks), shot, playhead.source if playhead else "shown"))
    return combined


def looked_again(
    combined: Sequence[Combined], notes: Sequence[Note], taken: Mapping[str, Sequence[str]]
) -> list[Combined]:
    """Each of `notes` with what was looked at in those it took in, by their ids.

    Where the mentor set its frames, only with what was looked at there.
    """
    looks = {one.note.id: one.looks for one in combined}
    again = []
    for note in notes:
        seen = [look for note_id in taken[note.id] for look in looks[note_id]]
        if "frames" in note.by_hand:
            seen = [look for look in seen if any(_touch(look, one, NEAR) for one in note.frames)]
        again.append(Combined(note, tuple(seen)))
    return again


def _extent(found: Sequence[Stretch], shot: Shot) -> Span | None:
    """First and last frame of the shot, or of what was seen of it."""
    spans = [stretch.span for stretch in found]
    first = shot.first if shot.first is not None else min((span[0] for span in spans), default=None)
    last = shot.last if shot.last is not None else max((span[1] for span in spans), default=None)
    return (first, last) if first is not None and last is not None else None


def _is_rest(stretch: Stretch, extent: Span | None) -> bool:
    if extent is None or stretch.manner != PAUSED or stretch.end_s - stretch.start_s > REST_S:
        return False
    first, last = stretch.span
    return first <= extent[0] or extent[1] <= last


def _looks(found: Sequence[Stretch], moment: Moment, extent: Span | None) -> list[Look]:
    """What was looked at in one moment: the frames that stood or crept, or else those that played."""
    stopped = []
    for stretch in found:
        part = stretch.within(moment.start, moment.end)
        if part and part.manner != PLAYED and part.end_s - part.start_s >= LEAST_S:
            stopped.append(_look(part, part.manner, stretch))
    going = [
        sample
        for stretch in found
        if stretch.manner == PLAYED and (part := stretch.within(moment.start - REACTION_S, moment.end))
        for sample in part.samples
    ]
    stopped = [look for look in stopped if not _is_whole(look, extent)] or stopped
    # Steps about one place count together before any of them counts as minor.
    paused = _merged(look for look in stopped if look.manner == PAUSED)
    stopped = [*paused, *(look for look in stopped if look.manner != PAUSED)]
    best = max((look.weight for look in stopped), default=0.0)
    if going and going[-1].seconds >= moment.start:
        part = Stretch("played", tuple(going))
        played = _look(part, LOOPED if starts_again(going) else PLAYED, part)
        if _is_whole(played, extent):
            played = replace(played, weight=played.weight * WEIGHTS[PLAYED] / WEIGHTS[played.manner])
        if played.weight > best:
            return [played]
    return [look for look in stopped if look.weight >= MINOR * best]


def _look(part: Stretch, manner: str, whole: Stretch) -> Look:
    first, last = part.span
    repeats = part.repeats
    return Look(
        first=first,
        last=last,
        manner=manner,
        start_s=whole.start_s,
        end_s=whole.end_s,
        # One of several places with the same picture: which of them it was, no picture can tell.
        confidence=round(min(TRUST[manner] * part.confidence, 1 / (1 + len(repeats))), 3),
        weight=WEIGHTS[manner] * part.confidence * (part.end_s - part.start_s),
        repeats=repeats,
    )


def _is_whole(look: Look, extent: Span | None) -> bool:
    if extent is None or look.manner == PAUSED:
        return False
    return look.last - look.first + 1 >= WHOLE * (extent[1] - extent[0] + 1)


def _merged(looks: Iterable[Look]) -> list[Look]:
    """Looks at one place as one, those looked at most first; its pause is the longest of them."""
    kept: list[Look] = []
    for look in sorted(looks, key=lambda look: (look.first, look.last, look.start_s)):
        if kept and look.manner != PLAYED != kept[-1].manner and look.first - kept[-1].last <= NEAR:
            one, other = sorted((kept[-1], look), key=lambda look: (-look.weight, look.start_s))
            kept[-1] = replace(
                one,
                first=min(one.first, other.first),
                last=max(one.last, other.last),
                weight=one.weight + other.weight,
                repeats=tuple(sorted({*one.repeats, *other.repeats})),
            )
        else:
            kept.append(look)
    return sorted(kept, key=lambda look: (-look.weight, look.start_s))[:MOST_RANGES]


def _combined(note: Note, looks: list[Look], watched: bool, shot: Shot, source: Origin) -> Combined:
    said = note.frames
    stated = said or _placed(note.place, shot)
    reach = _reach(bool(said), shot)
    looped = watched and not looks and not said
    looks = [look for look in looks if not stated or look.manner != PLAYED]
    apart = [look for look in looks if not any(_touch(look, one, reach) for one in stated)]
    disagree = bool(stated and looks) and len(apart) == len(looks)
    shown = apart if said else looks
    frames = [*said, *(_range(look, source) for look in sorted(shown, key=lambda look: look.first))]
    if not said and (disagree or not looks):
        frames += stated
    doubts = [_disagreement(note, looks, source)] if disagree else []
    doubts += [_repetition(look) for look in shown if look.repeats]
    updated = {
        "frames": tuple(frames),
        "looped": looped,
        "doubts": tuple(dict.fromkeys([*note.doubts, *doubts])),
    }
    return Combined(note.model_copy(update=updated), tuple(looks))


def _placed(place: Place | None, shot: Shot) -> tuple[FrameRange, ...]:
    """The part of the shot that a word such as "at the end" means, where its first and last frame are known."""
    if place is None or shot.first is None or shot.last is None:
        return ()
    part = int((shot.last - shot.first + 1) * SPREAD)
    first, last = {
        "start": (shot.first, shot.first + max(part - 1, 0)),
        "middle": (shot.first + part, shot.last - part),
        "end": (shot.last - max(part - 1, 0), shot.last),
    }[place]
    return (FrameRange(first=first, last=last, source="placed", confidence=PLACED),)


def _reach(said: bool, shot: Shot) -> float:
    """Frames that what was said and what was shown may lie apart and still agree."""
    if said or shot.first is None or shot.last is None:
        return float(CLOSE_S * shot.rate)
    return SPREAD * (shot.last - shot.first + 1)


def _touch(look: Look, stated: FrameRange, reach: float) -> bool:
    about = reach * (1 if stated.confidence == 1.0 or stated.source == "placed" else 2)
    return look.first <= stated.last + about and stated.first - about <= look.last


def _range(look: Look, source: Origin) -> FrameRange:
    return FrameRange(first=look.first, last=look.last, source=source, confidence=look.confidence)


def _disagreement(note: Note, looks: Sequence[Look], source: Origin) -> str:
    said = _listed((one.first, one.last) for one in note.frames) if note.frames else _PLACES[note.place or "middle"]
    seen = _listed(sorted((look.first, look.last) for look in looks))
    return f"said: {said}; {_SEEN[source]} meanwhile: {seen}"


def _repetition(look: Look) -> str:
    return f"the picture of {_listed([(look.first, look.last)])} comes again at {_listed(look.repeats)}"


def _listed(spans: Iterable[Span]) -> str:
    texts = [f"{first}" if first == last else f"{first}–{last}" for first, last in spans]
    return ("frames " if len(texts) > 1 or "–" in texts[0] else "frame ") + ", ".join(texts)
