"""Do what takes a moment only once nobody has moved anything for a while."""

import asyncio
from collections.abc import Callable

PAUSE_S = 0.6


class Rest:
    """Run something once nothing has asked for it anew for a while.

    Where no event loop runs (a script, a test) nothing runs by itself: call :meth:`now`.

    Parameters
    ----------
    act : what to run
    seconds : how long nothing must have been asked

    Examples
    --------
    >>> rest = Rest(lambda: print("done"))
    >>> rest.ask()
    >>> rest.pending
    True
    >>> rest.now()
    done
    >>> rest.now()
    """

    def __init__(self, act: Callable[[], None], seconds: float = PAUSE_S) -> None:
        self._act = act
        self._seconds = seconds
        self._timer: asyncio.TimerHandle | None = None
        self.pending = False

    def ask(self) -> None:
        """Ask for a run; one that was asked for before is put off."""
        self._stop()
        self.pending = True
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        self._timer = loop.call_later(self._seconds, self.now)

    def now(self) -> None:
        """Run at once what has been asked for, if anything."""
        self._stop()
        if self.pending:
            self.pending = False
            self._act()

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
