"""An invented talk as captions, as a recogniser would give it, and as quick notes."""

import math
import struct
import wave
from pathlib import Path

from critsheet.sheet import Moment, Note, Segment, Shot, Transcript, Word

SENTENCE = "Delay the head a little."

TALK = """WEBVTT

00:01.000 --> 00:04.000
The hips stop dead at 142.

00:05.000 --> 00:09.000
Let them settle two frames later.
"""


def one_note_a_caption(
    transcript: Transcript, vocabulary: object, shot: Shot, names: tuple[str, ...]
) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    notes = tuple(
        Note(
            id=f"n{rank}",
            kind="fix",
            category="overlap",
            moments=(Moment(start=said.start, end=said.end, quote=said.text),),
            action=said.text,
            rank=rank,
        )
        for rank, said in enumerate(transcript.segments, 1)
    )
    return notes, tuple(note.id for note in notes[:1])


def heard(*args: object) -> Transcript:
    """What the recogniser would give for the sound of the talk."""
    words = tuple(Word(start=i / 2, end=i / 2 + 0.4, text=text) for i, text in enumerate(SENTENCE.split()))
    return Transcript(language="en", segments=(Segment(start=0, end=2.4, text=SENTENCE, words=words),))


def write_tone(path: Path, seconds: int, pitch_hz: int = 110) -> None:
    rate = 8000
    samples = (int(8000 * math.sin(2 * math.pi * pitch_hz * i / rate)) for i in range(seconds * rate))
    with wave.open(str(path), "wb") as sound:
        sound.setparams((1, 2, rate, 0, "NONE", "not compressed"))
        sound.writeframes(b"".join(struct.pack("<h", sample) for sample in samples))
