"""However a batch ends, the next one goes on: nothing is lost, doubled or half-written."""

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from multiprocessing import get_context
from multiprocessing.process import BaseProcess
from pathlib import Path

import psutil
import pytest
from quick_batch import run, write_talks

from critsheet.sheet import load

KILLS = 50
KILLS_EACH = 5
"""Of one batch, each started again where the one before was killed."""
TALKS = 6
LONGEST_S = 0.2
"""A moment within the work on one talk, or on one more, or in the start of the program."""
_processes = get_context("forkserver")
_processes.set_forkserver_preload(["quick_batch"])


def started(*arguments: object) -> BaseProcess:
    process = _processes.Process(target=run, args=[str(argument) for argument in arguments])
    with pytest.MonkeyPatch.context() as patch:
        # The server that copies processes finds what to load beforehand here.
        patch.setenv("PYTHONPATH", str(Path(__file__).parent))
        process.start()
    return process


def _has(out: Path, count: int) -> bool:
    return made_in(out) >= count


def made_in(out: Path) -> int:
    return len(list(out.rglob("sheet.json")))


def check_whole(out: Path, names: list[str]) -> None:
    sheets = [load(out / name / "sheet.json") for name in names]
    assert len({sheet.review.recording.sha256 for sheet in sheets}) == len(names)
    assert all((out / name / "sheet.html").read_text().rstrip().endswith("</html>") for name in names)
    assert {path.parent.relative_to(out).as_posix() for path in out.rglob("sheet.json")} == set(names)
    assert not list(out.rglob(".critsheet-*"))
    assert not list(out.rglob(".sheet*")) and not list(out.glob(".batch.csv.*"))
    assert not list((out / ".batch").glob(".*.json.*"))


def test_killed_at_fifty_moments_it_still_ends_whole(tmp_path: Path) -> None:
    chance = random.Random(11)
    names = write_talks(tmp_path / "talks", TALKS)
    for place in range(KILLS // KILLS_EACH):
        out = tmp_path / f"out{place}"
        for done in sorted(chance.choices(range(TALKS), k=KILLS_EACH)):
            process = started("batch", tmp_path / "talks", "--out", out, "--quiet")
            wait_for(partial(_has, out, done))
            time.sleep(chance.uniform(0.0, LONGEST_S))
            process.kill()
            process.join()
            for path in out.rglob("sheet.json"):
                load(path)
        last = started("batch", tmp_path / "talks", "--out", out, "--quiet")
        last.join()
        assert last.exitcode == 0
        check_whole(out, names)


def test_killed_with_workers_none_goes_on_without_it_and_the_next_ends_whole(tmp_path: Path) -> None:
    names, out = write_talks(tmp_path / "talks", 60), tmp_path / "out"
    # Not by the server, in whose copies no workers can be started.
    command = [sys.executable, "-c", "from critsheet.cli import main; main()", "batch", str(tmp_path / "talks")]
    process = subprocess.Popen([*command, "--out", str(out), "--workers", "2", "--quiet"])
    wait_for(lambda: made_in(out) > 0)
    workers = psutil.Process(process.pid).children(recursive=True)
    process.kill()
    process.wait()
    assert len(workers) >= 2
    psutil.wait_procs(workers, timeout=20)
    assert not [each for each in workers if each.is_running() and each.status() != psutil.STATUS_ZOMBIE]
    last = started("batch", tmp_path / "talks", "--out", out, "--quiet")
    last.join()
    assert last.exitcode == 0
    check_whole(out, names)


def test_stopped_with_ctrl_c_it_says_what_is_made(tmp_path: Path) -> None:
    write_talks(tmp_path / "talks", 3)
    process = started("batch", tmp_path / "talks", "--out", tmp_path / "out", "--watch")
    deadline = time.monotonic() + 20
    while made_in(tmp_path / "out") < 3 and time.monotonic() < deadline:
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
    wait_for(lambda: made_in(tmp_path / "out") == 1)
    write_talks(tmp_path / "talks", 2)
    wait_for(lambda: made_in(tmp_path / "out") == 2)
    process.kill()
    process.join()


def wait_for(condition: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 30
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.05)
