"""Where the energy of an estimate goes, as attributes and tables."""

from functools import cached_property

import numpy as np
import pandas as pd

from pvkit.home.calendar import local_calendar
from pvkit.home.value import NextKwh, diverter_words, diverting_pays_below_gbp, next_kwh
from pvkit.study.household import site_prices
from pvkit.study.stages import Stages
from pvkit.tables import MONTHS

FLOW_COLUMNS = (
    "solar_kwh", "rescued_kwh", "demand_kwh", "standby_kwh", "direct_kwh", "battery_in_kwh",
    "car_kwh", "cylinder_kwh", "export_kwh", "spilled_kwh", "battery_out_kwh", "import_kwh",
    "battery_grid_kwh", "car_grid_kwh", "cylinder_grid_kwh",
)  # fmt: skip


class HomeAnswers:
    """What the home does with the energy; part of :class:`pvkit.study.estimate.Estimate`."""

    stages: Stages

    def _year_sum(self, name: str) -> float:
        return float(getattr(self.stages.year, name).sum())

    @property
    def demand_kwh(self) -> float:
        """Electricity the home uses in a year, without cylinder and car [kWh]."""
        return self._year_sum("demand_kwh")

    @property
    def direct_kwh(self) -> float:
        """Solar used in the home as it is made [kWh]."""
        return self._year_sum("direct_kwh")

    @property
    def battery_in_kwh(self) -> float:
        """Solar taken by the battery [kWh]."""
        return self._year_sum("battery_in_kwh")

    @property
    def battery_out_kwh(self) -> float:
        """Given to the home by the battery, from the sun and from cheap hours [kWh]."""
        return self._year_sum("battery_out_kwh")

    @property
    def battery_grid_kwh(self) -> float:
        """Charged into the battery from the grid at cheap hours [kWh]."""
        return self._year_sum("battery_grid_kwh")

    @property
    def cylinder_kwh(self) -> float:
        """Solar sent to the hot-water cylinder [kWh]."""
        return self._year_sum("cylinder_kwh")

    @property
    def car_solar_kwh(self) -> float:
        """Solar sent to the car [kWh]."""
        return self._year_sum("car_kwh")

    @property
    def car_kwh(self) -> float:
        """What the car is charged with at home, sun and grid [kWh]."""
        return self.car_solar_kwh + self._year_sum("car_grid_kwh")

    @property
    def export_kwh(self) -> float:
        """Solar sent to the grid [kWh]."""
        return self._year_sum("export_kwh")

    @property
    def spilled_kwh(self) -> float:
        """Solar that nothing could take, the network's export limit held [kWh]."""
        return self._year_sum("spilled_kwh")

    @property
    def import_kwh(self) -> float:
        """Electricity bought [kWh]."""
        return self._year_sum("import_kwh")

    @property
    def bought_without_kwh(self) -> float:
        """Electricity that would be bought without the system, the car's included [kWh]."""
        return self._year_sum("without_kwh")

    @property
    def gas_saved_kwh(self) -> float:
        """Gas the boiler does not burn [kWh]."""
        return self._year_sum("gas_without_kwh") - self._year_sum("gas_with_kwh")

    @property
    def used_at_home_fraction(self) -> float:
        """Share of the solar used in the home, its battery, car or cylinder; self-consumption."""
        made = self._year_sum("solar_kwh") + self._year_sum("rescued_kwh")
        used = self.direct_kwh + self.battery_in_kwh + self.cylinder_kwh + self.car_solar_kwh
        return used / made if made > 0 else 0.0

    @property
    def self_sufficiency_fraction(self) -> float:
        """Share of the electricity otherwise bought that is not bought any more."""
        without = self.bought_without_kwh
        return 1.0 - self.import_kwh / without if without > 0 else 0.0

    @property
    def monthly(self) -> pd.DataFrame:
        """Each local calendar month's flows [kWh]."""
        return self._monthly.copy()

    @cached_property
    def _monthly(self) -> pd.DataFrame:
        month = local_calendar().month
        sums = {
            name: np.bincount(month, weights=getattr(self.stages.year, name), minlength=12)
            for name in FLOW_COLUMNS
        }
        return pd.DataFrame(sums, index=pd.Index([m.title() for m in MONTHS], name="month"))

    @property
    def flows(self) -> pd.DataFrame:
        """Every half-hour's flows by path [kWh], labelled by its start in UTC."""
        columns = {name: getattr(self.stages.year, name) for name in FLOW_COLUMNS}
        return pd.DataFrame(columns, index=self.stages.sky.sun.times.rename("start_utc"))

    @property
    def stores(self) -> pd.DataFrame:
        """What battery and cylinder hold at the end of every half-hour."""
        year = self.stages.year
        columns = {
            "battery_held_kwh": year.battery_held_kwh,
            "cylinder_top_degc": year.top_degc,
            "cylinder_bottom_degc": year.bottom_degc,
        }
        return pd.DataFrame(columns, index=self.stages.sky.sun.times.rename("start_utc"))

    @cached_property
    def next_kwh(self) -> NextKwh:
        """Where the next kWh of solar energy would go, and what it is worth on each path."""
        stages = self.stages
        return next_kwh(stages.solar, stages.home, site_prices(stages.site), stages.steering)

    @property
    def diverting_pays_below_gbp_per_kwh(self) -> float | None:
        """Export price below which heating water beats exporting; None without a diverter."""
        return diverting_pays_below_gbp(self.stages.home, site_prices(self.stages.site))

    @property
    def diverter_verdict(self) -> str:
        """Whether diverting beats exporting at today's prices, in plain words."""
        stages = self.stages
        return diverter_words(stages.home, site_prices(stages.site), stages.year)
