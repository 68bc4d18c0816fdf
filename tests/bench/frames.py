"""How well and how fast the shot's frames are found on recorded screens, scenario by scenario.

    python tests/bench/frames.py [WORD ...]

renders recordings with a known playhead (kept in the cache between runs) and prints for each how many moments were
right, exactly and within one and two frames; a frame of the same held drawing, or a repeat of the picture, is exact.
Words choose scenarios by name. Without words a ten-minute review is timed against bare decoding as well.
"""

import hashlib
import json
import subprocess
import sys
import time
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "frames"))

import av
from clips import CACHE, CLIPS, Clip, write
from scenarios import Scenario, cases, render

from critsheet.frames.matching import match_pictures
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead
from critsheet.media.pictures import open_film

HELPERS = Path(__file__).resolve().parents[1] / "frames"
AIMS = {"plain": 0.97, "drawn over": 0.95, "zoom, harsh": 0.85}
"""The share of moments within one frame."""
SURE, HONEST, FALSE_SOME = 0.9, 0.98, 0.01
LIMIT_S, REVIEW_S = 60.0, 600.0
LONG_FROM = ("usual", "drawn over", "elsewhere", "usual", "drawn over", "zoom, then play")


@dataclass
class Score:
    """Counts of moments."""

    present: int = 0
    absent: int = 0
    exact: int = 0
    within_one: int = 0
    within_two: int = 0
    false_none: int = 0
    false_some: int = 0
    sure: int = 0
    sure_right: int = 0

    def add(self, other: "Score") -> None:
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)

    def told(self) -> str:
        def share(part: int, whole: int) -> str:
            return f"{100 * part / whole:6.1f}" if whole else "     –"

        return " ".join(
            (
                share(self.exact, self.present),
                share(self.within_one, self.present),
                share(self.within_two, self.present),
                share(self.false_none, self.present),
                share(self.false_some, self.absent),
                share(self.sure_right, self.sure),
                share(self.sure, self.present),
            )
        )


HEADER = f"{'':30} exact  in 1   in 2   f.none f.some sure ok  sure    ×decoding  ×real time"


def scored(playhead: Playhead, truth: list[int | None], held: list[tuple[int, int]]) -> Score:
    """Each moment against the truth; for repeats the nearest of the spans counts."""
    score = Score()
    for showing, true in zip(playhead.showings, truth, strict=True):
        sure = showing.confidence > SURE and bool(showing.spans)
        score.sure += sure
        if true is None:
            score.absent += 1
            score.false_some += bool(showing.spans)
            continue
        score.present += 1
        low, high = held[true]
        away = min((max(0, first - high, low - last) for first, last in showing.spans), default=None)
        score.false_none += away is None
        if away is not None:
            score.exact += away == 0
            score.within_one += away <= 1
            score.within_two += away <= 2
            score.sure_right += sure and away <= 2
    return score


def matched(recording: Path, shot: Path) -> tuple[Playhead, float, float]:
    """The playhead, the seconds of processor time it took, and those that bare decoding takes."""
    begun = time.process_time()
    for _ in open_film(recording).pictures():
        pass
    decoded = time.process_time()
    playhead = match_pictures(recording, shot, 0, lambda stage, share: None)
    return playhead, time.process_time() - decoded, decoded - begun


def folder() -> Path:
    """Where the rendered recordings are kept; a change to what renders them makes a new folder."""
    code = b"".join((HELPERS / name).read_bytes() for name in ("clips.py", "reviews.py", "scenarios.py"))
    path = CACHE / f"reviews-{hashlib.sha256(code).hexdigest()[:12]}"
    path.mkdir(parents=True, exist_ok=True)
    return path


def files(clip: Clip, scenario: Scenario) -> tuple[Path, Path, list[int | None]]:
    """The shot, the recording and the truth."""
    shot = folder() / f"{clip.name}.mp4"
    if not shot.exists():
        write(clip, shot)
    name = f"{clip.name}-{scenario.name.replace(', ', ' ').replace(' ', '-')}.mp4"
    recording, truth = render(clip, scenario, folder() / name)
    return shot, recording, truth


def measure(words: list[str]) -> bool:
    """Print every chosen scenario and the groups; whether all aims are met."""
    clips: dict[str, Clip] = {}
    groups: defaultdict[str, Score] = defaultdict(Score)
    print(HEADER)
    for name, scenario in cases():
        title = f"{name}: {scenario.name}"
        if words and not any(word in title for word in words):
            continue
        clip = clips.setdefault(name, CLIPS[name]())
        shot, recording, truth = files(clip, scenario)
        playhead, took_s, decoding_s = matched(recording, shot)
        score = scored(playhead, truth, clip.held)
        groups[scenario.group].add(score)
        length_s = len(truth) / SAMPLES_A_SECOND
        print(f"{title:30}{score.told()} {took_s / decoding_s:10.1f} {took_s / length_s:10.2f}", flush=True)
    total, met = Score(), True
    for group, score in groups.items():
        reached = score.within_one / max(1, score.present)
        met &= reached >= AIMS[group]
        total.add(score)
        print(f"{group:30}{score.told()}  aim {100 * AIMS[group]:.0f} within one")
    print(f"{'all':30}{total.told()}")
    honest = total.sure_right >= HONEST * total.sure
    return met and honest and total.false_some <= FALSE_SOME * max(1, total.absent)


def ten_minutes(seconds: float) -> tuple[Path, Path]:
    """A long review of the film, strung together from the scenarios without coding again; and its shot."""
    clip = CLIPS["film"]()
    by_name = {scenario.name: scenario for name, scenario in cases() if name == "film"}
    parts = [files(clip, by_name[name]) for name in LONG_FROM]
    path = folder() / f"long-{seconds:.0f}.mp4"
    if not path.exists():
        with av.open(str(path), "w") as out:
            _string_together(out, [recording for _, recording, _ in parts], seconds)
    return parts[0][0], path


def _string_together(out: "av.container.OutputContainer", parts: list[Path], seconds: float) -> None:
    stream, start, number = None, 0, 0
    while stream is None or start * stream.time_base < Fraction(seconds):
        with av.open(str(parts[number % len(parts)])) as part:
            source = part.streams.video[0]
            if stream is None:
                stream = out.add_stream_from_template(source)
                stream.time_base = source.time_base
            end = start
            for packet in part.demux(source):
                if packet.dts is not None:
                    packet.stream = stream
                    packet.pts, packet.dts = packet.pts + start, packet.dts + start
                    end = max(end, packet.pts + packet.duration)
                    out.mux(packet)
        start, number = end, number + 1


def timed(shot: Path, recording: Path) -> dict[str, float]:
    """Seconds and memory of one run in a process of its own."""
    command = [sys.executable, __file__, "--time", str(shot), str(recording)]
    return json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)


def time_one(shot: Path, recording: Path) -> None:
    """Print wall time, processor time, bare decoding and peak memory as JSON."""
    begun = time.perf_counter()
    for _ in open_film(recording).pictures():
        pass
    decoded, busy = time.perf_counter(), time.process_time()
    match_pictures(recording, shot, 1, lambda stage, share: None)
    ended = time.perf_counter()
    status = Path("/proc/self/status").read_text()  # unlike getrusage, it leaves out what the parent process held
    memory = int(status.split("VmHWM:")[1].split()[0]) / 1024
    figures = {"decoding": decoded - begun, "wall": ended - decoded, "busy": time.process_time() - busy}
    print(json.dumps({**figures, "memory": memory}))


def main() -> int:
    """1 where an aim is missed."""
    if sys.argv[1:2] == ["--time"]:
        time_one(Path(sys.argv[2]), Path(sys.argv[3]))
        return 0
    met = measure(sys.argv[1:])
    if sys.argv[1:]:
        return int(not met)
    short, long = timed(*ten_minutes(REVIEW_S / 5)), timed(*ten_minutes(REVIEW_S))
    print(
        f"a review of {REVIEW_S / 60:.0f} minutes: {long['wall']:.0f} s ({long['busy']:.0f} s of processor time; "
        f"bare decoding {long['decoding']:.0f} s), limit {LIMIT_S:.0f} s; peak memory {long['memory']:.0f} MB, "
        f"for {REVIEW_S / 300:.0f} minutes {short['memory']:.0f} MB"
    )
    return int(not met or long["wall"] > LIMIT_S)


if __name__ == "__main__":
    sys.exit(main())
