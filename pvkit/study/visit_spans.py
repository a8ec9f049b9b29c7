"""Groups of a period's stretches set against each other, with the doubt of the comparison."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.study.visit_doubt import SpanDoubt
from pvkit.study.visit_expected import Expected
from pvkit.study.visit_period import Period
from pvkit.tables import constant

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]

# October to March: the half-year of the low sun.
WINTER_MONTHS = (0, 1, 2, 9, 10, 11)


@dataclass(frozen=True, slots=True, eq=False)
class SpanTable:
    """Every stretch of a period, made and expected.

    Parameters
    ----------
    made, should : (spans,) kWh
    winter : (spans,) share of the expected energy that falls in the winter half-year
    covariance : (spans, spans) of made over expected, from light and meter
    first, last : (spans,) months of its two ends, from January 1970
    """

    made: Array
    should: Array
    winter: Array
    covariance: Array
    first: IntArray
    last: IntArray

    @property
    def ratio(self) -> Array:
        """Made over expected; 1 where nothing was expected."""
        some = self.should > 0.0
        return np.divide(self.made, self.should, out=np.ones_like(self.made), where=some)

    def ratio_of(self, group: BoolArray) -> float:
        """Give made over expected of some stretches together."""
        return float(self.made[group].sum() / self.should[group].sum())

    def months(self, group: BoolArray) -> str:
        """Name the months of some stretches in a row."""
        found = np.flatnonzero(group)
        first, last = int(self.first[found[0]]), int(self.last[found[-1]])
        return month_name(first) if first == last else f"{month_name(first)} to {month_name(last)}"


def span_table(period: Period, should: Expected, doubt: SpanDoubt) -> SpanTable:
    """Gather what the comparisons read."""
    calendar = period.months % 12
    span_kwh = should.span_kwh
    winter_kwh = should.kwh[:, np.isin(calendar, WINTER_MONTHS)].sum(axis=1)
    some = span_kwh > 0.0
    touched = should.kwh > 0.0
    first = np.where(some, touched.argmax(axis=1), 0)
    last = touched.shape[1] - 1 - np.where(some, touched[:, ::-1].argmax(axis=1), 0)
    return SpanTable(
        made=period.kwh,
        should=span_kwh,
        winter=np.divide(winter_kwh, span_kwh, out=np.zeros_like(span_kwh), where=some),
        covariance=doubt.covariance,
        first=period.months[first],
        last=period.months[last],
    )


@dataclass(frozen=True, slots=True)
class Contrast:
    """Some stretches against others.

    Parameters
    ----------
    lower : how much less the first made of what it should, as a share of the others' share
    deviations : the same in standard deviations
    clear : the same without the estimate's own doubt between winter and summer, to choose which
        months stand out; never to judge whether they do
    """

    lower: float
    deviations: float
    clear: float


def contrast(table: SpanTable, group: BoolArray, others: BoolArray) -> Contrast:
    """Set some stretches against others; what all share (the model's bias) falls out.

    Parameters
    ----------
    table : the period's stretches
    group, others : (spans,) which are set against which
    """
    ours, theirs = table.ratio_of(group), table.ratio_of(others)
    if ours <= 0.0 or theirs <= 0.0:
        return Contrast(0.0, 0.0, 0.0)
    should = table.should
    weight = np.where(group, should / should[group].sum(), 0.0)
    weight -= np.where(others, should / should[others].sum(), 0.0)
    season = constant("visit.season_fraction") * float(weight @ table.winter)
    variance = float(weight @ table.covariance @ weight)
    lower = 1.0 - ours / theirs
    return Contrast(
        lower, float(lower / np.sqrt(variance + season**2)), float(lower / np.sqrt(variance))
    )


def month_name(month: int) -> str:
    """Name a month counted from January 1970.

    Examples
    --------
    >>> month_name(12 * 56 + 4)
    'May 2026'
    """
    names = ("January", "February", "March", "April", "May", "June", "July", "August",
             "September", "October", "November", "December")  # fmt: skip
    return f"{names[month % 12]} {1970 + month // 12}"
