"""The memory of a study: each stage's results, keyed by exactly what the stage reads."""

from collections import Counter, OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar

Result = TypeVar("Result")

# Enough for two sliders moved to and fro; a life's half-hours take about 7 MB each, a year's
# minutes 8 MB.
_KEPT = 12
_KEPT_OF = {"flows": 3, "demand": 4}


class Store:
    """Results of pure stages, the most recent few of each, and a count of what has run.

    Examples
    --------
    >>> store = Store()
    >>> store.get("double", 3, lambda: 6), store.get("double", 3, lambda: 7)
    (6, 6)
    >>> store.runs["double"]
    1
    """

    def __init__(self) -> None:
        self._kept: dict[str, OrderedDict[Hashable, object]] = {}
        self.runs: Counter[str] = Counter()

    def get(self, stage: str, key: Hashable, run: Callable[[], Result]) -> Result:
        """Give the remembered result of ``stage`` for ``key``, or run it and remember."""
        kept = self._kept.setdefault(stage, OrderedDict())
        if key in kept:
            kept.move_to_end(key)
            return kept[key]  # type: ignore[return-value]  # stored under this stage's own name
        result = run()
        self.runs[stage] += 1
        kept[key] = result
        if len(kept) > _KEPT_OF.get(stage, _KEPT):
            kept.popitem(last=False)
        return result
