"""All that the home stage knows of a home beside the sun."""

from dataclasses import dataclass

from pvkit.home.battery import BatteryYear
from pvkit.home.car import CarYear
from pvkit.home.demand import Demand
from pvkit.home.water import Water

ORDER = ("battery", "car", "cylinder", "export")


@dataclass(frozen=True, slots=True, eq=False)
class Household:
    """A home as the half-hours are run on it.

    Parameters
    ----------
    demand : electricity used, by the minute
    water : the cylinder, if there is one
    battery, car : likewise
    order : who is given spare solar energy first; what stands after "export" has only what the
        network does not take. ("value",) lets the prices decide
    export_limit_kwh : most that may be exported in a half-hour, held in every minute; None is no
        limit [kWh]
    """

    demand: Demand
    water: Water | None = None
    battery: BatteryYear | None = None
    car: CarYear | None = None
    order: tuple[str, ...] = ORDER
    export_limit_kwh: float | None = None

    @property
    def by_value(self) -> bool:
        """Whether the prices decide who is given spare solar energy."""
        return self.order == ("value",)
