"""What runs in a worker's process; the models that it loads stay there for the next recording."""

import ctypes
import threading
from contextlib import suppress

from critsheet.batch.job import Job, Result, make_one

_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
"""Of glibc's mallopt (malloc.h: M_TRIM_THRESHOLD, M_MMAP_THRESHOLD)."""
_one_at_a_time = threading.Lock()


def on_worker(job: Job, topic: str) -> Result:
    """Make one sheet, telling `topic` how far it is."""
    from distributed import get_worker

    worker, told = get_worker(), ("", -1.0)
    key = worker.get_current_task()

    def tell(stage: str, share: float) -> None:
        nonlocal told
        # Every hundredth is enough: the bar is no finer. The recording is told by its key, as names may be no text.
        if stage != told[0] or share - told[1] >= 0.01:
            told = stage, share
            worker.log_event(topic, {"key": key, "stage": stage, "share": float(share)})

    with _one_at_a_time:  # a cluster's worker may have several threads, the models serve one
        _keep_memory()
        return make_one(job, tell)


def _keep_memory() -> None:
    """Let the process keep the memory that it will need again.

    Dask has its workers give it back at once (MALLOC_TRIM_THRESHOLD_), which doubles the time of listening: 20 s
    instead of 2.5 s in the system for three minutes of talk.
    """
    with suppress(AttributeError, OSError, TypeError):  # not glibc
        libc = ctypes.CDLL(None)
        libc.mallopt(_TRIM_THRESHOLD, 1 << 28)
        libc.mallopt(_MMAP_THRESHOLD, 1 << 25)
