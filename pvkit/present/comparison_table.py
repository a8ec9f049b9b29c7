"""Scenarios side by side as a table of plain words, for the terminal."""

from collections.abc import Callable

from pvkit.present.rounding import change, kilograms, kwh, percent, pounds, rate, years
from pvkit.study.comparison import Column, Comparison

_LABEL_WIDTH, _GAP = 38, 2


def comparison_text(comparison: Comparison) -> str:
    """Say the figures of every case, and under them what each changes against the first.

    Parameters
    ----------
    comparison : of :func:`pvkit.study.comparison.compare`

    Returns
    -------
    text, a column for each case
    """
    columns = comparison.columns
    names = [column.name for column in columns]
    cells = [(label, [say(column) for column in columns]) for label, say in _ROWS]
    cells += [(label, ["", *(say(c, columns[0]) for c in columns[1:])]) for label, say in _LESS]
    widths = [
        max(len(name), *(len(row[n]) for _, row in cells)) + _GAP for n, name in enumerate(names)
    ]
    title = columns[0].estimate.site.site.name
    lines = [title, "─" * len(title), "", _line("", names, widths)]
    for label, row in cells:
        if label == _LESS[0][0]:
            lines += ["", "Against the first"]
        lines.append(_line(label, row, widths))
    lines += ["", *_notes(comparison)]
    return "\n".join(lines)


def comparison_rows(comparison: Comparison) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the same figures as rows: a label, and a cell for each case.

    The rows that set a case against the first one leave that one's cell empty.
    """
    columns = comparison.columns
    figures = [(label, tuple(say(column) for column in columns)) for label, say in _ROWS]
    less = [
        (
            f"{label.strip()}, against the first",
            ("", *(say(column, columns[0]) for column in columns[1:])),
        )
        for label, say in _LESS
    ]
    return (*figures, *less)


def _line(label: str, cells: list[str], widths: list[int]) -> str:
    shown = "".join(f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
    return f"{label:{_LABEL_WIDTH}}{shown}".rstrip()


def _notes(comparison: Comparison) -> list[str]:
    first = comparison.columns[0].estimate
    found = [f"{c.name}: {c.note}" for c in comparison.columns if c.note]
    found.append(
        f"Nine cases in ten do at least as well as the cautious figures; every scenario meets the "
        f"same {first.ranges.cases:,} cases of sun, prices and habits."
    )
    found += [f"Note: {text}" for text in (*comparison.notes, *first.ranges.notes)]
    return [*found, "", *(f"• {text}" for text in first.cautions)]


def _span(column: Column) -> int:
    return column.estimate.site.finance.years


def _figure(column: Column, name: str) -> float:
    value = column.figures[name]
    return 0.0 if value is None else value


_ROWS: tuple[tuple[str, Callable[[Column], str]], ...] = (
    ("Makes in a year", lambda c: kwh(_figure(c, "ac_kwh"))),
    ("  cautious", lambda c: kwh(_figure(c, "ac_p90_kwh"))),
    ("Used at home", lambda c: percent(_figure(c, "used_at_home_fraction"))),
    ("Price", lambda c: pounds(_figure(c, "capital_gbp"))),
    ("Saves in the first year", lambda c: pounds(_figure(c, "first_year_saving_gbp"))),
    ("  cautious", lambda c: pounds(_figure(c, "first_year_saving_p90_gbp"))),
    ("Paid for itself", lambda c: years(c.figures["simple_payback_years"], _span(c))),
    ("  cautious", lambda c: years(c.figures["simple_payback_p90_years"], _span(c))),
    ("Net present value", lambda c: pounds(_figure(c, "npv_gbp"))),
    ("  cautious", lambda c: pounds(_figure(c, "npv_p90_gbp"))),
    ("Rate of return", lambda c: rate(c.figures["irr"])),
    ("Carbon avoided over the years, net", lambda c: kilograms(_figure(c, "carbon_saved_kgco2e"))),
)


def _by(name: str, unit: str) -> Callable[[Column, Column], str]:
    def say(column: Column, first: Column) -> str:
        return f"{change(_figure(column, name) - _figure(first, name))}{unit}"

    return say


def _pounds_by(name: str) -> Callable[[Column, Column], str]:
    def say(column: Column, first: Column) -> str:
        less = _figure(column, name) - _figure(first, name)
        return f"+{pounds(less)}" if less > 0 else pounds(less)

    return say


def _sooner(column: Column, first: Column) -> str:
    here, there = column.figures["simple_payback_years"], first.figures["simple_payback_years"]
    if here is None or there is None:
        return (
            "the same"
            if here is there
            else "now within"
            if here is not None
            else "no longer within"
        )
    if here == there:
        return "the same"
    word = "sooner" if here < there else "later"
    return f"{years(abs(here - there), _span(column))} {word}"


_LESS: tuple[tuple[str, Callable[[Column, Column], str]], ...] = (
    ("  makes in a year", _by("ac_kwh", " kWh")),
    ("  price", _pounds_by("capital_gbp")),
    ("  saves in the first year", _pounds_by("first_year_saving_gbp")),
    ("  paid for itself", _sooner),
    ("  net present value", _pounds_by("npv_gbp")),
    ("  net present value, cautious", _pounds_by("npv_p90_gbp")),
    ("  carbon avoided, net", _by("carbon_saved_kgco2e", " kg")),
)
