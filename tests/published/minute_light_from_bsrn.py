"""Make ``minute_light_by_clearness.csv`` anew from a month of one-minute light.

python tests/published/minute_light_from_bsrn.py STATION_FILE

The file is a Baseline Surface Radiation Network station-to-archive file; the table was made from
Payerne, June 2016, as it came with the tests of pvlib 0.9.5 (``bsrn-pay0616.dat.gz``).
"""

import sys
from itertools import pairwise

import numpy as np
import pandas as pd
from pvlib.iotools import read_bsrn
from pvlib.irradiance import aoi, get_extra_radiation
from pvlib.solarposition import get_solarposition

LATITUDE, LONGITUDE = 46.815, 6.944
TILT, AZIMUTH, ALBEDO = 30.0, 180.0, 0.2
LOWEST_SUN_DEG = 7.0
EDGES = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, np.inf])


def minutes(file):
    """Give each minute's light on the plane over its half-hour's mean, and the clearness."""
    data = read_bsrn(file)[0]
    sun = get_solarposition(data.index + pd.Timedelta(seconds=30), LATITUDE, LONGITUDE)
    sun.index = data.index
    height = np.clip(np.cos(np.radians(sun["zenith"])), 0.0, None)
    extra = get_extra_radiation(data.index)
    facing = np.clip(
        np.cos(np.radians(aoi(TILT, AZIMUTH, sun["apparent_zenith"], sun["azimuth"]))), 0.0, None
    )
    up = np.cos(np.radians(TILT))
    plane = data["dni"] * facing + data["dhi"] * (1 + up) / 2 + ALBEDO * data["ghi"] * (1 - up) / 2
    table = pd.DataFrame(
        {
            "ghi": data["ghi"],
            "outside": extra * height,
            "plane": plane,
            # the sun's own way across the half-hour, which is no cloud
            "trend": extra * (0.75 * facing + 0.1),
            "height": 90.0 - sun["zenith"],
        }
    ).dropna()
    for _, part in table.groupby(pd.Grouper(freq="30min")):
        if len(part) == 30 and part["height"].min() > LOWEST_SUN_DEG:
            shape = (part["plane"] / part["trend"]).to_numpy()
            yield part["ghi"].mean() / part["outside"].mean(), shape / shape.mean()


def two_lights(values):
    """Give share, brighter and dimmer level with the values' mean, variance and skewness."""
    spread = values.std()
    skew = ((values - 1.0) ** 3).mean() / spread**3
    share = 0.5 * (1.0 - skew / np.sqrt(skew**2 + 4.0))
    bright, dim = np.sqrt((1 - share) / share), np.sqrt(share / (1 - share))
    return share, 1.0 + spread * bright, 1.0 - spread * dim


def main(file):
    """Print the table."""
    found = list(minutes(file))
    clear = np.array([each[0] for each in found])
    values = np.array([each[1] for each in found])
    print("clearness_from,half_hours,bright_share,bright,dim")
    for low, high in pairwise(EDGES):
        here = (clear >= low) & (clear < high)
        share, bright, dim = two_lights(values[here].ravel())
        print(f"{low:.1f},{here.sum()},{share:.3f},{bright:.3f},{dim:.3f}")


if __name__ == "__main__":
    main(sys.argv[1])
