"""Say what a change did, and why, in one sentence."""

from collections.abc import Iterator

from pvkit.present.rounding import pounds
from pvkit.study.estimate import Estimate

_WINTER = ("Oct", "Nov", "Dec", "Jan", "Feb", "Mar")
_MONTHS_A_YEAR = 12


def what_changed(surveyed: Estimate, now: Estimate, moved: tuple[str, ...], why: str) -> str:
    """Compare a changed case with the surveyed one.

    Parameters
    ----------
    surveyed, now : the two answers
    moved : what was changed, in words, as ``tilt 22° (surveyed: 10°)``
    why : why the last change moves the answer

    Returns
    -------
    one or two sentences; says so when nothing was changed or nothing moved
    """
    if not moved:
        return "This is the case as surveyed. Move a control to see what it changes."
    effects = list(_effects(surveyed, now)) or ["nothing in the figures above moves"]
    text = f"{_capital(', '.join(moved))}: {', '.join(effects)}."
    return f"{text} {_capital(why)}." if why else text


def _effects(surveyed: Estimate, now: Estimate) -> Iterator[str]:
    before, after = _half_years(surveyed), _half_years(now)
    winter, summer = (100 * (b / a - 1) if a > 0 else 0.0
                      for a, b in zip(before, after, strict=True))  # fmt: skip
    if any(abs(change) >= 0.5 for change in (winter, summer)):
        yield f"{_more(winter)} in winter"
        yield f"{_more(summer)} in summer"
    saving = now.first_year_saving_gbp - surveyed.first_year_saving_gbp
    if abs(saving) >= 0.5:
        yield f"saves {pounds(abs(saving))} {'more' if saving > 0 else 'less'} in the first year"
    yield from _payback(surveyed.simple_payback_years, now.simple_payback_years)
    worth = now.npv_gbp - surveyed.npv_gbp
    if abs(worth) >= 0.5:
        yield f"worth {pounds(abs(worth))} {'more' if worth > 0 else 'less'} over its life"


def _half_years(case: Estimate) -> tuple[float, float]:
    """Give what is made from October to March, and in the rest of the year [kWh]."""
    made = case.monthly["solar_kwh"]
    winter = float(made[list(_WINTER)].sum())
    return winter, float(made.sum()) - winter


def _more(change: float) -> str:
    if abs(change) < 0.5:
        return "no change"
    return f"{abs(change):.0f} % {'more' if change > 0 else 'less'}"


def _payback(before: float | None, after: float | None) -> Iterator[str]:
    if before is None and after is not None:
        yield "it now pays for itself"
    elif before is not None and after is None:
        yield "it no longer pays for itself in the years counted"
    elif before is not None and after is not None:
        months = round((after - before) * _MONTHS_A_YEAR)
        if months:
            plural = "s" if abs(months) != 1 else ""
            yield f"payback {abs(months)} month{plural} {'later' if months > 0 else 'sooner'}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
