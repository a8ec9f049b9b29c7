"""How sure the answer is, in plain words."""

from pvkit.present.rounding import kwh, percent, pounds, spell, years
from pvkit.study.doubt import Range, Ranges
from pvkit.study.estimate import Estimate

_WIDTH = 34


def range_sentence(estimate: Estimate) -> str:
    """Say in one sentence how far the answer may be out, and what moves it most.

    Parameters
    ----------
    estimate : the answer for one site; its cases are drawn if they have not been
    """
    found, span = estimate.ranges, estimate.site.finance.years
    text = (
        f"In nine cases out of ten it makes at least {kwh(_cautious(found.yield_kwh))} in a year "
        f"and saves at least {pounds(_cautious(found.saving_gbp))} in the first; "
        f"{_paid_back(found, span)}"
    )
    if found.sways:
        text += f"; what moves the answer most is {found.sways[0].doubt.words}"
    return text + "."


def _cautious(found: Range) -> float:
    return 0.0 if found.p90 is None else found.p90


def _paid_back(found: Ranges, span: int) -> str:
    if found.payback_years.p90 is not None:
        return f"it has paid for itself within {years(found.payback_years.p90, span)}"
    if found.paid_back_fraction == 0.0:
        return f"in no case does it pay for itself within {spell(span)}"
    share = percent(found.paid_back_fraction)
    return f"in {share} of all cases it pays for itself within {spell(span)}"


def range_rows(estimate: Estimate) -> tuple[tuple[str, str, str, str], ...]:
    """Give each figure's cautious, middle and hopeful value in words."""
    found, span = estimate.ranges, estimate.site.finance.years

    def row(label: str, each: Range, say: str) -> tuple[str, str, str, str]:
        values = (each.p90, each.p50, each.p10)
        if say == "years":
            return (label, *(years(value, span) for value in values))  # type: ignore[return-value]
        words = kwh if say == "kwh" else pounds
        return (label, *(words(value or 0.0) for value in values))  # type: ignore[return-value]

    return (
        row("Makes in any one year", found.yield_kwh, "kwh"),
        row("Mean of the years counted", found.mean_yield_kwh, "kwh"),
        row("Saves in the first year", found.saving_gbp, "pounds"),
        row("Paid for itself", found.payback_years, "years"),
        row("Net present value", found.npv_gbp, "pounds"),
    )


def sway_rows(estimate: Estimate) -> tuple[tuple[str, str, str], ...]:
    """Give, for each doubt alone, what the net present value would be: cautious and hopeful."""
    return tuple(
        (sway.doubt.words, pounds(sway.npv_gbp.p90 or 0.0), pounds(sway.npv_gbp.p10 or 0.0))
        for sway in estimate.ranges.sways
    )


def range_text(estimate: Estimate) -> str:
    """Say the ranges and what moves them, for the terminal."""
    head = f"{'How sure it is':{_WIDTH}}{'cautious':>22}{'middle':>22}{'hopeful':>22}"
    lines = [head]
    lines += [
        f"  {label:{_WIDTH - 2}}{low:>22}{middle:>22}{high:>22}"
        for label, low, middle, high in range_rows(estimate)
    ]
    lines += ["", f"{'Net present value if only this is other':{_WIDTH + 22}}"]
    lines += [f"  {name:{_WIDTH - 2}}{low:>22}{'':22}{high:>22}" for name, low, high in
              sway_rows(estimate)]  # fmt: skip
    lines += ["", range_sentence(estimate)]
    lines += [f"Note: {text}" for text in estimate.ranges.notes]
    return "\n".join(line.rstrip() for line in lines)
