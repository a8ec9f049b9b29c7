"""Checks of a tariff: one price for every half-hour of the day, week and year, none twice."""

import os
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pvkit.errors import Fault
from pvkit.site.meter_checks import missing_file
from pvkit.site.survey import Site
from pvkit.site.tariff import HALF_HOURS_A_DAY, Band, Period, Tariff, band_cells
from pvkit.site.wording import labels
from pvkit.tables import MONTHS

SIDES = ("import", "export")
ONE_DAY = timedelta(days=1)


def band_faults(site: Site) -> Iterator[Fault]:
    """Refuse bands that overlap, and half-hours for which there is no price."""
    tariff: Tariff = site.tariff
    for side in SIDES:
        base = f"{side}_gbp_per_kwh"
        based = base in tariff.model_fields_set
        key = f"tariff.{side}_bands"
        yield from _faults(key, base, getattr(tariff, f"{side}_bands"), based=based)
        for label, period in _labelled(tariff.periods):
            own = getattr(period, f"{side}_bands")
            if own is not None:
                priced = based or getattr(period, base) is not None
                where = f"tariff.periods.{label}.{side}_bands"
                yield from _faults(where, base, own, based=priced)


def _labelled(periods: Sequence[Period]) -> Iterator[tuple[str, Period]]:
    names = labels([getattr(period, "name", None) for period in periods])
    yield from zip(names, periods, strict=True)


def _faults(key: str, base: str, bands: Sequence[Band], *, based: bool) -> Iterator[Fault]:
    cells = np.array([band_cells(band) for band in bands]).reshape(-1, 12, 2, HALF_HOURS_A_DAY)
    owners = cells.sum(axis=0)
    if (owners > 1).any():
        where = _first(owners > 1)
        names = " and ".join(
            band.name for band, mine in zip(bands, cells, strict=True) if mine[where]
        )
        yield Fault(
            key,
            f"found bands that overlap at {_said(where, owners > 1)} ({names})",
            "each half-hour in one band",
            "move a start or an end, or narrow a band by days or months",
        )
    if len(bands) and (owners == 0).any() and not based:
        yield Fault(
            key,
            f"found no price at {_said(_first(owners == 0), owners == 0)}",
            "a price for every half-hour",
            f"add a band, or {base} for all other hours",
        )


def _first(cells: NDArray[np.bool_]) -> tuple[int, int, int]:
    month, kind, slot = np.argwhere(cells)[0]
    return int(month), int(kind), int(slot)


def _said(where: tuple[int, int, int], cells: NDArray[np.bool_]) -> str:
    """Say when, and on which days and in which months where it is not on all."""
    month, kind, slot = where
    clock = f"{slot // 2:02d}:{'30' if slot % 2 else '00'}"
    here = cells[:, :, slot]
    days = "" if here.all(axis=1).any() else f" on a {('weekday', 'weekend')[kind]}"
    months = "" if here.any(axis=1).all() else f" in {MONTHS[month].title()}"
    return clock + days + months


def date_faults(site: Site) -> Iterator[Fault]:
    """Refuse dates that run backwards, and periods that overlap, leave a gap or miss a year."""
    tariff: Tariff = site.tariff
    dated: list[tuple[str, Tariff | Period]] = [("tariff", tariff)]
    dated += [(f"tariff.periods.{label}", period) for label, period in _labelled(tariff.periods)]
    backwards = [fault for key, entry in dated for fault in _backwards(key, entry)]
    yield from backwards
    if not tariff.periods or backwards:
        return
    if tariff.valid_from is not None or tariff.valid_to is not None:
        yield Fault(
            "tariff.valid_to" if tariff.valid_from is None else "tariff.valid_from",
            "found a date beside [[tariff.periods]]",
            "dates in the periods alone",
            "take it out: each period has its own valid_from and valid_to",
        )
    yield from _row_faults(sorted(tariff.periods, key=lambda period: period.valid_from))


def _backwards(key: str, entry: Tariff | Period) -> Iterator[Fault]:
    first, last = entry.valid_from, entry.valid_to
    if first is not None and last is not None and last < first:
        yield Fault(
            f"{key}.valid_to",
            f"found {last}, before valid_from {first}",
            "the last day of these prices, on or after the first",
            "look whether the two have changed places",
        )


def _row_faults(periods: Sequence[Period]) -> Iterator[Fault]:
    for before, after in pairwise(periods):
        if after.valid_from <= before.valid_to:
            both = f"{after.valid_from} to {min(before.valid_to, after.valid_to)}"
            yield Fault(
                "tariff.periods",
                f"found periods that overlap from {both} ({before.name} and {after.name})",
                "one price on each day",
                "let each period start the day after the one before ends",
            )
        elif after.valid_from > before.valid_to + ONE_DAY:
            gap = f"{before.valid_to + ONE_DAY} to {after.valid_from - ONE_DAY}"
            yield Fault(
                "tariff.periods",
                f"found no price from {gap}",
                "a price on each day",
                f"move the end of '{before.name}' or the start of '{after.name}'",
            )
    first, last = periods[0].valid_from, max(period.valid_to for period in periods)
    if first > year_start(last):
        yield Fault(
            "tariff.periods",
            f"found prices from {first} to {last}",
            f"a whole year: from {year_start(last)} or before",
            "add the periods that are missing; the last whole year is taken",
        )


def year_start(last: date) -> date:
    """Give the first day of the year that ends with ``last``.

    Examples
    --------
    >>> year_start(date(2026, 9, 30)), year_start(date(2024, 2, 29))
    (datetime.date(2025, 10, 1), datetime.date(2023, 3, 1))
    """
    after = last + ONE_DAY
    leap = (after.month, after.day) == (2, 29)
    return date(after.year - 1, 3, 1) if leap else after.replace(year=after.year - 1)


def price_file_faults(site: Site) -> Iterator[Fault]:
    """Refuse a price file that is not there, or that stands beside prices it would replace."""
    tariff: Tariff = site.tariff
    for side in SIDES:
        name = getattr(tariff, f"{side}_file")
        if name is None:
            continue
        if not os.path.isfile(name):
            yield missing_file(f"tariff.{side}_file", name)
            continue
        keys = (f"{side}_bands", f"{side}_gbp_per_kwh")
        in_periods = any(getattr(p, key) is not None for p in tariff.periods for key in keys)
        if getattr(tariff, keys[0]) or in_periods:
            yield Fault(
                f"tariff.{side}_file",
                f"found a price file and {side} prices in bands or periods",
                "one or the other",
                f"take out {side}_file, or the bands and the periods' {side} prices",
            )
