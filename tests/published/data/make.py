"""Make the tables of this folder from the packages that carry the readings.

python -m tests.published.data.make PVLIB PVANALYTICS

PVLIB is the unpacked source distribution of pvlib 0.16.1 (its ``tests/data``), PVANALYTICS the
unpacked wheel of pvanalytics 0.2.2 (its ``pvanalytics/data``).
"""

import json
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib

HERE = Path(__file__).resolve().parent
PVANALYTICS = (
    "pvanalytics 0.2.2 (MIT, Copyright (c) 2020, 2022 Alliance for Sustainable Energy, LLC and"
    " National Technology and Engineering Solutions of Sandia, LLC)"
)
PAYERNE = (46.815, 6.944, 491.0)  # latitude, longitude, height [m]
CLEARNESS_STEP = 0.05
LEAST_OUTSIDE_W_PER_M2 = 70.0


def write(name, source, table, decimals):
    text = table.round(decimals).to_csv(index=False, lineterminator="\n")
    (HERE / name).write_text(f"# Source: {source}\n{text}", encoding="utf-8")


def precise_curves(folder):
    """Gather the corner points of both sets of curves, as many digits as are given."""
    rows = []
    for number in (1, 2):
        curves = json.loads((folder / f"precise_iv_curves{number}.json").read_text())["IV Curves"]
        given = pd.read_csv(folder / f"precise_iv_curves_parameter_sets{number}.csv", dtype=str)
        for curve, (_, five) in zip(curves, given.iterrows(), strict=True):
            assert str(curve["Index"]) == five.pop("Index")
            corners = {name: curve[name][:22] for name in ("i_sc", "v_oc", "i_mp", "v_mp", "p_mp")}
            rows.append({"set": number, "curve": curve["Index"], **five, **corners})
    write(
        "precise_iv_curves.csv",
        "pvlib-python 0.16.1 (BSD-3), tests/data/precise_iv_curves1.json and 2.json with their"
        " parameter sets; solved to 40 digits of which 20 are kept; 298.15 K",
        pd.DataFrame(rows), 20,
    )  # fmt: skip


def payerne(folder):
    """Sum up a measured June: each day's clearness, and the sky's share by hourly clearness."""
    table, _ = pvlib.iotools.read_bsrn(folder / "bsrn-lr0100-pay0616.dat")
    middles = table.index + pd.Timedelta(seconds=30)
    zenith = pvlib.solarposition.get_solarposition(middles, *PAYERNE)["apparent_zenith"]
    outside = np.maximum(np.cos(np.radians(zenith.to_numpy())), 0.0)
    outside = outside * np.asarray(pvlib.irradiance.get_extra_radiation(middles))
    table = table[["ghi", "dni", "dhi"]].assign(outside=outside)
    source = (
        "worked out from the one-minute readings of the Baseline Surface Radiation Network, station"
        " Payerne (Switzerland, 46.815 N, 491 m), June 2016, as carried in pvlib-python 0.16.1"
    )
    days = table.resample("D").mean()
    clearness = (days["ghi"] / days["outside"]).rename("clearness")
    write("payerne_june_2016_days.csv", source, clearness.to_frame(), 4)
    hours = table.resample("h").mean().dropna()
    hours = hours[hours["outside"] > LEAST_OUTSIDE_W_PER_M2]
    share = hours["ghi"] / hours["outside"]
    groups = hours.groupby((share / CLEARNESS_STEP).astype(int))
    sums = groups.sum()
    bins = pd.DataFrame(
        {
            "hours": groups.size(),
            "clearness": sums["ghi"] / sums["outside"],
            "share_of_light": sums["ghi"] / hours["ghi"].sum(),
            "sky_share": sums["dhi"] / sums["ghi"],
        }
    )
    write("payerne_june_2016_hours.csv", source, bins, 4)


def golden_east(folder):
    """Keep the daylight half-hours of a roof's metered power beside satellite light."""
    power = pd.read_csv(folder / "serf_east_15min_ac_power.csv", index_col=0, parse_dates=True)
    sky = pd.read_csv(folder / "serf_east_psm3_data.csv", index_col=0, parse_dates=True)
    sky["cloudless"] = (sky["ghi"] == sky["ghi_clear"]).astype(float)
    table = sky[["ghi", "temp_air", "cloudless"]].assign(ac=power["ac_power"])
    halves = table.tz_convert("UTC").resample("30min").mean().dropna()
    halves = halves[halves["ghi"] > 0]
    halves["cloudless"] = (halves["cloudless"] == 1.0).astype(int)
    halves.insert(0, "start_utc", halves.index.strftime("%Y-%m-%dT%H:%M"))
    write(
        "golden_east_2016.csv",
        f"{PVANALYTICS}, serf_east_15min_ac_power.csv (a.c. power, relative unit) and the satellite"
        " light and air temperature beside it; half-hours with light",
        halves, 1,
    )  # fmt: skip


def golden_roof(folder):
    """Keep five winter days of a large roof's light, air, wind, module temperature and power."""
    table = pd.read_csv(folder / "nrel_RSF_II.csv", index_col=0, parse_dates=True)
    kept = pd.DataFrame(
        {
            "start": table.index.strftime("%Y-%m-%dT%H:%M"),
            "poa_global": table["poa_irradiance__1055"].to_numpy(),
            "temp_air": table["ambient_temp__1053"].to_numpy(),
            "wind_speed": table["wind_speed__1051"].to_numpy(),
            "temp_cell": table["module_temp__1056"].to_numpy(),
            "inverter_kw": table["inv2_ac_power_w__1047"].to_numpy() / 1000,
        }
    )
    kept = kept[(kept["poa_global"] > 0) | (kept["inverter_kw"] > 0)]
    source = (
        f"{PVANALYTICS}, nrel_RSF_II.csv; quarter-hours with light or power; inverter of 204.12 kW"
        " of modules"
    )
    write("golden_roof_2022.csv", source, kept, 3)


def main(pvlib_folder, pvanalytics_folder):
    data = Path(pvlib_folder) / "tests" / "data"
    precise_curves(data)
    payerne(data)
    for make in (golden_east, golden_roof):
        make(Path(pvanalytics_folder) / "pvanalytics" / "data")


if __name__ == "__main__":
    main(*sys.argv[1:])
