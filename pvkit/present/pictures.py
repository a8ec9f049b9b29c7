"""What each chart shows, apart from how it is drawn: one picture for each plain question."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pvkit.electrical.stack import Step
from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.money_pictures import AVOID, EARN, avoid_picture, earn_picture
from pvkit.present.picture import Picture, Series, rounded
from pvkit.present.rounding import kwh, percent
from pvkit.study.estimate import Estimate

__all__ = [
    "AVOID", "EARN", "LOST", "MONTH_NAMES", "PICTURES", "WHEN", "WHERE", "Picture", "Series",
    "lost_picture", "steps_picture", "when_picture", "where_picture",
]  # fmt: skip

WHEN = "When does it make power?"
WHERE = "Where does it go?"
LOST = "What is lost on the way?"

_NOISE_KWH = 1e-9
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class EnergyPath:
    """One way the solar energy can take.

    Parameters
    ----------
    column : of the estimate's monthly table
    name : as a legend has it
    words : as a sentence has it, after a share
    ink : colour and pattern
    """

    column: str
    name: str
    words: str
    ink: Ink


PATHS = (
    EnergyPath("direct_kwh", "used in the home", "is used as it is made", colours.DIRECT),
    EnergyPath("battery_in_kwh", "into the battery", "goes into the battery", colours.BATTERY),
    EnergyPath("car_kwh", "into the car", "goes into the car", colours.CAR),
    EnergyPath("cylinder_kwh", "heats water", "heats water", colours.CYLINDER),
    EnergyPath("export_kwh", "sent to the grid", "goes to the grid", colours.EXPORT),
    EnergyPath("spilled_kwh", "not usable", "is cut off by the export limit", colours.SPILLED),
)


def when_picture(estimate: Estimate, *, ranged: bool = False) -> Picture:
    """Month by month: what it makes beside what the home uses.

    Parameters
    ----------
    estimate : the answer for one site
    ranged : show each month's likely range as well
    """
    table = estimate.monthly
    made = table["solar_kwh"]
    best, worst = int(made.argmax()), int(made.argmin())
    answer = (
        f"It makes {kwh(estimate.ac_kwh)} a year, most in {MONTH_NAMES[best]} "
        f"({kwh(float(made.iloc[best]))}) and least in {MONTH_NAMES[worst]} "
        f"({kwh(float(made.iloc[worst]))})."
    )
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    if ranged:
        low = rounded(month.p90 or 0.0 for month in estimate.month_ranges)
        high = rounded(month.p10 or 0.0 for month in estimate.month_ranges)
        answer += " The thin lines span what eight months in ten come to."
    return Picture(
        WHEN,
        answer,
        tuple(table.index),
        (
            Series("made", rounded(made), colours.SOLAR, low=low, high=high),
            Series("used by the home", rounded(table["demand_kwh"]), colours.DEMAND, line=True),
        ),
        "month",
        "kWh a month",
    )


def where_picture(estimate: Estimate) -> Picture:
    """Month by month: the solar by where it goes; paths that nothing takes are left out."""
    table = estimate.monthly
    taken = [path for path in PATHS if float(table[path.column].sum()) > _NOISE_KWH]
    shares = [f"{_share(float(table[path.column].sum()), estimate)} {path.words}" for path in taken]
    said = ", ".join(shares[:-1]) + (" and " if len(shares) > 1 else "") + "".join(shares[-1:])
    answer = f"Of what it makes, {said}." if taken else "It makes nothing."
    series = tuple(Series(path.name, rounded(table[path.column]), path.ink) for path in taken)
    series = series or (Series(PATHS[0].name, rounded(table["direct_kwh"]), PATHS[0].ink),)
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


PICTURES: dict[str, Callable[[Estimate], Picture]] = {
    WHEN: when_picture,
    WHERE: where_picture,
    LOST: lost_picture,
    EARN: earn_picture,
    AVOID: avoid_picture,
}


def _share(part_kwh: float, estimate: Estimate) -> str:
    return percent(part_kwh / estimate.ac_kwh if estimate.ac_kwh > 0 else 0.0)
