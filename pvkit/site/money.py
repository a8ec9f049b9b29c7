"""What it costs, how it is paid, how prices move, and how long it is counted."""

from typing import Annotated, Any, Literal

from pydantic import Field

from pvkit.site.carbon import Carbon
from pvkit.site.fields import Section, choice, listing, quantity, text

__all__ = ["Carbon", "CostItem", "Costs", "Finance", "Loan", "Prices", "Replacement"]

Index = Annotated[
    float, quantity("-", 0.0, 20.0, "give each year's price as a share of today's, 1.05 for 5 % up")
]
Kept = Annotated[
    float, quantity("-", 0.3, 1.0, "give the share of a new system's energy, 0.97 for 3 % lost")
]


def _by_year(what: str, example: str) -> dict[str, Any]:
    """Give the arguments of a ``Field`` that holds a number for each year of running."""
    return listing(
        f"a list of 1 to 60 {what}, one for each year", 1, 60, f"start with the first: {example}"
    )


class CostItem(Section):
    """One line of the quotation, before value-added tax."""

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
    discount_gbp: float = quantity(
        "GBP", 0.0, 100000.0, "give the pounds taken off the items", key="costs.discount_gbp"
    )
    grant_gbp: float = quantity(
        "GBP", 0.0, 100000.0, "give the pounds somebody else pays", key="costs.grant_gbp"
    )
    vat_fraction: float = quantity(
        "-", 0.0, 0.25, "give a share, 0.2 for 20 %", key="costs.vat_fraction"
    )
    visit_gbp_per_year: float = quantity(
        "GBP/year", 0.0, 5000.0, "give pounds a year", key="costs.visit_gbp_per_year"
    )
    insurance_gbp_per_year: float = quantity(
        "GBP/year", 0.0, 5000.0, "give pounds a year", key="costs.insurance_gbp_per_year"
    )
    cleaning_gbp: float = quantity(
        "GBP", 0.0, 5000.0, "give pounds for one cleaning", key="costs.cleaning_gbp"
    )
    cleaning_every_years: int = quantity(
        "years", 1, 60, "give the years between cleanings", key="costs.cleaning_every_years"
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
    battery_gbp_per_kwh: float = quantity(
        "GBP/kWh", 0.0, 2000.0, "give pounds for each kWh of a new battery, fitted",
        key="costs.battery_gbp_per_kwh",
    )  # fmt: skip
    battery_floor_fraction: float | None = quantity(
        "-", 0.0, 1.0, "give a share, 0.7 to buy a new one once less than 70 % is left",
        optional=True,
    )  # fmt: skip
    gbp_per_panel: float = quantity(
        "GBP", 0.0, 2000.0, "give pounds for one panel more or less, fitted",
        key="costs.gbp_per_panel",
    )  # fmt: skip
    optimiser_gbp_each: float = quantity(
        "GBP", 0.0, 500.0, "give pounds for one optimiser, fitted", key="costs.optimiser_gbp_each"
    )


class Finance(Section):
    """The ``[finance]`` table: span, rates, ageing, and what is left at the end.

    The discount rate is real: it is used on pounds of today, inflation left out. Left to its
    default it falls after 30 years as the Green Book has it; one that is given holds throughout.
    """

    years: int = quantity("years", 1, 60, "count whole years", key="finance.years")
    first_year: int = quantity(
        "year", 2020, 2060, "give the first full calendar year", key="finance.first_year"
    )
    discount_rate: float = quantity(
        "1/year", 0.0, 0.3, "give a share, 0.035 for 3.5 %", key="finance.discount_rate"
    )
    discount_rate_after_30_years: float | None = quantity(
        "1/year", 0.0, 0.3, "give a share, 0.03 for 3 %", optional=True
    )
    inflation_per_year: float = quantity(
        "1/year", -0.02, 0.2, "give a share, 0.02 for 2 % a year", key="finance.inflation_per_year"
    )
    degradation_first_year: float = quantity(
        "-", 0.0, 0.2, "give a share, 0.02 for 2 %", key="finance.degradation_first_year"
    )
    degradation_per_year: float = quantity(
        "1/year", 0.0, 0.1, "give a share, 0.005 for 0.5 % a year",
        key="finance.degradation_per_year",
    )  # fmt: skip
    output_by_year: tuple[Kept, ...] | None = Field(
        default=None, **_by_year("shares of a new system's energy", "[0.98, 0.975, 0.97]")
    )
    residual: Literal["none", "share", "straight-line"] = choice(
        "finance.residual", "say what the system is worth when the years counted end"
    )
    residual_fraction: float = quantity(
        "-", 0.0, 1.0, "give a share of the price, 0.1 for a tenth",
        key="finance.residual_fraction",
    )  # fmt: skip
    life_years: int = quantity(
        "years", 1, 80, "give the years the system is good for", key="finance.life_years"
    )


class Loan(Section):
    """The ``[loan]`` table: a loan beside the purchase in cash, paid back month by month."""

    deposit_gbp: float = quantity("GBP", 0.0, 1000000.0, "give the pounds paid on the first day")
    apr: float = quantity("1/year", 0.0, 0.5, "give the annual percentage rate, 0.079 for 7.9 %")
    years: int = quantity("years", 1, 60, "give the years it is paid back over")


class Prices(Section):
    """The ``[prices]`` table: how prices move from today's tariff.

    Yearly changes stand in ``[tariff]``. A list here takes their place: each year's price as a
    share of today's; the last one holds for the years after it.
    """

    terms: Literal["real", "nominal"] = choice(
        "prices.terms",
        "say 'real' if changes come on top of inflation, 'nominal' if inflation is in them",
    )
    import_index_by_year: tuple[Index, ...] | None = Field(
        default=None, **_by_year("shares of today's import price", "[1.0, 1.04, 1.08]")
    )
    export_index_by_year: tuple[Index, ...] | None = Field(
        default=None, **_by_year("shares of today's export price", "[1.0, 0.9, 0.8]")
    )
    gas_index_by_year: tuple[Index, ...] | None = Field(
        default=None, **_by_year("shares of today's gas price", "[1.0, 1.02, 1.04]")
    )
