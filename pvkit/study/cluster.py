"""Dask workers for many sites: on this machine, or a cluster by its address."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from pvkit.errors import Fault, InputError

_SECONDS_TO_ANSWER = 10


@contextmanager
def workers(address: str | None = None, count: int | None = None) -> Iterator[Any]:
    """Give a Dask client for as long as it is needed.

    Parameters
    ----------
    address : a running scheduler, like ``tcp://10.0.0.5:8786``; None starts workers here
    count : workers to start here; None for one a processor

    Raises
    ------
    InputError
        If Dask is not installed, or no scheduler answers at the address.
    """
    try:
        from distributed import Client, LocalCluster
    except ImportError as error:
        fault = Fault(
            "workers",
            "Dask is not installed",
            "Dask with its distributed scheduler",
            "pip install 'pvkit[many]'",
        )
        raise InputError(fault) from error
    if address is None:
        options = {"n_workers": count, "threads_per_worker": 1, "dashboard_address": None}
        cluster = LocalCluster(**options)  # type: ignore[no-untyped-call]
        with cluster, Client(cluster) as client:  # type: ignore[no-untyped-call]
            yield client
        return
    try:
        client = Client(address, timeout=_SECONDS_TO_ANSWER)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        fault = Fault(
            "--scheduler",
            f"nothing answers at {address}",
            "the address of a running Dask scheduler, like tcp://10.0.0.5:8786",
            "start the scheduler, or leave the option out to work on this machine",
        )
        raise InputError(fault) from error
    with client:
        yield client
