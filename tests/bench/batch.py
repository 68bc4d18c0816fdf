"""Seconds that a batch of spoken recordings takes with one worker and with two, one thread each.

python tests/bench/batch.py
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLES = Path(__file__).resolve().parents[2] / "sample_audio"
COPIES = 3
"""Of each sample, each cut a little otherwise, so that nothing heard before helps."""


def main() -> None:
    """Print both times and their ratio."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        count = write_recordings(place / "talks")
        # Loading the speech model for the first time joins its parts; that is no part of a batch.
        batch(place, "warm", 1, [next((place / "talks").iterdir())])
        one, two = batch(place, "one", 1), batch(place, "two", 2)
    print(f"batch of {count} recordings, one thread a worker")
    print(f"  one worker {one:.1f} s, two workers {two:.1f} s: {one / two:.2f} times as fast")


def write_recordings(folder: Path) -> int:
    """Copies of the samples, each of another length."""
    import av

    folder.mkdir()
    count = 0
    for sample in sorted(SAMPLES.glob("*.opus")):
        for copy in range(COPIES):
            with av.open(str(sample)) as source, av.open(str(folder / f"{sample.stem}-{copy}.wav"), "w") as target:
                stream = target.add_stream("pcm_s16le", rate=16_000, layout="mono")
                resampler = av.AudioResampler("s16", "mono", 16_000)
                for frame in source.decode(audio=0):
                    if frame.time is not None and frame.time < copy * 0.5:
                        continue
                    for part in resampler.resample(frame):
                        part.pts = None
                        target.mux(stream.encode(part))
            count += 1
    return count


def batch(place: Path, name: str, workers: int, only: list[Path] | None = None) -> float:
    """Seconds of one batch with a cache of its own, the start of the program included."""
    tree = place / "talks"
    if only:
        tree = place / "only"
        tree.mkdir()
        (tree / only[0].name).symlink_to(only[0])
    single = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
    heard = {"XDG_CACHE_HOME": str(place / "cache")} | single
    command = [sys.executable, "-c", "from critsheet.cli import main; main()", "batch", str(tree), "--quiet"]
    begun = time.perf_counter()
    subprocess.run(
        [*command, "--out", str(place / name), "--workers", str(workers)], check=True, env=os.environ | heard
    )
    seconds = time.perf_counter() - begun
    for kept in (place / "cache" / "critsheet").glob("heard*"):
        subprocess.run(["rm", "-rf", str(kept)], check=True)
    return seconds


if __name__ == "__main__":
    main()
