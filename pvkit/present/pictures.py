"""What each chart shows, apart from how it is drawn: one picture for each plain question."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pvkit.electrical.stack import Step
from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.rounding import kilograms, kwh, percent, pounds, spell, years
from pvkit.study.estimate import Estimate

WHEN = "When does it make power?"
WHERE = "Where does it go?"
LOST = "What is lost on the way?"
EARN = "What does it earn?"
AVOID = "What carbon does it avoid?"

_NOISE_KWH = 1e-9
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Series:
    """One set of bars or one line.

    Parameters
    ----------
    name : what it is, without unit
    values : one for each label of the picture
    ink : colour and pattern
    line : drawn as a line rather than as bars
    """

    name: str
    values: tuple[float, ...]
    ink: Ink
    line: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """One chart.

    Parameters
    ----------
    question : the plain question it answers
    answer : the answer in one sentence, also its alternative text
    labels : along the horizontal axis (or down the side, for steps)
    series : what is drawn; bars are stacked
    x_title, y_title : axis titles with units
    steps : drawn as falling steps down the page: the first and last series values are levels
    """

    question: str
    answer: str
    labels: tuple[str, ...]
    series: tuple[Series, ...]
    x_title: str
    y_title: str
    steps: bool = False


def when_picture(estimate: Estimate) -> Picture:
    """Month by month: what it makes beside what the home uses."""
    table = estimate.monthly
    made = table["solar_kwh"]
    best, worst = int(made.argmax()), int(made.argmin())
    answer = (
        f"It makes {kwh(estimate.ac_kwh)} a year, most in {MONTH_NAMES[best]} "
        f"({kwh(float(made.iloc[best]))}) and least in {MONTH_NAMES[worst]} "
        f"({kwh(float(made.iloc[worst]))})."
    )
    return Picture(
        WHEN,
        answer,
        tuple(table.index),
        (
            Series("made", _rounded(made), colours.SOLAR),
            Series("used by the home", _rounded(table["demand_kwh"]), colours.DEMAND, line=True),
        ),
        "month",
        "kWh a month",
    )


def where_picture(estimate: Estimate) -> Picture:
    """Month by month: the solar by where it goes."""
    table = estimate.monthly
    parts = [("used in the home", "direct_kwh", colours.DIRECT)]
    shares = [f"{_share(estimate.direct_kwh, estimate)} is used as it is made"]
    if estimate.cylinder_kwh > 0:
        parts.append(("heats water", "cylinder_kwh", colours.CYLINDER))
        shares.append(f"{_share(estimate.cylinder_kwh, estimate)} heats water")
    parts.append(("sent to the grid", "export_kwh", colours.EXPORT))
    answer = f"Of what it makes, {', '.join(shares)} and "
    answer += f"{_share(estimate.export_kwh, estimate)} goes to the grid."
    series = tuple(Series(name, _rounded(table[column]), ink) for name, column, ink in parts)
    return Picture(WHERE, answer, tuple(table.index), series, "month", "kWh a month")


def lost_picture(estimate: Estimate) -> Picture:
    """From sun on level ground to the meter, step by step; steps of no energy are left out."""
    stack = estimate.stages.output.stack
    shown = [s for s in stack if s.id in ("level", "metered") or abs(s.kwh) > _NOISE_KWH]
    losses = [s for s in stack if s.kwh < 0 and s.id != "plane"]
    lost = min(losses, key=lambda s: s.kwh, default=None)
    plane = next(s for s in stack if s.id == "plane")
    sun, metered = kwh(plane.remaining_kwh), kwh(stack[-1].kwh)
    answer = f"Of {sun} of sun on the panels, {metered} reach the meter"
    answer += f"; the largest loss is '{lost.name}', {kwh(-lost.kwh)}." if lost else "."
    values = tuple(round(s.kwh, 3) for s in shown)
    labels = tuple(s.name for s in shown)
    return Picture(LOST, answer, labels, (Series("energy", values, colours.LEVEL),), "kWh a year",
                   "", steps=True)  # fmt: skip


def steps_picture(seen: Sequence[Step]) -> Picture:
    """Show the first steps of a loss stack and what is left after them."""
    left = seen[-1].remaining_kwh
    answer = f"After '{seen[-1].name}' {kwh(left)} are left."
    labels = (*(step.name for step in seen), "left")
    values = (*(round(step.kwh, 3) for step in seen), round(left, 3))
    return Picture(LOST, answer, labels, (Series("energy", values, colours.LEVEL),), "kWh a year",
                   "", steps=True)  # fmt: skip


def earn_picture(estimate: Estimate) -> Picture:
    """Year by year: savings less costs, added up."""
    table = estimate.cash
    return Picture(
        EARN,
        _earned(estimate),
        tuple(str(year) for year in table.index),
        (
            Series("in hand", _rounded(table["cumulative_gbp"]), colours.MONEY, line=True),
            Series(
                "in hand, later pounds counting less",
                _rounded(table["discounted_gbp"]),
                colours.MONEY_DISCOUNTED,
                line=True,
            ),
        ),
        "years after the installation",
        "£, today's money",
    )


def _earned(estimate: Estimate) -> str:
    payback, span = estimate.simple_payback_years, len(estimate.cash) - 1
    end = float(estimate.cash["cumulative_gbp"].iloc[-1])
    if payback is None:
        return f"After {spell(span)} it is still {pounds(-end)} short of what it cost."
    return (
        f"It has paid for itself after {years(payback, span)}; after {spell(span)} it has earned "
        f"{pounds(end)} beyond what it cost."
    )


def avoid_picture(estimate: Estimate) -> Picture:
    """Year by year: carbon avoided, added up, less what making the system cost."""
    table = estimate.stages.carbon
    cumulative = (-table.embodied_kg, *table.cumulative_kg.tolist())
    return Picture(
        AVOID,
        _avoided(estimate),
        tuple(str(year) for year in range(len(cumulative))),
        (
            Series(
                "avoided so far", tuple(round(v, 1) for v in cumulative), colours.CARBON, line=True
            ),
        ),
        "years after the installation",
        "kg CO₂e",
    )


def _avoided(estimate: Estimate) -> str:
    table, saved = estimate.stages.carbon, estimate.carbon_saved_kgco2e
    span = len(table.cumulative_kg)
    first = f"It avoids {kilograms(estimate.carbon_first_year_kgco2e)} in its first year"
    made = f"the {kilograms(table.embodied_kg)} of making it"
    if saved < 0:
        return (
            f"{first}, and after {spell(span)} is {kilograms(-saved)} short of making good {made}."
        )
    return f"{first} and {kilograms(saved)} over {spell(span)}, beyond making good {made}."


PICTURES: dict[str, Callable[[Estimate], Picture]] = {
    WHEN: when_picture,
    WHERE: where_picture,
    LOST: lost_picture,
    EARN: earn_picture,
    AVOID: avoid_picture,
}


def _rounded(values: object) -> tuple[float, ...]:
    return tuple(round(float(value), 1) for value in values)  # type: ignore[attr-defined]


def _share(part_kwh: float, estimate: Estimate) -> str:
    return percent(part_kwh / estimate.ac_kwh if estimate.ac_kwh > 0 else 0.0)
