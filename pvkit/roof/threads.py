"""Run one compiled loop on all processors."""

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from contextvars import ContextVar

_MOST_THREADS = 8
_PARTS_A_THREAD = 4
_alone: ContextVar[bool] = ContextVar("alone", default=False)


@contextmanager
def one_thread() -> Iterator[None]:
    """Run compiled loops on this thread alone, where many processes share the processors."""
    before = _alone.set(True)
    try:
        yield
    finally:
        _alone.reset(before)


def in_parts(length: int, run: Callable[[int, int], None]) -> None:
    """Call ``run(first, last)`` for all parts of a loop, on a thread for each processor.

    The threads end with the call, so that a process may be forked after it. ``run`` must let other
    threads go on meanwhile, and its parts must not write to the same place.

    Parameters
    ----------
    length : turns of the loop
    run : runs the turns from ``first`` up to but without ``last``

    Examples
    --------
    >>> done = []
    >>> in_parts(3, lambda first, last: done.extend(range(first, last)))
    >>> sorted(done)
    [0, 1, 2]
    """
    if _alone.get():
        run(0, length)
        return
    threads = max(1, min(os.cpu_count() or 1, _MOST_THREADS))
    parts = min(length, threads * _PARTS_A_THREAD)
    ends = [length * part // parts for part in range(parts + 1)] if parts else []
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(run, ends[:-1], ends[1:]))
