"""Runs jobs one after another in this process, in several, or on a cluster; each result is handed on as it comes."""

import logging
import os
import warnings
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from critsheet.batch.cluster import connected, lost
from critsheet.batch.job import FAILED, Job, Result, make_one
from critsheet.batch.worker import on_worker

if TYPE_CHECKING:
    from distributed import Client, Future

_KILLED = "The worker died twice on it: out of memory, or a file that it cannot bear. Try it alone: critsheet make."
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

        Raises InputError where the cluster does not answer, has no workers, or has another Critsheet.
        """
        if cluster is None and workers == 1:
            yield cls()
            return
        with _quiet(), connected(cluster) if cluster else _processes(workers) as client:
            yield cls(client)

    def run(self, jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
        """Each job's result, as soon as it is there. Raises InputError where the cluster goes away."""
        return _spread(self._client, jobs, watch) if self._client else _in_turn(jobs, watch)


def _in_turn(jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
    for job in jobs:
        yield make_one(job, lambda stage, share, shown=job.recording.shown: watch(shown, stage, share))  # type: ignore[misc]


def _spread(client: "Client", jobs: Sequence[Job], watch: Watch) -> Iterator[Result]:
    """What was at work where a worker died is tried once more, by itself: of several, only one may have killed it."""
    again: list[Job] = []
    for job, result in _at_once(client, jobs, watch):
        if result:
            yield result
        else:
            again.append(job)
    for job in again:
        for _, result in _at_once(client, [job], watch):
            yield result or Result(job.recording.shown, FAILED, problem=_KILLED)


def _at_once(client: "Client", jobs: Sequence[Job], watch: Watch) -> Iterator[tuple[Job, Result | None]]:
    """One job a worker at any time, so that one that dies takes no other with it; no result where it died."""
    from distributed import as_completed

    waiting, at_work = deque(jobs), dict[str, tuple[Job, str]]()

    def hear(event: tuple[float, dict[str, Any]]) -> None:
        told = event[1]
        if told["key"] in at_work:
            watch(at_work[told["key"]][0].recording.shown, told["stage"], told["share"])

    topic = f"critsheet-{uuid4().hex}"
    client.subscribe_topic(topic, hear)
    futures = as_completed()
    try:
        while waiting or at_work:
            for worker in _free(client, at_work):
                if waiting:
                    job = waiting.popleft()
                    # A key of its own: asked again, a cluster would give the answer of last time.
                    key = f"critsheet-{uuid4().hex}"
                    at_work[key] = job, worker
                    place: dict[str, Any] = {"workers": [worker], "allow_other_workers": True} if worker else {}
                    futures.add(client.submit(on_worker, job, topic, key=key, pure=False, **place))
            future = next(futures)
            job, _ = at_work.pop(future.key)
            yield job, _result(client, future, job)
    finally:
        with suppress(Exception):
            client.cancel(list(futures.futures))
            client.unsubscribe_topic(topic)


def _free(client: "Client", at_work: dict[str, tuple[Job, str]]) -> list[str]:
    """The workers without a job; where all are gone for the moment, "" stands for the first that comes back."""
    with lost(client):
        workers = list(client.ncores()) or [""]
    taken = {worker for _, worker in at_work.values()}
    return [worker for worker in workers if worker not in taken]


def _result(client: "Client", future: "Future[Result]", job: Job) -> Result | None:
    from distributed import CancelledError, KilledWorker

    with lost(client):
        error = future.exception()
        if isinstance(error, CancelledError):
            raise error
        if error is None:
            result: Result = future.result()
            return result
    if isinstance(error, KilledWorker):
        return None
    # `make_one` raises nothing: this worker came late, and cannot even read the job.
    problem = f"A worker could not take it on: {type(error).__name__}: {error}. Is this Critsheet on every machine?"
    return Result(job.recording.shown, FAILED, problem=problem)


@contextmanager
def _processes(workers: int) -> "Iterator[Client]":
    """That many processes on this computer, which nothing outside it can reach."""
    import dask
    from distributed import Client, LocalCluster

    settings = {
        "distributed.scheduler.allowed-failures": 0,  # `_spread` tries again
        "distributed.scheduler.http.routes": [],
        "distributed.worker.http.routes": [],
    }
    with (
        dask.config.set(settings),
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            host="127.0.0.1",
            memory_limit=0,
            dashboard_address="127.0.0.1:0",
            silence_logs=logging.CRITICAL,
        ) as local,
        Client(local) as client,
    ):
        yield client


@contextmanager
def _quiet() -> Iterator[None]:
    """Leave the terminal to the batch: what goes wrong is in the results. Then all is as it was before.

    Dask leaves what it sets for its workers in this process's environment.
    """
    before, environment = logging.root.manager.disable, dict(os.environ)
    logging.disable(logging.CRITICAL)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        logging.disable(before)
        for name in set(os.environ) - set(environment):
            del os.environ[name]
        os.environ.update(environment)
