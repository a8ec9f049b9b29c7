"""Move one or two fields of a site over many values and tabulate what comes of it."""

import math
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any, NamedTuple

import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.study.estimate import Estimate
from pvkit.study.facts import SCALARS

MOST_FIELDS = 2
USUAL = (
    "ac_kwh", "used_at_home_fraction", "first_year_saving_gbp", "simple_payback_years", "npv_gbp",
    "carbon_saved_kgco2e",
)  # fmt: skip
# Fields of the first tables need the most to be worked out anew, those of the last the least; the
# quickest is moved in the inner loop, so that what it does not touch is done once.
_BY_WORK = (
    "site", "weather", "horizon", "roof", "obstacle", "keep_clear", "array", "inverter", "cables",
    "losses", "home", "car", "battery", "hot_water", "supply", "tariff", "costs", "finance",
    "carbon", "doubt",
)  # fmt: skip


class Progress(NamedTuple):
    """How far a sweep has come.

    Parameters
    ----------
    done, total : cases
    seconds_left : from the mean so far; None before the first
    """

    done: int
    total: int
    seconds_left: float | None


Watch = Callable[[Progress], bool | None]


def sweep(
    answer: Callable[[Mapping[str, Any]], Estimate],
    fields: Mapping[str, Sequence[Any]],
    measures: Sequence[str] = USUAL,
    watch: Watch | None = None,
) -> pd.DataFrame:
    """Estimate every combination of one or two fields' values.

    Parameters
    ----------
    answer : estimates the site with some changes
    fields : dotted key to the values it takes, as in ``{"array.main.tilt_deg": range(0, 41, 5)}``
    measures : names of an estimate's figures
    watch : called before each case and after the last; what it returns as False stops the sweep

    Returns
    -------
    one row a case, indexed by the fields in the order given; ``attrs["complete"]`` tells whether
    all cases are in it. An interrupt (Ctrl+C) stops the sweep and keeps what is done.

    Raises
    ------
    InputError
        If there are no fields, more than two, a field without values or an unknown measure.
    """
    _check(fields, measures)
    found, cases = {}, list(_cases(fields))
    try:
        for case in _watched(cases, watch):
            estimate = answer(dict(zip(_order(fields), case, strict=True)))
            found[case] = [getattr(estimate, name) for name in measures]
    except KeyboardInterrupt:
        pass
    return _table(found, fields, measures, complete=len(found) == len(cases))


def _check(fields: Mapping[str, Sequence[Any]], measures: Sequence[str]) -> None:
    faults = []
    if not 1 <= len(fields) <= MOST_FIELDS:
        faults.append(
            Fault("fields", f"found {len(fields)}", "one or two", "name one or two dotted keys")
        )
    faults += [
        Fault(key, "found no values", "one value or more", "list the values it takes")
        for key, values in fields.items()
        if not len(values)
    ]
    faults += [
        Fault("measures", f"found '{name}'", ", ".join(SCALARS), "name some of these")
        for name in measures
        if name not in SCALARS
    ]
    if faults:
        raise InputError(*faults)


def _order(fields: Mapping[str, Sequence[Any]]) -> list[str]:
    """Give the fields, the one that costs most to move first."""
    return sorted(fields, key=lambda key: _BY_WORK.index(table) if (
        table := key.split(".")[0]) in _BY_WORK else 0)  # fmt: skip


def _cases(fields: Mapping[str, Sequence[Any]]) -> Iterator[tuple[Any, ...]]:
    return product(*(list(fields[key]) for key in _order(fields)))


def _watched(cases: Sequence[tuple[Any, ...]], watch: Watch | None) -> Iterator[tuple[Any, ...]]:
    start = time.perf_counter()
    for done, case in enumerate(cases):
        spent = time.perf_counter() - start
        left = spent / done * (len(cases) - done) if done else None
        if watch is not None and watch(Progress(done, len(cases), left)) is False:
            return
        yield case
    if watch is not None:
        watch(Progress(len(cases), len(cases), 0.0))


def _table(
    found: Mapping[tuple[Any, ...], list[Any]],
    fields: Mapping[str, Sequence[Any]],
    measures: Sequence[str],
    *,
    complete: bool,
) -> pd.DataFrame:
    index = pd.MultiIndex.from_tuples(list(found), names=_order(fields)) if found else None
    table = pd.DataFrame(list(found.values()), index=index, columns=list(measures))
    table = table.astype("float64") if found else table
    if len(fields) > 1 and found:
        table = table.reorder_levels(list(fields)).sort_index()
    elif found:
        table.index = pd.Index([case[0] for case in found], name=next(iter(fields)))
    table.attrs["complete"] = complete
    return table


def seconds_in_words(seconds: float) -> str:
    """Say a time left in words.

    Examples
    --------
    >>> seconds_in_words(3.2), seconds_in_words(140)
    ('4 s', '3 min')
    """
    return f"{math.ceil(seconds)} s" if seconds < 90 else f"{math.ceil(seconds / 60)} min"
