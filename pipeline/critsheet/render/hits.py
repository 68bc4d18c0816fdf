"""What a search found, in the terminal and as JSON."""

import json
from collections.abc import Iterator
from dataclasses import asdict

from rich.console import Console
from rich.style import Style
from rich.text import Text

from critsheet.archive.links import page_link, recording_link
from critsheet.archive.marking import Marked
from critsheet.archive.searching import Found, Hit
from critsheet.render.terminal import MAX_COLUMNS, MIN_COLUMNS
from critsheet.render.words import clock, plain, span

_INDENT = 4
_MATCH = "bold yellow"
_DAY = len("2026-01-31")


def print_found(found: Found, console: Console) -> None:
    """Print the hits on `console`, the match marked; on paper and in pipes between *asterisks*."""
    width = max(MIN_COLUMNS, min(console.width, MAX_COLUMNS))
    console.print(Text(headline(found), style="bold"), soft_wrap=True)
    loosely = False
    for number, hit in enumerate(found.hits, 1):
        if hit.loose and not loosely and found.total:
            console.print(Text("\nThese have some of the words:", style="bold"), soft_wrap=True)
        loosely = hit.loose
        console.print()
        lead = str(number)
        for text in _lines(hit, stars=not console.is_terminal):
            for line in text.wrap(console, width - _INDENT) or [text]:
                line.rstrip()
                console.print(Text(f"{lead:>{_INDENT - 1}} ", style="bold").append_text(line), soft_wrap=True)
                lead = ""


def headline(found: Found) -> str:
    """How many notes there are, in a sentence."""
    if found.many:
        return f"More than {found.total:,} notes have this: the best of those filed last. Add a word to narrow it down."
    if found.total == 0:
        return "No note has all of this; these have some of the words." if found.hits else "No note has this."
    shown = sum(not hit.loose for hit in found.hits)
    best = f"; here are the best {shown}" if shown < found.total else ""
    return f"{found.total:,} {'note has' if found.total == 1 else 'notes have'} this{best}."


def to_json(found: Found) -> str:
    """The hits for other programs, ending in a newline; spans are letters, start and end, end exclusive."""
    hits = [{**asdict(hit), "recording_link": recording_link(hit), "page_link": page_link(hit)} for hit in found.hits]
    return json.dumps({"total": found.total, "many": found.many, "hits": hits}, ensure_ascii=False, indent=1) + "\n"


def _lines(hit: Hit, *, stars: bool) -> Iterator[Text]:
    yield _marked(hit.action, stars, "bold")
    if hit.quote.text:
        yield (
            Text("“", style="italic")
            .append_text(_marked(hit.quote.around(), stars, "italic"))
            .append("”", style="italic")
        )
    frames = ", ".join(span(first, last) for first, last in hit.frames)
    facts = [hit.category, hit.status, f"frames {frames}" if frames else ""]
    yield Text(" · ".join(fact for fact in facts if fact), style="cyan")
    whose = [
        hit.title,
        hit.student or "",
        f"submission {hit.submission}" if hit.submission else "",
        f"from {hit.mentor}" if hit.mentor else "",
        hit.class_ or "",
        hit.made[:_DAY],
    ]
    yield Text(" · ".join(plain(each) for each in whose if each), style="dim")
    yield _where(hit)


def _where(hit: Hit) -> Text:
    """The second in the recording and the sheet, both to be clicked where the terminal can."""
    page, heard = page_link(hit), recording_link(hit)
    text = Text(f"sheet {hit.number}", style=Style(link=page) if page else "")
    if hit.start is not None:
        spot = Text(f"{clock(hit.start)} in {plain(hit.recording)}", style=Style(link=heard) if heard else "")
        text.append(" · ").append_text(spot)
    return text


def _marked(marked: Marked, stars: bool, style: str) -> Text:
    text, at = Text(), 0
    for start, end in marked.spans:
        text.append(marked.text[at:start], style=style)
        match = marked.text[start:end]
        text.append(f"*{match}*" if stars else match, style=f"{style} {_MATCH}")
        at = end
    return text.append(marked.text[at:], style=style)
