"""The sheet as Markdown: a GitHub task list that a mentor can edit and a student can tick.

Grammar: CommonMark 0.31 and the task list and autolink extensions of GitHub Flavored Markdown.
"""

import re

from critsheet.render import words
from critsheet.render.earlier_lines import earlier_lines
from critsheet.render.words import Numbered, clock, plain
from critsheet.sheet import Sheet

_SPECIAL = re.compile(r"([\\`*_\[\]<>#|~&$])")
_LINK_COLON = re.compile(r":(?=\S)")
"""A colon with something right after it starts a bare link or an emoji code; one before a space does not."""
_BLOCK_START = re.compile(r"^(\d*)([-+=.)])")
_WORD_JOINER = "\u2060"
"""Invisible. Between "@" and a name, or "www." and a host, it keeps a mention or a link from forming."""


def escape(text: str) -> str:
    """Text from people as Markdown that shows exactly that text: no links, mentions, HTML or lists."""
    text = _SPECIAL.sub(r"\\\1", plain(text))
    text = _LINK_COLON.sub(r"\\:", text)
    text = re.sub(r"(?i)(www)\.", rf"\1{_WORD_JOINER}.", text).replace("@", f"@{_WORD_JOINER}")
    return _BLOCK_START.sub(r"\1\\\2", text)


def to_markdown(sheet: Sheet) -> str:
    """The whole sheet as Markdown text, ending in a newline."""
    lines = [f"# {escape(sheet.review.title)}", "", *_heading(sheet)]
    lines += [line for doubt in sheet.doubts for line in ("", f"Not sure: {escape(doubt)}")]
    groups = words.grouped(sheet)
    for group in groups:
        lines += ["", f"## {group.title}", "", group.about, ""]
        for entry in group.notes:
            lines += _note(entry)
    if not groups:
        lines += ["", "No notes were found in what was said."]
    lines += _earlier(sheet)
    lines += _repairs(sheet)
    lines += ["", "---", "", *(f"- {caution}" for caution in words.cautions())]
    return "\n".join(lines) + "\n"


def _heading(sheet: Sheet) -> list[str]:
    review, shot = sheet.review, sheet.shot
    people = [f"For {escape(review.student)}"] if review.student else []
    people += [f"from {escape(review.mentor)}"] if review.mentor else []
    people += [f"submission {review.submission}"] if review.submission else []
    about = [f"Recording: {escape(review.recording.file)}, {clock(review.recording.duration)}"]
    if shot is not None and shot.first is not None and shot.last is not None:
        about.append(f"frames {shot.first}–{shot.last} at {shot.fps} fps")
    joined = ", ".join(people)
    return [f"{joined[:1].upper()}{joined[1:]}", "", ", ".join(about)] if people else [", ".join(about)]


def _note(entry: Numbered) -> list[str]:
    note = entry.note
    box = "" if note.kind == "keep" else "[x] " if note.done else "[ ] "
    about = [", ".join((note.category, *note.also)), *words.facts(note), *words.own_words(note)]
    lines = [f"- {box}**{entry.number}. {escape(note.action)}**", f"  - {escape(' · '.join(about))}"]
    lines += [f"  - {clock(moment.start)} “{escape(moment.quote)}”" for moment in note.moments]
    if words.gives_no_remedy(note):
        lines.append("  - The mentor names no remedy.")
    lines += [f"  - Why here: {escape('; '.join(note.reasons))}"] if note.reasons else []
    lines += [f"  - Not sure: {escape(doubt)}" for doubt in note.doubts]
    if note.done:
        lines.append(f"  - Done {escape(note.done.at)}: {escape(note.done.comment)}".rstrip(": "))
    return lines


def _earlier(sheet: Sheet) -> list[str]:
    lines = ["", "## From last time"] if sheet.earlier else []
    for outcome in earlier_lines(sheet):
        lines += ["", f"### {outcome.title}", ""]
        for action, about in outcome.notes:
            lines += [f"- {escape(action)}", *(f"  - {escape(line)}" for line in about)]
    return lines


def _repairs(sheet: Sheet) -> list[str]:
    lines = [words.repair_line(repair) for repair in sheet.transcript.repairs]
    if not lines:
        return []
    listed = [f"- {time} heard “{escape(raw)}”, read as “{escape(text)}”" for time, raw, text in lines]
    return ["", "## Misheard words put right", "", *listed]
