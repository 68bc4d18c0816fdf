"""Times listening to an eight-minute recording against faster-whisper alone with the same settings, and its memory.

    python tests/bench/speech.py [RECORDING]

Without a recording, real speech from Debian's asterisk-core-sounds-en-wav is strung together, else the demo's
critiques. Each run has a process of its own; the two ways take turns, and the median of the ratios counts.
"""

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import wave
from pathlib import Path

SECONDS = 480
ROUNDS = 3
LIMIT = 1.10
CLIPS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
SAMPLES = Path(__file__).parents[2] / "sample_audio"
RATE = 8000
PAUSE_S = 0.7


def alone(recording: Path) -> None:
    """faster-whisper by itself: its own decoding and voice-activity filter, the stage's other settings."""
    from faster_whisper import WhisperModel

    from critsheet.speech import catalogue
    from critsheet.speech.recogniser import BEAM_SIZE

    model = WhisperModel(str(catalogue.folder_of(catalogue.DEFAULT_MODEL)), device="cpu", compute_type="int8")
    segments, _ = model.transcribe(
        str(recording), language="en", beam_size=BEAM_SIZE, temperature=0.0, word_timestamps=True, vad_filter=True
    )
    print(f"{sum(len(segment.words or []) for segment in segments)} words", file=sys.stderr)


def critsheet(recording: Path) -> None:
    """The whole speech stage, nothing in its cache but the weights."""
    from critsheet.speech import SpeechOptions, transcribe

    transcript = transcribe(recording, SpeechOptions(), lambda share: None)
    print(f"{len(transcript.words)} words", file=sys.stderr)


def measured(way: str, recording: Path) -> dict[str, float]:
    """Seconds and peak memory (MB) of one way in a fresh process with an empty cache of transcripts."""
    with tempfile.TemporaryDirectory() as cache:
        from critsheet.speech.store import cache_folder

        (Path(cache) / "critsheet").mkdir()
        (Path(cache) / "critsheet" / "models").symlink_to(cache_folder() / "models")
        result = subprocess.run(
            [sys.executable, __file__, "--way", way, str(recording)],
            env={**os.environ, "XDG_CACHE_HOME": cache},
            stdout=subprocess.PIPE,
            check=True,
        )
    return json.loads(result.stdout)


def told(run: dict[str, float]) -> str:
    """One run in words."""
    return f"{run['wall']:.1f} s ({run['busy']:.1f} s of processor time, {run['memory']:.0f} MB)"


def long_recording(folder: Path) -> Path:
    """Eight minutes of recorded speech with pauses between the sentences."""
    clips = sorted(CLIPS.glob("*.wav"), key=lambda path: (-path.stat().st_size, path.name))
    if not clips:
        return max(SAMPLES.glob("*.opus"), key=lambda path: path.stat().st_size)
    path = folder / "long.wav"
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, RATE, 0, "NONE", "not compressed"))
        while out.tell() < SECONDS * RATE:
            with wave.open(str(clips.pop(0)), "rb") as clip:
                out.writeframes(clip.readframes(clip.getnframes()) + bytes(2 * round(PAUSE_S * RATE)))
    return path


def main() -> int:
    """Prints each round and the ratio; 1 where the ratio is above LIMIT."""
    if sys.argv[1:2] == ["--way"]:
        started, busy = time.perf_counter(), time.process_time()
        {"alone": alone, "critsheet": critsheet}[sys.argv[2]](Path(sys.argv[3]))
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        times = {"wall": time.perf_counter() - started, "busy": time.process_time() - busy}
        print(json.dumps({**times, "memory": memory}))
        return 0
    from critsheet.speech import catalogue

    catalogue.folder_of(catalogue.DEFAULT_MODEL)
    ratios = []
    with tempfile.TemporaryDirectory() as folder:
        recording = Path(sys.argv[1]) if len(sys.argv) > 1 else long_recording(Path(folder))
        for number in range(ROUNDS):
            ours, theirs = measured("critsheet", recording), measured("alone", recording)
            ratios.append(ours["busy"] / theirs["busy"])
            print(f"round {number + 1}: critsheet {told(ours)}; faster-whisper alone {told(theirs)}", flush=True)
    ratio = statistics.median(ratios)
    print(f"ratio {ratio:.3f} of processor time, limit {LIMIT:.2f}")
    return int(ratio > LIMIT)


if __name__ == "__main__":
    sys.exit(main())
