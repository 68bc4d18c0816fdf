"""Runs jobs one after another in this process, in several, or on a cluster; each result is handed on as it comes."""

import logging
import os
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from critsheet.batch.job import FAILED, Job, Result, make_one
from critsheet.errors import InputError

if TYPE_CHECKING:
    from distributed import Client

CONNECT_S = 10
DEATHS = 1
"""A recording whose worker dies is tried once more; then it is the recording that kills."""
_ADDRESS = re.compile(r"(?:tcp|tls)://[^\s/]+:\d{1,5}")
_WORKER_ENVIRONMENT = dict.fromkeys(("OMP_NUM_THREADS", "MKL_NUM_THREADS", "OPENBLAS_NUM_THREADS"), 1)
"""One core a worker. In place of dask's own, which also has memory given back at once: speech recognition, which takes
and gives back much of it all the time, then runs at less than half its speed (measured with tests/bench/batch.py)."""
_TOPIC = "critsheet-progress"
Watch = Callable[[str, str, float], None]
"""Told the recording, the stage it is in and the share of that."""


class Batch:
    """Where jobs run. `run` may be called again and again, as long as it is open."""

    def __init__(self, client: "Client | None" = None) -> None:
        self._client = client

    @classmethod
    @contextmanager
    def opened(cls, workers: int, cluster: str | None) -> Iterator["Batch"]:
        """One job at a time in this process; several in `workers` processes; or on a cluster's workers.

        Raises InputError where the cluster does not answer.
        """
        if cluster is None and workers == 1:
            yield cls()
            return
        with _quiet(), _client(workers, cluster) as client:
            yield cls(client)

    def run(self, jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
        """Each job's result, as soon as it is there."""
        return self._spread(jobs, watch) if self._client else self._in_turn(jobs, watch)

    def _in_turn(self, jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
        for job in jobs:
            yield make_one(job, lambda stage, share, shown=job.recording.shown: watch(shown, stage, share))  # type: ignore[misc]

    def _spread(self, jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
        from distributed import as_completed

        client = self._client
        assert client is not None

        def hear(event: tuple[Any, dict[str, Any]]) -> None:
            watch(event[1]["shown"], event[1]["stage"], event[1]["share"])

        client.subscribe_topic(_TOPIC, hear)
        # Keys of one's own: asked again, a cluster would give the answer of last time.
        by_key = {f"critsheet-{uuid4().hex}": job for job in jobs}
        futures = client.map(_on_worker, list(by_key.values()), key=list(by_key), pure=False, retries=0)
        try:
            for future in as_completed(futures):
                yield _result(future, by_key[future.key])
        finally:
            with suppress(Exception):
                client.cancel(futures)
                client.unsubscribe_topic(_TOPIC)


def _result(future: Any, job: Job) -> Result:
    from distributed import CancelledError, KilledWorker
    from distributed.comm.core import CommClosedError

    try:
        result = future.result()
        assert isinstance(result, Result)
        return result
    except KilledWorker:
        problem = (
            "The worker died twice on it: out of memory, or a file that it cannot bear. Try it alone: critsheet make."
        )
    except (CancelledError, CommClosedError, TimeoutError):
        problem = "The cluster went away. Run the same command again: what is made stays."
    return Result(job.recording.shown, FAILED, problem=problem)


def _on_worker(job: Job) -> Result:
    """What a worker runs; the models that it loads stay in its process for the next job."""
    from distributed import get_worker

    worker, told = get_worker(), [("", -1.0)]

    def tell(stage: str, share: float) -> None:
        # Every hundredth is enough: the bar is no finer.
        if stage != told[0][0] or share - told[0][1] >= 0.01:
            told[0] = (stage, share)
            worker.log_event(_TOPIC, {"shown": job.recording.shown, "stage": stage, "share": float(share)})

    return make_one(job, tell)


@contextmanager
def _client(workers: int, cluster: str | None) -> "Iterator[Client]":
    from distributed import Client, LocalCluster

    if cluster is not None:
        _check_address(cluster)
        try:
            client = Client(cluster, timeout=CONNECT_S)
        except (OSError, ValueError, TimeoutError) as error:
            raise InputError(
                f"No cluster answers at {cluster}.",
                "Start one (dask scheduler, dask worker) with this Critsheet installed, or leave --cluster out.",
            ) from error
        with client:
            yield client
        return
    with (
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            memory_limit=0,
            dashboard_address=":0",
            silence_logs=logging.CRITICAL,
        ) as local,
        Client(local) as client,
    ):
        yield client


def _check_address(cluster: str) -> None:
    if not _ADDRESS.fullmatch(cluster):
        raise InputError(f"--cluster {cluster!r} is not an address.", "Give the scheduler's: tcp://HOST:8786.")


@contextmanager
def _quiet() -> Iterator[None]:
    """Leave the terminal to the batch: what goes wrong is in the results."""
    import dask

    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    try:
        with dask.config.set(
            {
                "distributed.scheduler.allowed-failures": DEATHS,
                "distributed.logging.distributed": "critical",
                "distributed.nanny.pre-spawn-environ": _WORKER_ENVIRONMENT,
            }
        ):
            yield
    finally:
        logging.disable(before)
