"""How sure the survey is of what the answer rests on."""

from typing import Any

from pvkit.site.fields import Flag, Section, choice, quantity, text


def _spread(what: str, high: float = 1.0) -> Any:
    """Declare a doubt's size; left out, it is that of the table of doubts."""
    return quantity("-", 0.0, high, f"give {what}; 0 for no doubt", optional=True)


class Doubt(Section):
    """The ``[doubt]`` table: the size of each doubt, as one standard deviation.

    What is left out takes its size from ``doubts.toml``, where each doubt's shape, source and
    kind stand too. A size of 0 switches the doubt off.
    """

    sun_fraction: float | None = _spread("the year-to-year spread of sunlight, 0.04 for 4 %", 0.3)
    sun_file: str | None = text(
        1000, "give the name of a CSV file of many years of light", optional=True
    )
    model_fraction: float | None = _spread("the doubt of light data and method, 0.05 for 5 %", 0.5)
    shade_fraction: float | None = _spread("the doubt of the shade loss, 0.3 for a third of it")
    soiling_fraction: float | None = _spread("the doubt of the loss to dirt, 0.5 for half of it")
    degradation_fraction: float | None = _spread("the doubt of the yearly ageing, 0.4 for 40 %")
    demand_fraction: float | None = _spread("the doubt of the yearly use, 0.1 for 10 %", 0.3)
    habits_fraction: float | None = _spread(
        "the doubt of how much is used as it is made, 0.1 for 10 %", 0.3
    )
    import_price_fraction: float | None = _spread("the doubt of the import price, 0.07 for 7 %")
    export_price_fraction: float | None = _spread("the doubt of the export price, 0.15 for 15 %")
    gas_price_fraction: float | None = _spread("the doubt of the gas price, 0.09 for 9 %")
    price_drift_per_year: float | None = quantity(
        "1/year", 0.0, 0.1, "give the doubt of the yearly price change, 0.01 for 1 % a year",
        optional=True,
    )  # fmt: skip
    newer_light: Flag = choice("doubt.newer_light", "write true or false")
