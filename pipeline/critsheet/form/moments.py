"""Which moment of the recording a line "said 1:23: ..." means, and which notes rest on which moments then."""

from collections import Counter
from collections.abc import Mapping, Sequence

from critsheet import corrections
from critsheet.form.reading import Block, FormError, Problem, Said
from critsheet.form.writing import said
from critsheet.render.words import clock, plain
from critsheet.sheet import Moment, Note, Sheet


def told(blocks: Sequence[Block], id_of: Mapping[int, str], old: Sheet, sheet: Sheet) -> dict[str, tuple[Moment, ...]]:
    """The moments of each note whose lines were changed, by its id in `sheet`.

    `old` is the sheet that the form was printed from, `sheet` the same with notes merged, split and added. A note that
    others were merged into keeps theirs. Raises FormError.
    """
    held: dict[str, tuple[Moment, ...]] = {}
    problems: list[Problem] = []
    for block in blocks:
        own = [corrections.note_of(old, note_id) for note_id in (*block.ids, *filter(None, (block.source,)))]
        printed = [said(moment) for note in own[:1] for moment in note.moments]
        typed = [_line(one) for one in block.said]
        if Counter(typed) == Counter(printed) or (block.source and not typed):
            continue
        try:
            named = _named(block.said, own, old)
        except FormError as error:
            problems += error.problems
        else:
            merged = [moment for note in own[1:] for moment in note.moments]
            given = {(moment.start, moment.end) for moment in named}
            held[id_of[block.line]] = (*named, *(each for each in merged if (each.start, each.end) not in given))
    if problems:
        raise FormError(problems)
    shown = {note.id for note in corrections.every_note(sheet)}
    return {note_id: moments for note_id, moments in held.items() if note_id in shown}


def _line(one: Said) -> str:
    return f"said {clock(one.second)}: {one.text}"


def _named(lines: Sequence[Said], own: Sequence[Note], sheet: Sheet) -> list[Moment]:
    """The moments that the lines of one note name: first those that nobody changed, then by their time."""
    mine = [moment for note in own for moment in note.moments]
    others = [moment for note in corrections.every_note(sheet) for moment in note.moments if moment not in mine]
    found: dict[int, Moment] = {}
    for pool in (mine, others):
        for place, one in enumerate(lines):
            same = [moment for moment in pool if said(moment) == _line(one) and moment not in found.values()]
            if place not in found and same:
                found[place] = same[0]
    for place, one in enumerate(lines):
        if place not in found:
            there = [each for each in (*mine, *others) if int(each.start) == one.second]
            twice = [each for each in there if said(each) == _line(one)]
            near = [each for each in there if each not in found.values()]
            found[place] = twice[0] if twice else _reworded(near[0], one.text) if near else _new(one, sheet)
    return [found[place] for place in sorted(found)]


def _reworded(moment: Moment, quote: str) -> Moment:
    """The moment with a quote put right, where one was typed."""
    return moment.model_copy(update={"quote": quote}) if quote else moment


def _new(one: Said, sheet: Sheet) -> Moment:
    """A moment that no note had: the sentence of the recording that was being said, or what was typed of it."""
    length = sheet.review.recording.duration
    if one.second > length:
        raise FormError(
            [Problem(one.line, f"{clock(one.second)} lies after the end of the recording, {clock(length)}.")]
        )
    spoken = [each for each in sheet.transcript.segments if int(each.start) <= one.second <= each.end]
    if spoken:
        return Moment(start=spoken[-1].start, end=spoken[-1].end, quote=one.text or plain(spoken[-1].text))
    if not one.text:
        raise FormError([Problem(one.line, f"nothing was said at {clock(one.second)}: choose another time.")])
    return Moment(start=float(one.second), end=float(one.second), quote=one.text)
