"""The carbon of the customer's report: what is avoided on each path of the grid, and the making."""

from pvkit.ledger.carbon import CarbonTable
from pvkit.ledger.grid_paths import last_edition
from pvkit.present.report_tables import Column, Table
from pvkit.present.rounding import kilograms, spell, years
from pvkit.study.estimate import Estimate


def paths_table(estimate: Estimate) -> Table:
    """Set the paths of the grid beside each other, the one taken first."""
    span = estimate.site.finance.years
    rows = tuple(
        (_words(table, estimate), kilograms(table.first_year_kg), kilograms(table.saved_kg),
         years(table.carbon_payback_years, span))
        for table in estimate.carbon_paths
    )  # fmt: skip
    columns = (
        Column("Carbon of the grid", text=True), Column("Avoided in the first year"),
        Column(f"Over {spell(span)}, less the making"), Column("Making made good after"),
    )  # fmt: skip
    return Table("Carbon avoided (CO₂e), by what the grid does", columns, rows)


def _words(table: CarbonTable, estimate: Estimate) -> str:
    carbon, grid = estimate.site.carbon, table.factors.grid_generated
    taken = " (taken in this report)" if table.path == carbon.grid_path else ""
    if table.path == "falling":
        fall, floor = 100 * carbon.grid_fall_per_year, carbon.grid_floor_kgco2e_per_kwh
        return (
            f"published yearly factors to {last_edition()}, {grid[0]:.3f} kg/kWh in the first "
            f"year, then {fall:.3g} % less a year down to {floor:g} (our assumption){taken}"
        )
    if table.path == "flat":
        return f"today's {grid[0]:.3f} kg/kWh held for ever, which overstates"
    if table.path == "monthly":
        return f"the government procedure's factor of each month, the same every year{taken}"
    return f"the series of the file given, {grid[0]:.3f} kg/kWh in the first year{taken}"


def making_words(estimate: Estimate) -> str:
    """Say what making the system put into the air, part by part."""
    table = estimate.stages.carbon
    parts = ", ".join(f"{part.name} {kilograms(part.kg)}" for part in table.embodied)
    gas = "; a kWh of sun in the cylinder spares gas" if estimate.cylinder_kwh > 0 else ""
    return (
        f"Making it put {kilograms(table.embodied_kg)} into the air ({parts}). A kWh not bought "
        "spares what power stations give off and what the lines lose; a kWh sold spares the first "
        f"alone{gas}."
    )
