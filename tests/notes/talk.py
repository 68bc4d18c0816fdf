"""Invented talk as a transcript, a word every 0.3 s."""

from critsheet.sheet import Segment, Transcript, Word

SECONDS_A_WORD = 0.3
BETWEEN_SENTENCES_S = 0.5
BETWEEN_PARAGRAPHS_S = 2.0


def spoken(text: str) -> Transcript:
    """Each line of a paragraph one segment; an empty line is a long pause."""
    segments: list[Segment] = []
    at = 0.0
    for paragraph in text.strip().split("\n\n"):
        for line in paragraph.strip().splitlines():
            words = []
            for word in line.split():
                words.append(Word(start=round(at, 2), end=round(at + SECONDS_A_WORD, 2), text=word))
                at += SECONDS_A_WORD
            segments.append(
                Segment(start=words[0].start, end=words[-1].end, text=" ".join(line.split()), words=tuple(words))
            )
            at += BETWEEN_SENTENCES_S
        at += BETWEEN_PARAGRAPHS_S
    return Transcript(language="en", segments=tuple(segments))
