"""However a batch ends, the next one goes on: nothing is lost, doubled or half-written."""

import os
import random
import signal
import time
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest
from quick_batch import run, write_talks

from critsheet.sheet import load

KILLS = 50
TALKS = 6
LONGEST_S = 1.0
"""About what a batch of so many talks takes."""
_processes = get_context("forkserver")
_processes.set_forkserver_preload(["quick_batch"])


def started(*arguments: object) -> BaseProcess:
    process = _processes.Process(target=run, args=[str(argument) for argument in arguments])
    with pytest.MonkeyPatch.context() as patch:
        # The server that copies processes finds what to load beforehand here.
        patch.setenv("PYTHONPATH", str(Path(__file__).parent))
        process.start()
    return process


def check_whole(out: Path, names: list[str]) -> None:
    sheets = [load(out / name / "sheet.json") for name in names]
    assert len({sheet.review.recording.sha256 for sheet in sheets}) == len(names)
    assert all((out / name / "sheet.html").read_text().rstrip().endswith("</html>") for name in names)
    assert {path.parent.relative_to(out).as_posix() for path in out.rglob("sheet.json")} == set(names)
    assert not list(out.rglob(".critsheet-*"))
    assert not list(out.rglob(".sheet*"))


def test_killed_at_fifty_moments_it_still_ends_whole(tmp_path: Path) -> None:
    chance = random.Random(11)
    names = write_talks(tmp_path / "talks", TALKS)
    seen: set[int] = set()
    for kill in range(KILLS):
        out = tmp_path / f"out{kill % 5}"
        process = started("batch", tmp_path / "talks", "--out", out, "--quiet")
        time.sleep(chance.uniform(0.0, LONGEST_S))
        process.kill()
        process.join()
        made = list(out.rglob("sheet.json"))
        seen.add(len(made))
        for path in made:
            load(path)
    for place in range(5):
        last = started("batch", tmp_path / "talks", "--out", tmp_path / f"out{place}", "--quiet")
        last.join()
        assert last.exitcode == 0
        check_whole(tmp_path / f"out{place}", names)
    assert len(seen) > 3, "the kills did not come at different moments"


def test_stopped_with_ctrl_c_it_says_what_is_made(tmp_path: Path) -> None:
    write_talks(tmp_path / "talks", 3)
    process = started("batch", tmp_path / "talks", "--out", tmp_path / "out", "--watch")
    deadline = time.monotonic() + 20
    while len(list((tmp_path / "out").rglob("sheet.json"))) < 3 and time.monotonic() < deadline:
        time.sleep(0.05)
    time.sleep(0.3)
    assert process.pid
    os.kill(process.pid, signal.SIGINT)
    process.join()
    assert process.exitcode == 130
    assert (tmp_path / "out/batch.csv").read_text("utf-8-sig").count('"made"') == 3


def test_two_batches_at_once_make_every_sheet_once(tmp_path: Path) -> None:
    names = write_talks(tmp_path / "talks", TALKS)
    both = [started("batch", tmp_path / "talks", "--out", tmp_path / "out", "--quiet") for _ in range(2)]
    for process in both:
        process.join()
    assert [process.exitcode for process in both] == [0, 0]
    check_whole(tmp_path / "out", names)


def test_a_watched_folder_is_worked_through_as_files_come(tmp_path: Path) -> None:
    write_talks(tmp_path / "talks", 1)
    process = started("batch", tmp_path / "talks", "--out", tmp_path / "out", "--watch", "--quiet")
    wait_for(lambda: len(list((tmp_path / "out").rglob("sheet.json"))) == 1)
    write_talks(tmp_path / "talks", 2)
    wait_for(lambda: len(list((tmp_path / "out").rglob("sheet.json"))) == 2)
    process.kill()
    process.join()


def wait_for(condition: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 30
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.05)
