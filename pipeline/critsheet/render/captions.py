"""The transcript as captions: WebVTT (W3C Candidate Recommendation, 4 April 2019)."""

import textwrap
from collections.abc import Sequence

from critsheet.render.webvtt import Cue, document
from critsheet.render.words import plain
from critsheet.sheet import Transcript, Word

LINE_CHARACTERS = 42
"""A caption line that most players show unbroken; broadcasters ask for 37 to 42."""
MAX_LINES = 2
PAUSE_S = 1.2
"""A silence after which new words start a new caption: reading on would run ahead of the voice."""
MIN_CUE_S = 0.3
"""One word cannot be read in less (BBC Subtitle Guidelines, section 4: about 0.3 s a word)."""
REACH = 0.5
"""How far from the middle, as a share of half a sentence, a cut may lie to fall where the voice rests."""
BREATH_S = 0.3
"""Gaps within a phrase are shorter than this."""
_COMMAS = (",", ";", ":")
_SENTENCE_END = (".", "?", "!")


def to_webvtt(transcript: Transcript) -> str:
    """The transcript as a WebVTT document: cues in order, of at most two lines, never overlapping."""
    cues = [_cue(group) for group in _groups(transcript.words)]
    cues = sorted((cue for cue in cues if cue.lines), key=lambda cue: (cue.start_ms, cue.end_ms))
    shown = []
    free_ms = 0
    for place, cue in enumerate(cues):
        start_ms = max(cue.start_ms, free_ms)
        next_ms = cues[place + 1].start_ms if place + 1 < len(cues) else cue.end_ms
        # Words that share one time leave no room, yet a cue must end after it starts (WebVTT, section 4.1).
        free_ms = max(min(cue.end_ms, next_ms), start_ms + 1)
        shown.append(Cue(start_ms, free_ms, cue.lines))
    return document(shown)


def _groups(spoken: Sequence[Word]) -> list[list[Word]]:
    """The words in captions: whole sentences where they fit, else sentences cut evenly.

    Segments don't count: a recogniser starts them wherever it likes, also within a sentence.
    """
    groups: list[list[Word]] = []
    for sentence in _sentences(spoken):
        last = groups[-1] if groups else []
        near = bool(last) and sentence[0].start - last[-1].end <= PAUSE_S
        if near and len(_lines([*last, *sentence])) <= MAX_LINES:
            last += sentence
        else:
            groups += _halved(sentence)
    return groups


def _sentences(spoken: Sequence[Word]) -> list[list[Word]]:
    sentences: list[list[Word]] = []
    for word in spoken:
        last = sentences[-1] if sentences else []
        if not last or last[-1].text.endswith(_SENTENCE_END) or word.start - last[-1].end > PAUSE_S:
            sentences.append([word])
        else:
            last.append(word)
    return sentences


def _halved(sentence: list[Word]) -> list[list[Word]]:
    """A sentence in pieces that fit, cut near the middle, after a comma or a breath where there is one."""
    if len(_lines(sentence)) <= MAX_LINES or len(sentence) == 1:
        return [sentence]
    middle = len(sentence) / 2
    reach = range(1 + int(middle * (1 - REACH)), len(sentence) - int(middle * (1 - REACH)))

    def worth(cut: int) -> tuple[bool, float]:
        before, after = sentence[cut - 1], sentence[cut]
        rests = before.text.endswith(_COMMAS) or after.start - before.end >= BREATH_S
        return rests, -abs(cut - middle)

    cut = max(reach, key=worth)
    return [*_halved(sentence[:cut]), *_halved(sentence[cut:])]


def _lines(spoken: list[Word], width: int = LINE_CHARACTERS) -> list[str]:
    text = plain(" ".join(word.text for word in spoken))
    return textwrap.wrap(text, width, break_on_hyphens=False)


def _cue(group: list[Word]) -> Cue:
    start = min(word.start for word in group)
    end = max(*(word.end for word in group), start + MIN_CUE_S)
    lines = _lines(group)
    # Two lines of about one length: no word hangs alone under a full line.
    for width in range(LINE_CHARACTERS // 2, LINE_CHARACTERS if len(lines) > 1 else 0):
        if len(even := _lines(group, width)) == len(lines):
            lines = even
            break
    return Cue(round(start * 1000), round(end * 1000), tuple(lines))
