"""Seconds that the language and notes stages take for a ten-minute transcript, after loading, and peak memory.

python tests/bench/language.py
"""

import resource
import sys
import time
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "eval"))

from critiques import HELD_OUT, critique

from critsheet import vocabulary
from critsheet.notes import find_notes
from critsheet.sheet import Segment, Transcript, Word

MINUTES = 10
RUNS = 5


def ten_minutes() -> Transcript:
    """Held-out critiques one after another until ten minutes are full."""
    segments: list[Segment] = []
    offset = 0.0
    for path in sorted(HELD_OUT.glob("*.md")):
        for segment in critique(path).transcript.segments:
            if offset + segment.end > MINUTES * 60:
                return Transcript(language="en", segments=tuple(segments))
            segments.append(_moved(segment, offset))
        offset = segments[-1].end
    raise SystemExit("The held-out critiques are shorter than ten minutes.")


def _moved(segment: Segment, by_s: float) -> Segment:
    words = tuple(Word(start=word.start + by_s, end=word.end + by_s, text=word.text) for word in segment.words)
    return Segment(start=segment.start + by_s, end=segment.end + by_s, text=segment.text, words=words)


def main() -> None:
    """Print the median of several runs."""
    begun = time.perf_counter()
    pack = vocabulary.load()
    transcript, shot, names = ten_minutes(), critique(next(HELD_OUT.glob("*.md"))).shot, ("Nib", "Gam")
    find_notes(transcript, pack, shot, names)
    loading_s = time.perf_counter() - begun
    times = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        notes, _ = find_notes(transcript, pack, shot, names)
        times.append(time.perf_counter() - begun)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    words = len(transcript.words)
    print(f"language and notes, {MINUTES} minutes of talk, {words} words, {len(notes)} notes")
    print(f"  first run with loading {loading_s:.2f} s; then median of {RUNS}: {median(times):.2f} s")
    print(f"  peak memory {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
