"""Several workers, in processes or on a cluster, make the same sheets as one; a worker that dies loses nothing."""

import logging
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import psutil
import pytest
from quick_batch import write_talks
from quick_jobs import ALWAYS, ONCE, DeadlyJob, QuickJob

from critsheet.batch import Batch, Job, Options, find
from critsheet.batch.leftovers import clear_leftovers
from critsheet.errors import InputError
from critsheet.sheet import load

THREADS = ("OMP_NUM_THREADS", "MKL_NUM_THREADS", "OPENBLAS_NUM_THREADS")
SAMPLES = Path(__file__).resolve().parents[2] / "sample_audio"


def unheard(shown: str, stage: str, share: float) -> None:
    pass


def jobs_in(tree: Path, out: Path, kind: type[Job] = Job) -> list[Job]:
    return [kind(recording, Options(out)) for recording in find(tree, out)]


@pytest.fixture
def talks(tmp_path: Path) -> Path:
    write_talks(tmp_path / "talks", 6)
    return tmp_path / "talks"


@pytest.fixture
def cluster_of(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[int], Any]]:
    """Starts a cluster of so many workers on this computer."""
    from distributed import LocalCluster

    started: list[Any] = []

    def start(workers: int) -> Any:
        options = {"memory_limit": 0, "dashboard_address": "127.0.0.1:0", "silence_logs": logging.CRITICAL}
        started.append(LocalCluster(n_workers=workers, threads_per_worker=2, **options))
        return started[-1]

    for name in THREADS:
        monkeypatch.setenv(name, "1")  # as dask sets it for its workers, and leaves it behind
    logging.disable(logging.CRITICAL)
    yield start
    for cluster in started:
        cluster.close()
    logging.disable(logging.NOTSET)


def test_a_cluster_makes_what_one_process_makes(talks: Path, tmp_path: Path, cluster_of: Callable[[int], Any]) -> None:
    jobs, told = jobs_in(talks, tmp_path / "out"), list[str]()
    with Batch.opened(1, cluster_of(2).scheduler_address) as pool:
        results = list(pool.run(jobs, lambda shown, stage, share: told.append(f"{shown}: {stage}")))
        assert {result.outcome for result in results} == {"made"}
        again = list(pool.run(jobs, unheard))
        assert {result.outcome for result in again} == {"already there"}
    assert {f"{job.recording.shown}: Finding the notes" for job in jobs} <= set(told)
    alone = jobs_in(talks, tmp_path / "alone")
    with Batch.opened(1, None) as pool:
        list(pool.run(alone, unheard))
    for one, other in zip(jobs, alone, strict=True):
        ours, theirs = load(one.folder / "sheet.json"), load(other.folder / "sheet.json")
        assert ours.model_copy(update={"made": theirs.made}) == theirs


@pytest.mark.model
def test_however_many_workers_listen_they_hear_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    before = dict(os.environ)
    (tmp_path / "talks").mkdir()
    for number, sample in enumerate(sorted(SAMPLES.glob("*.opus"))):
        write_beginning(sample, tmp_path / f"talks/talk{number}.wav", 45)
    for workers in (1, 2):
        with Batch.opened(workers, None) as pool:
            results = list(pool.run(jobs_in(tmp_path / "talks", tmp_path / f"by{workers}"), unheard))
        assert [result.outcome for result in results] == ["made"] * 2
        shutil.rmtree(tmp_path / "cache/critsheet/heard")  # what one heard would be taken over by the next
    for sheet in sorted((tmp_path / "by1").rglob("sheet.json")):
        one, two = load(sheet), load(tmp_path / "by2" / sheet.relative_to(tmp_path / "by1"))
        assert one.model_copy(update={"made": two.made}) == two
    assert dict(os.environ) == before


def write_beginning(sample: Path, target: Path, seconds: int) -> None:
    import av

    with av.open(str(sample)) as source, av.open(str(target), "w") as sound:
        stream = sound.add_stream("pcm_s16le", rate=16_000, layout="mono")
        resampler = av.AudioResampler("s16", "mono", 16_000)
        for frame in source.decode(audio=0):
            if frame.time is not None and frame.time > seconds:
                break
            for part in resampler.resample(frame):
                part.pts = None
                sound.mux(stream.encode(part))


def test_a_worker_that_dies_loses_nothing_but_what_kills_it_again(talks: Path, tmp_path: Path) -> None:
    for name in (ALWAYS, ONCE):
        (talks / "first/talk01.vtt").with_stem(name).write_bytes((talks / "first/talk01.vtt").read_bytes())
    jobs = jobs_in(talks, tmp_path / "out", DeadlyJob)
    with Batch.opened(2, None) as pool:
        results = {result.shown: result for result in pool.run(jobs, unheard)}
    deadly = results.pop(f"first/{ALWAYS}.vtt")
    assert deadly.outcome == "failed" and "The worker died" in deadly.problem
    assert len(results) == 7 and {result.outcome for result in results.values()} == {"made"}
    clear_leftovers(tmp_path / "out")
    assert len(list((tmp_path / "out").rglob("sheet.json"))) == 7
    assert not list((tmp_path / "out").rglob(".critsheet-*"))


def test_workers_bear_any_file_name_and_are_reached_from_this_computer_only(tmp_path: Path) -> None:
    names = ["=cmd.vtt", 'quo"te.vtt', "line\nbreak.vtt", "x" * 240 + ".vtt", os.fsdecode(b"\xff.vtt")]
    write_talks(tmp_path, len(names))
    for path, name in zip(sorted(tmp_path.rglob("*.vtt")), names, strict=True):
        path.rename(tmp_path / name)
    told: set[str] = set()
    before = {each.pid for each in psutil.Process().children(recursive=True)}
    with Batch.opened(2, None) as pool:
        ours = [psutil.Process(), *psutil.Process().children(recursive=True)]
        ports = [
            port.laddr.ip
            for each in ours
            if each.pid not in before
            for port in each.net_connections()
            if port.status == psutil.CONN_LISTEN
        ]
        jobs = jobs_in(tmp_path, tmp_path / "out", QuickJob)
        results = list(pool.run(jobs, lambda shown, stage, share: told.add(shown)))
    assert {result.shown: result.outcome for result in results} == dict.fromkeys(names, "made")
    assert told == set(names)
    assert set(ports) == {"127.0.0.1"}


def test_a_cluster_that_goes_away_is_told_once(
    talks: Path, tmp_path: Path, cluster_of: Callable[[int], Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("critsheet.batch.cluster.CONNECT_S", 1)
    cluster = cluster_of(1)
    with Batch.opened(1, cluster.scheduler_address) as pool:
        results = pool.run(jobs_in(talks, tmp_path / "out", QuickJob), unheard)
        assert next(results).outcome == "made"
        cluster.close()
        with pytest.raises(InputError, match="went away"):
            list(results)
    assert list((tmp_path / "out").rglob("sheet.json"))


def test_a_cluster_without_workers_is_told(cluster_of: Callable[[int], Any]) -> None:
    address = cluster_of(0).scheduler_address
    with pytest.raises(InputError, match="has no workers"), Batch.opened(1, address):
        pass


def test_a_cluster_with_another_critsheet_is_told(
    monkeypatch: pytest.MonkeyPatch, cluster_of: Callable[[int], Any]
) -> None:
    monkeypatch.setattr("critsheet.batch.cluster.__version__", "9.9.9")
    address = cluster_of(1).scheduler_address
    with pytest.raises(InputError, match=r"this is Critsheet 9\.9\.9"), Batch.opened(1, address):
        pass


@pytest.mark.parametrize("address", ["nowhere", "http://host", "tcp://host"])
def test_an_address_that_is_none_is_told_at_once(address: str) -> None:
    with pytest.raises(InputError, match="tcp://HOST:8786"), Batch.opened(1, address):
        pass


def test_a_cluster_that_does_not_answer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("critsheet.batch.cluster.CONNECT_S", 0.3)
    with (
        pytest.raises(InputError, match=r"No cluster answers at tcp://127\.0\.0\.1:1"),
        Batch.opened(1, "tcp://127.0.0.1:1"),
    ):
        pass
