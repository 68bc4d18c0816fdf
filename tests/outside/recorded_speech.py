"""Recorded human speech with its text, from Debian packages; tests that need it fail in CI where it is missing.

asterisk-core-sounds-en-wav and asterisk-core-sounds-en 1.6.1 (Allison Smith, Digium; CC-BY-SA-3.0), 8 kHz.
pocketsphinx-testdata 0.8 (LibriVox readers; public domain), 16 kHz.
"""

import gzip
import os
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

PROMPTS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
PROMPT_TEXTS = Path("/usr/share/doc/asterisk-core-sounds-en/core-sounds-en.txt.gz")
READINGS = Path("/usr/share/pocketsphinx/test/data/librivox")


@dataclass(frozen=True)
class Clip:
    """A recording and the words said in it."""

    path: Path
    text: str


def prompts(least_words: int) -> list[Clip]:
    """Telephone prompts of at least so many words, without those that describe sounds in brackets."""
    _need(PROMPTS, "asterisk-core-sounds-en-wav asterisk-core-sounds-en")
    texts = gzip.decompress(PROMPT_TEXTS.read_bytes()).decode()
    entries = (line.split(": ", 1) for line in texts.splitlines() if ": " in line and not line.startswith(";"))
    clips = [Clip(PROMPTS / f"{name}.wav", text) for name, text in entries if "[" not in text]
    return [clip for clip in clips if len(clip.text.split()) >= least_words and clip.path.exists()]


def readings() -> list[Clip]:
    """Five sentences of a novel, read aloud."""
    _need(READINGS, "pocketsphinx-testdata")
    lines = re.findall(r"<s> (.*) </s> \((.*)\)", (READINGS / "transcription").read_text())
    return [Clip(READINGS / f"{name}.wav", text) for text, name in lines]


def _need(folder: Path, packages: str) -> None:
    if folder.is_dir():
        return
    reason = f"recorded speech is missing: apt-get install {packages}"
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)
