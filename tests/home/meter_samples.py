"""Invented meter and price files: the samples of the kit, and whatever a test needs.

``python -m tests.home.meter_samples`` writes the samples anew; they come out the same every time.
The home is the built-in one, seeded, its days put on real dates by day of the week.
"""

from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.home.calendar import local_calendar
from pvkit.home.minutes import minute_year
from pvkit.site.household import Home

ZONE = "Europe/London"
SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
SEED = 2024
INVENTED = Home(yearly_kwh=3450.0, day="half", occupants=3.0)


def half_hours(first: date, last: date) -> pd.DatetimeIndex:
    """Every half-hour of some local days, both dates included, on the local clock."""
    begin, end = pd.Timestamp(first, tz=ZONE), pd.Timestamp(last + timedelta(days=1), tz=ZONE)
    return pd.date_range(begin, end, freq="30min")[:-1]


@cache
def _invented(home: Home, seed: int) -> np.ndarray:
    return minute_year(home, seed).sum(axis=1)


def used(times: pd.DatetimeIndex, home: Home = INVENTED, seed: int = SEED) -> np.ndarray:
    """What the invented home used, to a watt-hour, at times on the local clock [kWh]."""
    kwh = _invented(home, seed)
    calendar = local_calendar()
    by_clock = np.full((365, 48), np.nan)
    by_clock[calendar.day, calendar.half_hour] = kwh
    by_clock[np.isnan(by_clock)] = 0.1
    weekdays = (np.arange(365) + 2) % 7  # 1 January 2025 was a Wednesday
    day_of_year = np.minimum(times.day_of_year.to_numpy() - 1, 364)
    shift = (times.day_of_week.to_numpy() - weekdays[day_of_year] + 3) % 7 - 3
    at = (day_of_year + shift) % 365
    clock = times.hour.to_numpy() * 2 + times.minute.to_numpy() // 30
    return by_clock[at, clock].round(3)


def long_text(times, values, heading="Start,Import kWh", stamp="%d/%m/%Y %H:%M") -> str:
    """Give a file with a row for each half-hour."""
    rows = [f"{time:{stamp}},{value:g}" for time, value in zip(times, values, strict=True)]
    return "\n".join([heading, *rows]) + "\n"


def day_text(times, values, heading="Date", name="HH{}", stamp="%d/%m/%Y", width=50) -> str:
    """Give a file with a row for each local day, its half-hours numbered from 1."""
    table = pd.DataFrame({"day": times.strftime("%Y-%m-%d"), "value": values})
    rows = [",".join([heading, *(name.format(n) for n in range(1, width + 1))])]
    for day, group in table.groupby("day"):
        cells = [f"{value:g}" for value in group["value"]]
        cells += [""] * (width - len(cells))
        rows.append(",".join([f"{pd.Timestamp(day):{stamp}}", *cells]))
    return "\n".join(rows) + "\n"


def prices(times: pd.DatetimeIndex, seed: int = SEED) -> np.ndarray:
    """Invented half-hourly prices: cheap nights, dear evenings, now and then below zero [p/kWh]."""
    draw = np.random.default_rng(seed)
    hour = times.hour.to_numpy() + times.minute.to_numpy() / 60
    shape = 21.0 - 7.0 * (hour < 6) + 16.0 * ((hour >= 16) & (hour < 19))
    winter = 3.0 * np.cos(2 * np.pi * (times.day_of_year.to_numpy() - 15) / 365)
    windy = np.repeat(draw.normal(0.0, 6.0, len(times) // 48 + 2), 48)[: len(times)]
    return (shape + winter - np.abs(windy) + draw.normal(0.0, 1.5, len(times))).round(2)


def year_by_day() -> str:
    """A whole year by day, half-hours numbered as settlement does: 46, 48 or 50 of them."""
    times = half_hours(date(2024, 7, 1), date(2025, 6, 30))
    return day_text(times, used(times), heading="Reading date (kWh)")


def winter_with_faults() -> str:
    """Four months by half-hour with missing, repeated and negative readings."""
    times = half_hours(date(2024, 11, 1), date(2025, 2, 28))
    values = used(times)
    rows = long_text(times, values, "Interval start,Consumption (kWh)").splitlines()
    at = {str(time)[:16]: n + 1 for n, time in enumerate(times)}
    rows[at["2024-12-03 18:30"]] = "03/12/2024 18:30,-0.412"
    gap = range(at["2024-11-20 09:00"], at["2024-11-20 14:30"])
    lost = [*gap, at["2025-01-15 02:00"]]
    again = at["2025-02-09 07:00"]
    kept = [row for n, row in enumerate(rows) if n not in lost]
    kept.insert(kept.index(rows[again]), rows[again])
    return "\n".join(kept) + "\n"


def half_hourly_prices() -> str:
    """A year of half-hourly import prices in UTC."""
    times = half_hours(date(2025, 1, 1), date(2025, 12, 31)).tz_convert("UTC")
    return day_text(times, prices(times.tz_convert(ZONE)), heading="Day (p/kWh)", width=48)


FILES = {
    "meter_files/year_by_day.csv": year_by_day,
    "meter_files/winter_with_faults.csv": winter_with_faults,
    "price_files/half_hourly_prices.csv": half_hourly_prices,
}

if __name__ == "__main__":
    for name, make in FILES.items():
        path = SAMPLES / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(make(), encoding="utf-8", newline="\n")
        print(f"{path.stat().st_size:>9,} bytes  {name}")
