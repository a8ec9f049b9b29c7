"""From where the energy workbook's controls stand to the named changes of the site."""

from collections.abc import Mapping
from typing import Any

from pvkit.present.control import Control
from pvkit.present.energy_controls import DIVERTER, LIMIT, NO_LIMIT, ORDER, TARIFF
from pvkit.site.survey import Site
from pvkit.study.offers import AS_SURVEYED, offer_changes

_IMPORT = "tariff.import_gbp_per_kwh"


def energy_changes(values: Mapping[Control, Any], site: Site) -> dict[str, Any]:
    """Give the named changes of a site that its controls ask for.

    Parameters
    ----------
    values : where each control stands
    site : the survey

    Returns
    -------
    dotted key to new value, of the moved controls only
    """
    stands = {control.key: value for control, value in values.items()}
    found: dict[str, Any] = {}
    for control, value in values.items():
        if control.moved(value):
            found |= _composite(control.key, value, site) or {
                control.key: control.site_value(value)
            }
    if _IMPORT in stands and stands.get(TARIFF, AS_SURVEYED) != AS_SURVEYED:
        # The slider shows the offer's price outside its bands.
        price = next(control for control in values if control.key == _IMPORT)
        found[_IMPORT] = price.site_value(stands[_IMPORT])
    return {key: value for key, value in found.items() if not _of_nothing(key, stands, site)}


def _composite(key: str, value: str, site: Site) -> dict[str, Any]:
    """Give the site's own keys where a control's value is not one of them."""
    if key == DIVERTER:
        control = {} if value == "none" else {"hot_water.control": value}
        return {DIVERTER: value != "none", **control}
    if key == ORDER:
        return {ORDER: value.split(", ")}
    if key == LIMIT:
        return {LIMIT: None if value == NO_LIMIT else float(value)}
    return offer_changes(site, value) if key == TARIFF else {}


def _of_nothing(key: str, stands: Mapping[str, Any], site: Site) -> bool:
    """Whether a key belongs to a battery that is neither surveyed nor asked for."""
    missing = site.battery is None and not stands.get("battery.capacity_kwh")
    return missing and key.startswith("battery.")
