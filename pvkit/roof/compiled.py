"""Compile a function of plain loops, to be run on several threads.

Import this module only from compiled modules: it brings numba along. Threads are started by the
caller: those of numba itself end a process that was forked after their first use.
"""

from collections.abc import Callable
from typing import TypeVar, cast

import numba  # noqa: TID253  (imported only where compiled functions run)

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """Compile, keeping the result on disk where there is a place to keep it."""
    try:
        return cast(Function, numba.njit(cache=True, nogil=True)(function))
    except RuntimeError:  # neither the package's folder nor the user's can be written to
        return cast(Function, numba.njit(nogil=True)(function))
