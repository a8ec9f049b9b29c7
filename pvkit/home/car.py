"""The electric car: what it drives, when it stands at home, when the grid may charge it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import BoolArray, between, hours, local_calendar
from pvkit.site.car import Car
from pvkit.tables import constant, numbers

Array = NDArray[np.float64]

HOURS_PER_STEP = 0.5
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True, eq=False)
class CarYear:
    """A car ready to be run through the year.

    Parameters
    ----------
    driven_kwh : (n,) what it has driven, when it comes home [kWh]
    here : (n,) True while it is plugged in
    window : (n,) True while the grid may charge it, by its clock
    night : (n,) True while cheap hours are looked for instead
    battery_kwh : what its battery holds [kWh]
    kept_kwh : how far below full the grid leaves it, for the sun to fill [kWh]
    least_kwh, most_kwh : power of the charger over a half-hour [kWh]
    by_sun : it takes surplus
    """

    driven_kwh: Array
    here: BoolArray
    window: BoolArray
    night: BoolArray
    battery_kwh: float
    kept_kwh: float
    least_kwh: float
    most_kwh: float
    by_sun: bool


def car_year(car: Car) -> CarYear:
    """Work out the car's year by the local clock.

    On days at home it stands plugged in; on the others it is away for the working day and comes
    home with what it has driven, all such days alike. A car that is at home every day drives in
    the evening.

    Parameters
    ----------
    car : from the site file

    Returns
    -------
    The car, ready for :func:`pvkit.home.flows.year_flows`.

    Examples
    --------
    >>> year = car_year(Car(yearly_miles=7000.0, kwh_per_mile=0.3))
    >>> round(float(year.driven_kwh.sum()), 6)
    2100.0
    """
    calendar, table = local_calendar(), numbers("constants.toml")
    at_home = table["car.days_at_home"].value[: car.days_at_home]
    stays = np.isin(calendar.weekday, [DAYS.index(day) for day in at_home])
    leaves_h, returns_h = table["car.away_h"].value
    drives = np.ones_like(stays) if stays.all() else ~stays
    back = drives & (calendar.half_hour == round(returns_h / HOURS_PER_STEP))
    kept = (1.0 - car.least_fraction) * car.battery_kwh if car.by_sun else 0.0
    return CarYear(
        driven_kwh=back * (car.yearly_miles * car.kwh_per_mile / back.sum()),
        here=stays | ~between(leaves_h, returns_h),
        window=between(hours(car.charge_start), constant("car.charge_end_h")),
        night=between(*table["car.night_h"].value),
        battery_kwh=car.battery_kwh,
        kept_kwh=kept,
        least_kwh=car.minimum_kw * HOURS_PER_STEP,
        most_kwh=car.charger_kw * HOURS_PER_STEP,
        by_sun=car.by_sun,
    )
