"""Small charts that set cautious, middle and hopeful figures, or several cases, side by side."""

from collections.abc import Callable

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.picture import Small, Smalls
from pvkit.present.range_words import range_sentence
from pvkit.present.rounding import kwh, pounds, whole, years
from pvkit.study.comparison import Comparison
from pvkit.study.doubt import Range
from pvkit.study.estimate import Estimate

SURE = "How sure is it?"
COMPARE = "How do the choices compare?"
_INKS = (
    colours.MONEY, colours.EXPORT, colours.CYLINDER, colours.BATTERY, colours.SPILLED,
    colours.DIRECT, colours.SOLAR,
)  # fmt: skip


def sure_picture(estimate: Estimate) -> Smalls:
    """Show cautious, middle and hopeful figure of yield, saving, payback and worth."""
    found, span = estimate.ranges, estimate.site.finance.years
    return Smalls(
        SURE,
        range_sentence(estimate),
        ("cautious", "middle", "hopeful"),
        (colours.CAUTIOUS, colours.MIDDLE, colours.HOPEFUL),
        (
            _small("made in a year", found.yield_kwh, kwh),
            _small("saved in the first year", found.saving_gbp, pounds),
            _small("paid for itself", found.payback_years, lambda value: years(value, span)),
            _small("net present value", found.npv_gbp, pounds),
        ),
    )


def _small(title: str, found: Range, say: Callable[[float], str]) -> Small:
    values = (found.p90, found.p50, found.p10)
    return Small(title, values, tuple(_said(value, say) for value in values))


def _said(value: float | None, say: Callable[[float], str]) -> str:
    return "not within<br>the years" if value is None else say(value)


def compare_picture(comparison: Comparison) -> Smalls:
    """Show yield, saving, payback, worth and carbon of every case."""
    columns = comparison.columns
    charts = []
    for title, name, say in _MEASURES:
        values = tuple(column.figures[name] for column in columns)
        charts.append(Small(title, values, tuple("none" if v is None else say(v) for v in values)))
    return Smalls(
        COMPARE, _best(comparison), tuple(column.name for column in columns),
        tuple(_ink(n) for n in range(len(columns))), tuple(charts),
    )  # fmt: skip


def _tenth(value: float) -> str:
    return f"{value:.1f}"


# Bars that stand close have short words: the unit is in the title.
_MEASURES: tuple[tuple[str, str, Callable[[float], str]], ...] = (
    ("made in a year, kWh", "ac_kwh", whole),
    ("saved in the first year, £", "first_year_saving_gbp", whole),
    ("paid for itself, years", "simple_payback_years", _tenth),
    ("net present value, £", "npv_gbp", whole),
    ("carbon avoided, net, kg", "carbon_saved_kgco2e", whole),
)


def _ink(number: int) -> Ink:
    return _INKS[number % len(_INKS)]


def _best(comparison: Comparison) -> str:
    """Say which case is worth most, and by how much."""
    first, *others = comparison.columns
    if not others:
        return "There is nothing to compare yet: move a control, or give a scenario file."
    worth = {c.name: c.figures["npv_gbp"] or 0.0 for c in comparison.columns}
    best = max(worth, key=lambda name: worth[name])
    if best == first.name:
        return f"None of them is worth more over its life than the case {first.name}."
    more = pounds(worth[best] - worth[first.name])
    return f"Of these '{best}' is worth most over its life, {more} more than the case {first.name}."
