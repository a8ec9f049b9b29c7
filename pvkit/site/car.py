"""The ``[car]`` table: an electric car that charges at home."""

from pvkit.site.fields import Flag, Section, choice, clock, quantity


class Car(Section):
    """An electric car: how far it goes, when it stands at home, how it is charged.

    With ``by_sun`` it takes spare solar energy whenever it is plugged in and the surplus is above
    the charger's least power; what is still short of ``least_fraction`` comes from the grid by
    night.
    """

    yearly_miles: float = quantity(
        "miles", 0.0, 50000.0, "give the miles of a year", key="car.yearly_miles"
    )
    kwh_per_mile: float = quantity(
        "kWh/mile", 0.1, 1.0, "give kWh from the charger for each mile, about 0.3",
        key="car.kwh_per_mile",
    )  # fmt: skip
    battery_kwh: float = quantity(
        "kWh", 5.0, 200.0, "give the usable capacity of the car's battery", key="car.battery_kwh"
    )
    days_at_home: int = quantity(
        "days/week", 0, 7, "count the days of a week it stands at home all day",
        key="car.days_at_home",
    )  # fmt: skip
    charger_kw: float = quantity(
        "kW", 1.0, 22.0, "give kilowatts, not amps: 7.4 for 32 A", key="car.charger_kw"
    )
    minimum_kw: float = quantity(
        "kW", 0.0, 5.0, "give the least power it charges at: 1.4 for 6 A", key="car.minimum_kw"
    )
    least_fraction: float = quantity(
        "-", 0.0, 1.0, "give how full it must be each morning, 0.5 for half",
        key="car.least_fraction",
    )  # fmt: skip
    by_sun: Flag = choice("car.by_sun", "write true or false")
    charge_start: str = clock("give when its grid charging starts", key="car.charge_start")
