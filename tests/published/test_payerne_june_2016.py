"""A measured European June: how its days spread, and the sky's share of its light.

Source: Baseline Surface Radiation Network, station Payerne (Switzerland, 46.8 N, 491 m), June 2016,
one-minute readings carried in pvlib's source distribution and summed up by ``data/make.py``. One
month at one place: it shows whether the published curves we use look like weather, no more.
"""

from pathlib import Path

import numpy as np
import pandas as pd

from pvkit.sky.clearness import brightest_day, days_by_rank
from pvkit.sky.diffuse import erbs_fraction
from pvkit.tables import constant

SOURCE = "Baseline Surface Radiation Network; Payerne, June 2016"
DATA = Path(__file__).parent / "data"


def read(name):
    return pd.read_csv(DATA / name, comment="#")


# Agreement: from the duller quarter upwards within 0.05. The dullest days are another matter: the
# curve runs down to 0.05, and in this June no day was duller than 0.21.
def test_days_spread_as_the_curve_of_their_mean(published):
    days = read("payerne_june_2016_days.csv")["clearness"].to_numpy()
    many = 1000
    curve = days_by_rank(days.mean(), many, brightest_day(days.mean()))
    for check, quantiles, within in (
        (
            "daily clearness, quarter, half, three quarters, nine tenths",
            (0.25, 0.5, 0.75, 0.9),
            0.05,
        ),
        ("daily clearness, dullest tenth", (0.1,), 0.1),
    ):
        ours = np.interp(quantiles, (np.arange(many) + 0.5) / many, curve)
        theirs = np.quantile(days, quantiles, method="hazen")
        published(check, SOURCE, ours, theirs, "", "measured", within)


def test_bright_days_follow_bright_days_about_as_often(published):
    away = read("payerne_june_2016_days.csv")["clearness"].to_numpy()
    away = away - away.mean()
    measured = (away[1:] * away[:-1]).mean() / away.var()
    ours = constant("region.day_memory")
    published("yesterday's brightness carried over", SOURCE, ours, measured, "", "measured", 0.1)


# Agreement: 3 points over the month, 11 points at the worst clearness, 0.57: Erbs has less light of
# the sky than this June, most of all under thin cloud.
def test_the_skys_share_of_the_light_hour_by_hour(published):
    bins = read("payerne_june_2016_hours.csv")
    ours = erbs_fraction(bins["clearness"].to_numpy())
    share, measured = bins["share_of_light"].to_numpy(), bins["sky_share"].to_numpy()
    published("sky's share of the month's light", SOURCE, ours @ share, measured @ share, "",
              "measured", 0.04)  # fmt: skip
    many = (bins["hours"] >= 10).to_numpy()
    published("sky's share of the light by hourly clearness", SOURCE, ours[many], measured[many],
              "", "measured", 0.12)  # fmt: skip
