"""Money keys that say how to do something the site does not ask for."""

from pvkit.site.survey import Site
from pvkit.tables import constant

_BATTERY = (
    "costs.battery_gbp_per_kwh", "costs.battery_floor_fraction", "carbon.battery_kgco2e_per_kwh",
)  # fmt: skip


def idle_keys(site: Site) -> frozenset[str]:
    """List the keys of the money tables on which an estimate of this site does not rest.

    Sizes of doubts and the scheme's paper figures are among them: the range and the standard
    estimate list theirs themselves.
    """
    costs, finance = site.costs, site.finance
    found = {f"doubt.{key}" for key in type(site.doubt).model_fields}
    if costs.discount_gbp == 0:
        found.add("costs.discount_gbp")
    if costs.grant_gbp == 0:
        found.add("costs.grant_gbp")
    if costs.cleaning_gbp == 0:
        found.add("costs.cleaning_every_years")
    if finance.residual != "share":
        found.add("finance.residual_fraction")
    if finance.residual != "straight-line":
        found.add("finance.life_years")
    if finance.output_by_year is not None:
        found.add("finance.degradation_first_year")
    if site.prices.terms == "real":
        found.add("prices.terms")
    if site.carbon.grid_path != "file":
        found |= {"carbon.grid_file", "carbon.grid_file_at"}
    if site.carbon.grid_path != "falling":
        found |= {"carbon.grid_fall_per_year", "carbon.grid_floor_kgco2e_per_kwh"}
    if finance.years <= constant("discount.later_from_year"):
        found |= {"discount.later_rate", "discount.later_from_year"}
    if site.battery is None:
        found |= set(_BATTERY)
    return frozenset(found)
