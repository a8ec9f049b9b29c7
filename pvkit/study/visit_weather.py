"""A weather file of the period: that it is of the days the readings are of."""

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.site.place import Weather
from pvkit.sky.files import READERS
from pvkit.study.visit_period import Period


def refuse_other_days(weather: Weather, period: Period) -> None:
    """Refuse a weather file that does not hold the days of the readings.

    The estimate puts a file on its reference year by month and day, whatever year it is of; a
    visit needs the very days.

    Parameters
    ----------
    weather : the file
    period : the days counted

    Raises
    ------
    InputError
        If days of the readings are not in the file.
    """
    rows = READERS[weather.source](weather)
    there = np.unique(rows.starts.to_numpy().astype("datetime64[D]"))
    missing = np.setdiff1d(period.days[1:-1], there)  # the two ends may be cut by the clock
    if missing.size == 0:
        return
    raise InputError(
        Fault(f"weather.file, {rows.file}",
              f"found days from {there[0]} to {there[-1]}, which lack {missing[0]}"
              + (f" and {missing.size - 1} more days of the readings" if missing.size > 1 else ""),
              f"light of every day from {period.days[0]} to {period.days[-1]}",
              "bring the file of those days (a typical year tells nothing of them), or give"
              " [irradiation] by month")
    )  # fmt: skip
