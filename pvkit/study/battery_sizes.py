"""What a larger or smaller battery would do in this home."""

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd

from pvkit.study.home_year import HomeYear, home_year
from pvkit.study.study import Study
from pvkit.study.sweep import Progress, Watch

SIZES_KWH = tuple(float(size) for size in range(16))
MEASURES = (
    "used_at_home_fraction", "self_sufficiency_fraction", "import_kwh", "export_kwh",
    "first_year_saving_gbp",
)  # fmt: skip


def battery_sizes(
    study: Study, sizes_kwh: Sequence[float] = SIZES_KWH, watch: Watch | None = None
) -> pd.DataFrame:
    """Work out the home's year with each size of battery, all else as it is.

    Parameters
    ----------
    study : the site; a home without a battery is given one of the usual kind
    sizes_kwh : capacities of the data sheet [kWh]
    watch : called before each size; what it returns as False stops

    Returns
    -------
    a row for each size: shares used at home and not bought, kWh bought and sold, saving of year 1
    """
    found: dict[float, list[float]] = {}
    for done, size in enumerate(sizes_kwh):
        if watch is not None and watch(Progress(done, len(sizes_kwh), None)) is False:
            break
        year = _with(study, {"battery.capacity_kwh": size})
        found[size] = [getattr(year, name) for name in MEASURES]
    table = pd.DataFrame.from_dict(found, orient="index", columns=list(MEASURES))
    return table.rename_axis("battery_kwh")


def _with(study: Study, changes: Mapping[str, Any]) -> HomeYear:
    return home_year(study.change(changes))
