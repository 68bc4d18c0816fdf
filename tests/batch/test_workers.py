"""Several workers, in processes or on a cluster, make the same sheets as one; a worker that dies loses nothing."""

import logging
import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest
from quick_batch import write_talks

from critsheet.batch import Batch, Job, Options, Result, find
from critsheet.batch.running import _result
from critsheet.errors import InputError
from critsheet.sheet import load


@pytest.fixture
def jobs(tmp_path: Path) -> list[Job]:
    write_talks(tmp_path / "talks", 6)
    return [Job(recording, Options(tmp_path / "out")) for recording in find(tmp_path / "talks", tmp_path / "out")]


@pytest.fixture(scope="module")
def cluster() -> Iterator[str]:
    """The address of a cluster of two workers on this computer."""
    from distributed import LocalCluster

    logging.disable(logging.CRITICAL)
    with LocalCluster(
        n_workers=2, threads_per_worker=1, memory_limit=0, dashboard_address=":0", silence_logs=logging.CRITICAL
    ) as started:
        yield started.scheduler_address
    logging.disable(logging.NOTSET)


def test_a_cluster_makes_what_one_process_makes(jobs: list[Job], cluster: str, tmp_path: Path) -> None:
    told: list[str] = []
    with Batch.opened(1, cluster) as pool:
        results = list(pool.run(jobs, lambda shown, stage, share: told.append(stage)))
        assert {result.outcome for result in results} == {"made"}
        again = list(pool.run(jobs, lambda shown, stage, share: None))
        assert {result.outcome for result in again} == {"already there"}
    alone = Options(tmp_path / "alone")
    with Batch.opened(1, None) as pool:
        list(pool.run([Job(job.recording, alone) for job in jobs], lambda shown, stage, share: None))
    for job in jobs:
        one, other = (load(out / job.recording.folder / "sheet.json") for out in (job.options.out, alone.out))
        assert one.model_copy(update={"made": other.made}) == other
    assert "Finding the notes" in told


def test_a_worker_killed_in_the_middle_loses_nothing(jobs: list[Job]) -> None:
    def kill_first_worker() -> None:
        while not (workers := _workers()):
            time.sleep(0.05)
        time.sleep(1.5)
        workers[0].kill()

    before = {each.pid for each in psutil.Process().children(recursive=True)}

    def _workers() -> list[psutil.Process]:
        fresh = [each for each in psutil.Process().children(recursive=True) if each.pid not in before]
        return [each for each in fresh if "spawn_main" in " ".join(each.cmdline())]

    killer = threading.Thread(target=kill_first_worker)
    with Batch.opened(2, None) as pool:
        killer.start()
        results = list(pool.run(jobs, lambda shown, stage, share: None))
        killer.join()
    assert sorted(result.shown for result in results) == sorted(job.recording.shown for job in jobs)
    assert all(result.outcome in ("made", "already there") for result in results), results
    assert all((job.folder / "sheet.json").is_file() for job in jobs)
    assert not list(jobs[0].options.out.rglob(".critsheet-*")) or os.name == "nt"


def test_a_recording_that_kills_its_workers_is_given_up(jobs: list[Job]) -> None:
    from distributed import KilledWorker

    class Dead:
        def result(self) -> Result:
            raise KilledWorker("task", None, 2)

    result = _result(Dead(), jobs[0])
    assert result.outcome == "failed" and "died twice" in result.problem


@pytest.mark.parametrize("address", ["nowhere", "http://host", "tcp://host"])
def test_an_address_that_is_none_is_told_at_once(address: str) -> None:
    with pytest.raises(InputError, match="tcp://HOST:8786"), Batch.opened(1, address):
        pass


def test_a_cluster_that_does_not_answer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("critsheet.batch.running.CONNECT_S", 0.3)
    with (
        pytest.raises(InputError, match=r"No cluster answers at tcp://127\.0\.0\.1:1"),
        Batch.opened(1, "tcp://127.0.0.1:1"),
    ):
        pass
