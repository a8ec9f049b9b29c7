"""Compile a function of plain loops, to be run on several threads.

Import this module only from compiled modules: it brings numba along. Threads are started by the
caller: those of numba itself end a process that was forked after their first use. A division by
zero gives an infinity or no number, as numpy's does.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba  # noqa: TID253  (imported only where compiled functions run)

# numba's own name for the option; it uses it for its own short functions.
NO_COUNT = {"_nrt": False}

Function = TypeVar("Function", bound=Callable[..., object])


def compiled(function: Function) -> Function:
    """Compile, keeping the result on disk where there is a place to keep it.

    What is kept serves until the function's own file changes. A compiled module that calls
    another's functions therefore carries a digest of that one's text: see ``tests/test_kernels``.

    The function may take arrays and parts of them but make none, and so pays nothing to keep count
    of who uses which: in short functions called a million times that is most of the time. Room to
    work in is made by the caller.
    """
    return _compiled(function, forceinline=False, **NO_COUNT)


def inlined(function: Function) -> Function:
    """Compile a small function of an inner loop into each place that calls it."""
    return _compiled(function, forceinline=True, **NO_COUNT)


def compiled_to_make_arrays(function: Function) -> Function:
    """Compile a function that makes arrays of its own."""
    return _compiled(function, forceinline=False)


def _compiled(function: Function, **more: bool) -> Function:
    options: dict[str, Any] = {"nogil": True, "error_model": "numpy", **more}
    try:
        made = numba.njit(cache=True, **options)(function)
    except RuntimeError:  # neither the package's folder nor the user's can be written to
        made = numba.njit(**options)(function)
    return cast(Function, made)
