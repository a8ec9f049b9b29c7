"""What the compiled half-hours work on: rows of their tables, and a home's unchanging numbers.

Arrays are few and passed one by one; what is grouped holds numbers alone. The compiler would count
each user of every array of a group, at each call.
"""

from typing import NamedTuple

# Rows of the half-hours' table (14, n). Energies are of a half-hour [kWh].
SUN, BRIGHT, BRIGHT_SHARE, OVER_LIMIT, DRAW, COLD, BOILER_MOST, BOOST = range(8)
DRIVEN, HERE, WINDOW, ORDER, MARK, MONTH = range(8, 14)
SERIES = 14

# What the cheap hours are for, in MARK.
FREE, HOLD, FILL = range(3)
# What surplus goes to, in the orders.
BATTERY, UPPER, LOWER, CAR, EXPORT = range(5)

# Rows of the lanes' table: flows of the half-hour [kWh], then state at its end; what is fixed; and
# how the sun stands over demand in the brighter and the dimmer part of the half-hour.
IMPORTED, EXPORTED, SPILLED, RESCUED, BATTERY_IN, BATTERY_OUT, BATTERY_GRID = range(7)
UPPER_IN, LOWER_IN, CYLINDER_GRID, BOILER, CAR_IN, CAR_GRID, CAR_AWAY = range(7, 14)
FLOWS = 14
HELD, TOP, BOTTOM, SINCE, LACK = range(14, 19)
KEPT = 19
SUN_SHARE, CAPACITY, FILL_LEVEL = range(19, 22)
BRIGHT_LEVEL, BRIGHT_OVER, DIM_LEVEL, DIM_OVER = range(22, 26)
ROWS = 26

NO_LIMIT = 1e9  # kWh: more than any half-hour exports


class Tank(NamedTuple):
    """The numbers of a :class:`pvkit.home.water.Water` under their names there."""

    fitted: bool
    top_kwh_per_k: float
    bottom_kwh_per_k: float
    loss_fraction: float
    ambient_degc: float
    floor_degc: float
    boiler_set_degc: float
    element_set_degc: float
    weekly_degc: float
    weekly_steps: float
    weekly_kwh: float
    weekly_by_element: bool
    lower_kwh: float
    upper_kwh: float
    diverter: bool
    relay: bool
    margin_kwh: float
    diverter_efficiency: float

    @classmethod
    def missing(cls) -> "Tank":
        """Give the tank of a home without one."""
        return cls(
            False,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            0.0,
            False,
            0.0,
            0.0,
            False,
            False,
            0.0,
            1.0,
        )


class Store(NamedTuple):
    """The numbers of a :class:`pvkit.home.battery.BatteryYear` under their names there."""

    power_kwh: float
    reserve_fraction: float
    into: float
    from_grid: float
    out: float
    standby_kwh: float

    @classmethod
    def missing(cls) -> "Store":
        """Give the battery of a home without one."""
        return cls(0.0, 0.0, 1.0, 1.0, 1.0, 0.0)


class Wheels(NamedTuple):
    """The numbers of a :class:`pvkit.home.car.CarYear` under their names there."""

    battery_kwh: float
    kept_kwh: float
    least_kwh: float
    most_kwh: float
    by_sun: bool

    @classmethod
    def missing(cls) -> "Wheels":
        """Give the car of a home without one."""
        return cls(0.0, 0.0, 0.0, 0.0, False)


class House(NamedTuple):
    """All of a home that does not change."""

    tank: Tank
    store: Store
    wheels: Wheels
    export_limit: float
