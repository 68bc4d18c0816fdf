"""A sheet in which every text that people say or type is meant to do harm: as formula, markup, header or flood."""

from critsheet.sheet import Done, FrameRange, Moment, Note, Recording, Review, Segment, Sheet, Shot, Transcript, Word

HOSTILE = (
    '=HYPERLINK("http://e.example","x")',
    "=1+1",
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "＝1+1",
    "\t=1+1",
    "\r\n=1+1",
    'a";=1+1;"b',
    "nul\x00in it",
    "bell\x07\x1b[31mred",
    "\u202etxt.exe\u202c and \u2066so\u2069 on",
    "x" * 10_000,
    "word " * 2_000,
    "é" * 10_000,
    "a\r\nEND:VTODO\r\nBEGIN:VEVENT\r\nSUMMARY:b",
    "a\n\n00:00.000 --> 00:09.000\nmine",
    "; , : \\n \\, \\; ^n",
    "a\u2028b\u2029c\x85d\x0be",
    "<script>alert(1)</script>",
    '"><img src="http://e.example/p.png" onerror=alert(1)>',
    "{{7*7}} {% raw %}",
    "- [ ] # *a* _b_ [c](http://e.example) | d |",
    "_x0041_ _x000D_",
    "\ufffe\uffff\ufdd0",
    "👩‍👩‍👧 🦴 ﷽ e\u0301",
    "From here on",
    ".",
    "-- ",
)
"""OWASP, "CSV Injection", for the formulas; the grammar of each format for the rest."""


def hostile_sheet() -> Sheet:
    """A note a text, with the text wherever a note or its sheet takes one."""
    notes = tuple(_note(number, text) for number, text in enumerate(HOSTILE, start=1))
    every = " ".join(text[:200] for text in HOSTILE)
    return Sheet(
        id=f"s1{HOSTILE[-4]}\r\nX-A:b",
        made="2026-01-31T10:00:00Z",
        review=Review(
            title=every, mentor=every, student=every, recording=Recording(file=every, sha256="0" * 64, duration=90)
        ),
        shot=Shot(first=1, last=90, name=every, file=every),
        settings={every: every},
        transcript=Transcript(
            language="en",
            segments=tuple(
                Segment(start=at, end=at + 1, text=text, words=(Word(start=at, end=at + 1, text=text, raw=text),))
                for at, text in enumerate(HOSTILE)
            ),
        ),
        notes=notes,
        top=(notes[0].id,),
        doubts=HOSTILE,
    )


def _note(number: int, text: str) -> Note:
    return Note(
        id=f"n{number}{text[:40]}",
        kind=("fix", "plan", "fix", "keep")[number % 4],
        category="arcs",
        subject=text,
        moments=(Moment(start=number, end=number + 0.5, quote=text),),
        frames=(FrameRange(first=number, last=number + 1),),
        action=text,
        rank=number,
        reasons=(text,),
        doubts=(text,),
        done=Done(at=text if number % 2 else "2026-02-03T09:30:00+01:00", comment=text) if number % 3 else None,
    )
