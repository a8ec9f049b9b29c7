"""What a kWh weighs in carbon over the years, and what making the system weighed."""

from typing import Literal

from pvkit.site.fields import Section, choice, quantity, text


class Carbon(Section):
    """The ``[carbon]`` table: how the grid gets cleaner, and what making the system cost."""

    grid_path: Literal["falling", "monthly", "file"] = choice(
        "carbon.grid_path", "say which path the grid's carbon takes"
    )
    grid_file: str | None = text(1000, "give the name of a CSV file", optional=True)
    grid_file_at: Literal["generation", "consumption"] = choice(
        "carbon.grid_file_at", "say whether the file's factors are before or after the lines' loss"
    )
    grid_fall_per_year: float = quantity(
        "1/year", 0.0, 0.5, "give a share, 0.08 for 8 % a year", key="carbon.grid_fall_per_year"
    )
    grid_floor_kgco2e_per_kwh: float = quantity(
        "kgCO2e/kWh", 0.0, 1.0, "give kilograms, not grams", key="carbon.grid_floor_kgco2e_per_kwh"
    )
    embodied_kgco2e_per_kwp: float = quantity(
        "kgCO2e/kWp", 0.0, 5000.0, "give kilograms for each kWp of panels",
        key="carbon.embodied_kgco2e_per_kwp",
    )  # fmt: skip
    battery_kgco2e_per_kwh: float = quantity(
        "kgCO2e/kWh", 0.0, 1000.0, "give kilograms for each kWh of battery",
        key="carbon.battery_kgco2e_per_kwh",
    )  # fmt: skip
