"""Reaches a cluster of Dask workers, and turns every way in which it can fail into one line."""

import asyncio
import re
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import version
from typing import TYPE_CHECKING

from critsheet import __version__
from critsheet.errors import InputError

if TYPE_CHECKING:
    from distributed import Client

CONNECT_S = 10
_ADDRESS = re.compile(r"(?:tcp|tls)://[^\s/]+:\d{1,5}")
_START = "Start it as the README says, with this Critsheet on every machine, or leave --cluster out."


@contextmanager
def connected(address: str) -> "Iterator[Client]":
    """A client of the cluster at `address`. Raises InputError where it is none, or not one to work with."""
    from distributed import Client

    if not _ADDRESS.fullmatch(address):
        raise InputError(f"--cluster {address!r} is not an address.", "Give the scheduler's: tcp://HOST:8786.")
    try:
        asyncio.run(_greet(address))
        client = Client(address, timeout=CONNECT_S)
    except (OSError, ValueError, TimeoutError) as error:
        raise InputError(f"No cluster answers at {address}.", _START) from error
    with client:
        _check_workers(client, address)
        yield client


async def _greet(address: str) -> None:
    """Raises where no scheduler answers: a client would wait forever for another program, as on the port beside."""
    from distributed.comm import connect

    comm = await asyncio.wait_for(connect(address), CONNECT_S)
    await comm.close()


def _check_workers(client: "Client", address: str) -> None:
    """Every worker has this version of Critsheet: another one would make other sheets."""
    with lost(client):
        found = client.run(version, "critsheet", on_error="return")
    if not found:
        raise InputError(f"The cluster at {address} has no workers.", _START)
    for worker, has in sorted(found.items()):
        if has != __version__:
            told = f"Critsheet {has}" if isinstance(has, str) else "no Critsheet"
            raise InputError(f"The worker {worker} has {told}; this is Critsheet {__version__}.", _START)


@contextmanager
def lost(client: "Client") -> Iterator[None]:
    """Turns what Dask raises when the scheduler is gone into an InputError."""
    from distributed import CancelledError
    from distributed.comm.core import CommClosedError

    try:
        yield
    except (CancelledError, CommClosedError, TimeoutError, OSError) as error:
        raise InputError(
            f"The cluster at {client.scheduler.addr} went away.",
            "Start it again, then run the same command: what is made stays.",
        ) from error
