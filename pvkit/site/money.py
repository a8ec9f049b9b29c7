"""What it costs, how long it is counted, and what a kWh weighs in carbon."""

from pydantic import Field

from pvkit.site.fields import Section, listing, quantity, text


class CostItem(Section):
    """One line of the quotation."""

    name: str = text(120, 'name the item, like "scaffold"')
    gbp: float = quantity("GBP", -100000.0, 1000000.0, "give pounds; a discount is negative")


class Replacement(Section):
    """Something bought again in a later year."""

    name: str = text(120, 'name what is bought again, like "inverter"')
    year: int = quantity("year", 1, 60, "count years from the installation: 12 is the 12th")
    gbp: float = quantity("GBP", 0.0, 100000.0, "give pounds")


class Costs(Section):
    """The ``[costs]`` table. Without items, a typical price per kW stands in and is said so."""

    items: tuple[CostItem, ...] | None = Field(
        default=None,
        **listing(
            "a list of 1 to 200 items",
            1,
            200,
            'write each as { name = "modules", gbp = 780 }; leave items out for a typical price',
        ),
    )
    visit_gbp_per_year: float = quantity(
        "GBP/year", 0.0, 5000.0, "give pounds a year", key="costs.visit_gbp_per_year"
    )
    replacements: tuple[Replacement, ...] | None = Field(
        default=None,
        **listing(
            "a list of up to 100 replacements",
            0,
            100,
            'write each as { name = "inverter", year = 12, gbp = 600 }',
        ),
    )
    gbp_per_panel: float = quantity(
        "GBP", 0.0, 2000.0, "give pounds for one panel more or less, fitted",
        key="costs.gbp_per_panel",
    )  # fmt: skip
    optimiser_gbp_each: float = quantity(
        "GBP", 0.0, 500.0, "give pounds for one optimiser, fitted", key="costs.optimiser_gbp_each"
    )


class Finance(Section):
    """The ``[finance]`` table: span, discount rate (real) and ageing."""

    years: int = quantity("years", 1, 60, "count whole years", key="finance.years")
    first_year: int = quantity(
        "year", 2020, 2060, "give the first full calendar year", key="finance.first_year"
    )
    discount_rate: float = quantity(
        "1/year", 0.0, 0.3, "give a share, 0.035 for 3.5 %", key="finance.discount_rate"
    )
    degradation_first_year: float = quantity(
        "-", 0.0, 0.2, "give a share, 0.02 for 2 %", key="finance.degradation_first_year"
    )
    degradation_per_year: float = quantity(
        "1/year",
        0.0,
        0.1,
        "give a share, 0.005 for 0.5 % a year",
        key="finance.degradation_per_year",
    )


class Carbon(Section):
    """The ``[carbon]`` table: how fast the grid gets cleaner, and what making the system cost."""

    grid_fall_per_year: float = quantity(
        "1/year", 0.0, 0.5, "give a share, 0.08 for 8 % a year", key="carbon.grid_fall_per_year"
    )
    grid_floor_kgco2e_per_kwh: float = quantity(
        "kgCO2e/kWh",
        0.0,
        1.0,
        "give kilograms, not grams",
        key="carbon.grid_floor_kgco2e_per_kwh",
    )
    embodied_kgco2e_per_kwp: float = quantity(
        "kgCO2e/kWp",
        0.0,
        5000.0,
        "give kilograms for each kWp",
        key="carbon.embodied_kgco2e_per_kwp",
    )
