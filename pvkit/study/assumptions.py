"""Where each number of an estimate came from."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from pvkit.roof.margins import margins_kept
from pvkit.site.grids import left_open
from pvkit.site.household import Home
from pvkit.site.survey import Site
from pvkit.site.tariff import Tariff
from pvkit.site.usable import kept_clear
from pvkit.site.wind import Held, RoofStrength
from pvkit.study.idle_money import idle_keys
from pvkit.tables import Kind, Number, numbers, source_of

_TABLES = {
    "region": (
        "sap_u3_irradiance_w_per_m2.csv",
        "sap_u1_temperature_degc.csv",
        "sap_u2_wind_m_per_s.csv",
    )
}
_HOME_TABLES = (
    "appliances.csv",
    "appliance_propensity_by_hour.csv",
    "lighting_half_hour_by_month.csv",
    "hot_water_draw_by_hour.csv",
    "day_kinds.csv",
    "sap_u1_temperature_degc.csv",
    "minute_light_by_clearness.csv",
)
_ASSUMED_TABLES = ("appliances.csv", "day_kinds.csv", "minute_light_by_clearness.csv")
# Sections and keys that only checks of roof and wiring read; the check sheets list their sources.
_CHECKS_ONLY = ("wind", "ballast", "supply")
_CHECK_KEYS = {*RoofStrength.model_fields, *Held.model_fields}


def assumptions(site: Site) -> tuple[Number, ...]:
    """List every default and given value that an estimate of this site rests on.

    Parameters
    ----------
    site : the survey

    Returns
    -------
    one entry per number: the site file's own are of kind ``given``, the rest carry the source
    and kind of their table
    """
    used = (n for n in numbers("constants.toml").values() if _is_used(n.name, site))
    told = (*_site_values(site), *_margins(site))
    idle, every = idle_keys(site), (*told, *_tables(site), *used)
    return tuple(number for number in every if number.name not in idle)


def _is_used(name: str, site: Site) -> bool:
    """Whether an estimate of this site reads a constant."""
    group, _, rest = name.partition(".")
    word = rest.rpartition(".")[2]
    if group == "temperature":
        return word in {site.mounting(array) for array in site.array}
    if group == "wind":
        return word in (site.site.terrain, "country", rest)  # weather is measured in open country
    dc = site.battery is not None and site.battery.coupling == "dc"
    light = site.weather.source
    fitted = {"meter": site.home.meter_file is not None, "water": site.hot_water is not None,
              "car": site.car is not None, "battery": dc, "region": light == "region",
              "clearness": light == "region", "online": light == "online",
              "portfolio": False}  # fmt: skip
    if group in fitted:
        return fitted[group]
    flat = any(roof.kind == "flat" for roof in site.roof)
    if group in ("view", "cell", "bypass", "uneven", "tracker", "tree", "layout"):
        return flat or bool(site.obstacle)
    return group != "flat_roof" or flat


def _site_values(site: Site) -> Iterator[Number]:
    for name in Site.model_fields:
        if name in _CHECKS_ONLY:
            continue
        section = getattr(site, name)
        if isinstance(section, tuple):
            for entry in section:
                yield from _entry_values(entry, name, f"{name}.{entry.name}")
        elif section is not None:
            yield from _entry_values(section, name, name)
    yield from _unlisted(site)


def _entry_values(section: BaseModel, table: str, label: str) -> Iterator[Number]:
    known = numbers("defaults.toml")
    for field in type(section).model_fields:
        if field in _CHECK_KEYS or _is_idle(section, field):
            continue
        value = getattr(section, field)
        default = known.get(f"{table}.{field}")
        if field in section.model_fields_set:
            if _is_plain(value):
                unit = default.unit if default else _unit(section, field)
                yield Number(f"{label}.{field}", _plain(value), unit, "site file", "given")
        elif default is not None and value is not None:
            yield Number(
                f"{label}.{field}", _plain(value), default.unit, default.source, default.kind
            )


def _is_idle(section: BaseModel, field: str) -> bool:
    """Whether a key says how to read something that the site does not have."""
    if isinstance(section, Home) and section.meter_file is None:
        return field.startswith("meter_")
    return isinstance(section, Tariff) and section.vat_included and field == "vat_fraction"


def _unlisted(site: Site) -> Iterator[Number]:
    """Defaults that stand in for a missing list or depend on something else."""
    known = numbers("defaults.toml")
    if site.costs.items is None:
        yield known["costs.typical_gbp_per_kw"]
    else:
        total = sum(item.gbp for item in site.costs.items)
        yield Number("costs.items", total, "GBP", "site file, sum of the items", "given")
    if site.costs.replacements is None:
        yield known["costs.inverter_replacement_gbp"]
        yield known["costs.inverter_replacement_year"]
    if site.losses.soiling_fraction is None:
        yield known["losses.soiling_fraction"]
        yield known["losses.soiling_fraction_low_tilt"]
    for array in site.array:
        if array.datasheet is None:
            yield Number(
                f"array.{array.name}.module",
                site.module(array).pmax_w,
                "W",
                f"generic part '{array.module}', typical of its class",
                "assumption",
            )
    if site.inverter.datasheet is None:
        yield Number(
            "inverter",
            site.inverter_sheet().ac_w,
            "W",
            f"generic part '{site.inverter.part}', typical of its class",
            "assumption",
        )


def _margins(site: Site) -> Iterator[Number]:
    """Give the tables' margins of roofs on which modules may have gone round something."""
    for roof in site.roof:
        lying = [array for array in site.array if array.roof == roof.name]
        if any(left_open(array) for array in lying) and kept_clear(site, roof):
            for margin in margins_kept(site, roof):
                if margin.kind != "given":
                    yield replace(margin, name=f"roof.{roof.name}: {margin.name}")


def _tables(site: Site) -> Iterator[Number]:
    files = [*_TABLES.get(site.weather.source, ()), *_HOME_TABLES]
    if site.hot_water is not None:
        files.append("sap_hot_water_monthly.csv")
    files.append("uk_ghg_conversion_factors.csv")
    for file in dict.fromkeys(files):
        kind: Kind = "assumption" if file in _ASSUMED_TABLES else "published"
        yield Number(f"table {file}", "whole table", "-", source_of(file), kind)


def _unit(section: BaseModel, field: str) -> str:
    extra = type(section).model_fields[field].json_schema_extra
    return str(extra["unit"]) if isinstance(extra, dict) and "unit" in extra else "-"


def _is_plain(value: Any) -> bool:
    if isinstance(value, tuple):
        return all(isinstance(entry, int | float | str) for entry in value)
    return isinstance(value, int | float | str)


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value
