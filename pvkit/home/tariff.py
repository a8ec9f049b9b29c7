"""What a kWh from the grid costs in each half-hour, by the clock on the wall."""

import numpy as np
from numpy.typing import NDArray

from pvkit.home.calendar import local_calendar
from pvkit.site.checks import band_slots
from pvkit.site.household import Tariff

Array = NDArray[np.float64]


def import_prices(tariff: Tariff) -> Array:
    """Lay the tariff's bands over the half-hours of the year.

    Parameters
    ----------
    tariff : flat price and the bands that replace it in parts of the day

    Returns
    -------
    (n,) import price today [GBP/kWh]; on the clock-change days the skipped hour has no
    half-hours and the repeated one has its band's price both times

    Examples
    --------
    >>> from pvkit.site.household import Band
    >>> night = Band(name="night", start="23:30", end="05:30", gbp_per_kwh=0.08)
    >>> import_prices(Tariff(import_gbp_per_kwh=0.28, import_bands=(night,)))[[0, 10, 11, 47]]
    array([0.08, 0.08, 0.28, 0.08])
    """
    by_clock = np.full(48, tariff.import_gbp_per_kwh)
    for band in tariff.import_bands:
        by_clock[band_slots(band)] = band.gbp_per_kwh
    return by_clock[local_calendar().half_hour]
