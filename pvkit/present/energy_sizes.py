"""How much battery pays: the year with each size, and what a kWh more of battery brings."""

from typing import Any

import numpy as np
import pandas as pd

from pvkit.present import colours
from pvkit.present.energy_charts import pair_json
from pvkit.present.picture import Series, rounded
from pvkit.present.rounding import percent, pounds
from pvkit.site.storage import Battery
from pvkit.study.home_year import HomeYear

_TITLES = ("battery, kWh", "used at home, %", "saved in the first year, £")


def sizes_picture(table: pd.DataFrame, year: HomeYear) -> tuple[dict[str, Any], str]:
    """Draw share used at home and saving against size, and say what a larger one brings.

    Parameters
    ----------
    table : of :func:`pvkit.study.battery_sizes.battery_sizes`
    year : the home as it now stands
    """
    sizes = [float(size) for size in table.index]
    used = Series("used at home", rounded(100 * table["used_at_home_fraction"]), colours.DIRECT)
    saved = Series("saves", rounded(table["first_year_saving_gbp"]), colours.MONEY)
    battery = year.site.battery
    here = 0.0 if battery is None else battery.capacity_kwh
    return pair_json(sizes, used, saved, _TITLES, here), _words(table, year)


def _words(table: pd.DataFrame, year: HomeYear) -> str:
    """Say which size leaves most over its life, and what it brings."""
    site = year.site
    pack = Battery(capacity_kwh=0.0) if site.battery is None else site.battery
    lived = float(((1.0 - pack.fade_per_year) ** np.arange(pack.life_years)).sum())
    sizes, saved = table.index.to_numpy(), table["first_year_saving_gbp"].to_numpy()
    used, price = table["used_at_home_fraction"].to_numpy(), site.costs.battery_gbp_per_kwh
    best = int((saved * lived - price * sizes).argmax())
    most = int(saved.argmax())
    taken = (
        f"A kWh of battery is taken at {pounds(price)} and {pack.life_years} years of life, its "
        "fade counted, a first converter not."
    )
    shown = best or most
    adds = (
        f"adds {pounds(saved[shown] - saved[0])} in the first year and lifts what is used at home "
        f"from {percent(used[0])} to {percent(used[shown])}"
    )
    if best == 0:
        return f"No size earns its price back; {sizes[most]:g} kWh {adds}. {taken}"
    return f"A battery of {sizes[best]:g} kWh leaves most over its life: it {adds}. {taken}"
