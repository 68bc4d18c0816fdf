"""Makes what the page shows out of a sheet."""

import base64
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from critsheet.render import strips, talk, words
from critsheet.render.drawings import Ruler, Time
from critsheet.render.earlier_notes import outcomes, summary
from critsheet.render.filters import filters
from critsheet.render.page_context import (
    Box,
    Count,
    Entry,
    Help,
    Keys,
    Letter,
    Logo,
    Map,
    Page,
    Picture,
    Pointer,
    Quote,
    Repair,
    Section,
    Talk,
)
from critsheet.render.recording import RecordingLink
from critsheet.render.texts import Texts
from critsheet.render.words import Group, Numbered, clock, plain
from critsheet.screen import Still
from critsheet.sheet import Note, Sheet, Shot
from critsheet.vocabulary import CategoryEntry

KEPT = 4
"""What works, told at the head of the sheet: enough to take heart from; the rest stands further down."""
_MINUTES = len("2026-01-31T10:00")


@dataclass(frozen=True)
class PageMaker:
    """Makes the page of one sheet; `recording` is None where none is at hand, `stills` are pictures by name."""

    sheet: Sheet
    texts: Texts
    categories: Mapping[str, CategoryEntry]
    recording: RecordingLink | None
    stills: Mapping[str, bytes]
    logo: Logo | None = None

    def page(self) -> Page:
        """Everything the templates need."""
        sheet, say = self.sheet, self.texts
        sections = tuple(map(self._section, self._groups))
        return Page(
            sheet=sheet.id,
            form=say("form"),
            title=plain(sheet.review.title),
            logo=self.logo,
            boxes=tuple(Box(say(f"box.{key}"), value) for key, value in _boxes(sheet, say) if value),
            doubts=tuple(say.said_by_program(plain(doubt)) for doubt in sheet.doubts),
            letter=self._letter(),
            recording=self.recording,
            filters=filters([entry for group in self._groups for entry in group.notes], self._groups, self._name, say),
            sections=sections,
            map=self._map(),
            earlier=outcomes(sheet.earlier, self._pointers, say),
            repairs=tuple(Repair(*words.repair_line(repair)) for repair in sheet.transcript.repairs),
            cautions=words.cautions(say),
            talk=self._talk(),
            made=tuple(Box(label, value) for label, value in _pairs(sheet.settings)),
        )

    @cached_property
    def _groups(self) -> tuple[Group, ...]:
        return words.grouped(self.sheet, self.texts)

    @cached_property
    def _pointers(self) -> dict[str, Pointer]:
        entries = (entry for group in self._groups for entry in group.notes)
        return {entry.note.id: Pointer(entry.note.id, entry.number, plain(entry.note.action)) for entry in entries}

    @cached_property
    def _said(self) -> list[list[talk.Piece]]:
        return talk.pieces(self.sheet)

    def _letter(self) -> Letter:
        say, notes = self.texts, self.sheet.notes
        kept = next((group.notes for group in self._groups if group.key == words.KEEP), ())
        leading = self._groups[0].notes[0] if self._groups and self._groups[0].key != words.KEEP else None
        counts = {"todo": 0, "keep": 0, "plan": 0}
        for note in notes:
            counts["todo" if note.kind == "fix" else note.kind] += 1
        nothing = "" if leading else say("letter.nothing_to_do" if notes else "letter.nothing_found")
        return Letter(
            above_all=self._pointers[leading.note.id] if leading else None,
            nothing=nothing,
            counts=tuple(Count(n, say(f"letter.{key}.{'one' if n == 1 else 'other'}")) for key, n in counts.items()),
            done=sum(note.done is not None for note in notes if note.kind != "keep"),
            tickable=sum(note.kind != "keep" for note in notes),
            kept=tuple(self._pointers[entry.note.id] for entry in kept[:KEPT]),
            more_kept=say("letter.more", n=len(kept) - KEPT) if len(kept) > KEPT else "",
            earlier=summary(self.sheet.earlier, say),
        )

    def _section(self, group: Group) -> Section:
        entries = [self._entry(entry) for entry in group.notes]
        if group.key == words.PLAN and len(entries) > 1:
            entries = [replace(entry, step=step) for step, entry in enumerate(entries, 1)]
        return Section(group.key, group.title, group.about, tuple(entries))

    def _entry(self, entry: Numbered) -> Entry:
        note, say = entry.note, self.texts
        return Entry(
            id=note.id,
            number=entry.number,
            step=0,
            leads=note.id in self.sheet.top,
            tickable=note.kind != "keep",
            done=note.done is not None,
            done_at=plain(note.done.at) if note.done else "",
            comment=plain(note.done.comment) if note.done else "",
            action=plain(note.action),
            own_words=note.edited,
            no_remedy=words.gives_no_remedy(note),
            category=", ".join(self._name(key) for key in (note.category, *note.also)),
            facts=tuple(words.facts(note, say, with_frames=False)),
            frames=words.frames(note.frames, say),
            ruler=self._ruler(note),
            pictures=tuple(self._picture(still) for still in note.stills if still.file in self.stills),
            quotes=tuple(
                Quote(self._time(one.start), plain(one.quote), talk.sentence_at(self._said, one.start))
                for one in note.moments
            ),
            reasons=tuple(say.said_by_program(plain(reason)) for reason in note.reasons),
            doubts=tuple(say.said_by_program(plain(doubt)) for doubt in note.doubts),
            help=self._help(note.category),
            keys=Keys(" ".join((note.category, *note.also)), plain(note.subject or ""), " ".join(note.body)),
        )

    def _ruler(self, note: Note) -> Ruler | None:
        span = strips.shot_span(self.sheet)
        ranges = [one for one in note.frames if span and strips.inside(one, span)]
        if span is None or not ranges:
            return None
        unit = 100 / (span[1] + 1 - span[0])
        ends = [(max(one.first, span[0]) - span[0], min(one.last, span[1]) + 1 - span[0]) for one in ranges]
        return Ruler(tuple((round(a * unit, 1), round(max((b - a) * unit, 1.5), 1)) for a, b in ends))

    def _picture(self, still: Still) -> Picture:
        say, first, last = self.texts, still.frames[0], still.frames[-1]
        data = base64.b64encode(self.stills[still.file]).decode()
        if still.kind == "strip":
            text = say("note.strip", first=first, last=last)
        elif still.kind == "frame":
            text = say("note.shot_frame", frame=first)
        elif still.seconds is None:
            text = say("note.seen", frame=first)
        else:
            text = say("note.seen_at", time=clock(still.seconds), frame=first)
        labels = tuple(map(str, still.frames)) if still.kind == "strip" else ()
        return Picture(still.kind, f"data:image/webp;base64,{data}", text, labels, still.width, still.height)

    def _name(self, category: str) -> str:
        entry = self.categories.get(category)
        return self.texts.of_category(category, "name") or (entry.name if entry else category)

    def _help(self, category: str) -> Help | None:
        entry, say = self.categories.get(category), self.texts
        if entry is None:
            return None
        parts = {key: say.of_category(category, key) or getattr(entry, key) for key in Help.__annotations__}
        return Help(**parts)

    def _map(self) -> Map:
        say, span = self.texts, strips.shot_span(self.sheet)
        most = strips.most_asked(self.sheet)
        untied = [
            self._pointers[entry.note.id]
            for group in self._groups
            for entry in group.notes
            if not any(span and strips.inside(one, span) for one in entry.note.frames)
        ]
        return Map(
            shot=strips.shot_strip(self.sheet, self._groups, say),
            talk=strips.talk_strip(self.sheet, self._groups, say, self._time),
            most=say("map.most", frames=words.frames([most[0]], say), n=most[1]) if most and most[1] > 1 else "",
            untied=tuple(untied),
        )

    def _talk(self) -> Talk:
        said = [piece for paragraph in self._said for piece in paragraph]
        used = sum(bool(piece.notes) for piece in said)
        return Talk(
            language=self.sheet.transcript.language,
            share=self.texts.count("talk.share", len(said), used=used) if said else "",
            paragraphs=tuple(talk.paragraph(paragraph, self._pointers, self._time) for paragraph in self._said),
        )

    def _time(self, seconds: float) -> Time:
        at = f"{seconds:.2f}"
        # Media Fragments URI 1.0: "#t=" works even where the page's script may not run.
        return Time(at, clock(seconds), f"{self.recording.sources[0]}#t={at}" if self.recording else "")


def _frames_of(shot: Shot, say: Texts) -> str:
    if shot.first is None or shot.last is None:
        return say("box.rate", fps=shot.fps)
    return say("box.span", frames=f"{shot.first}–{shot.last}", fps=shot.fps)


def _boxes(sheet: Sheet, say: Texts) -> Iterable[tuple[str, str]]:
    review, shot = sheet.review, sheet.shot
    yield "student", plain(review.student or "")
    yield "mentor", plain(review.mentor or "")
    yield "submission", str(review.submission or "")
    if shot is not None:
        yield "shot", plain(shot.name or shot.file or "")
        yield "frames", _frames_of(shot, say)
    yield "recording", f"{plain(review.recording.file)}, {clock(review.recording.duration)}"
    yield "written", f"{plain(sheet.made[:_MINUTES].replace('T', ' '))} UTC"


def _pairs(settings: Mapping[str, object]) -> list[tuple[str, str]]:
    """Nested settings as flat pairs of label and value, empty ones left out."""
    flat: list[tuple[str, str]] = []
    for key, value in settings.items():
        if isinstance(value, Mapping):
            flat += [(f"{plain(key)}: {label}", text) for label, text in _pairs(value)]
        elif value not in (None, "", [], ()):
            items = value if isinstance(value, list | tuple) else [value]
            flat.append((plain(key), plain(", ".join(map(str, items)))))
    return flat
