"""How large each doubt of a site is, and who says so."""

from dataclasses import dataclass
from typing import Any, Literal, cast

from pvkit.errors import InputError
from pvkit.site.survey import Site
from pvkit.sky.region import region_number
from pvkit.study.doubt_sun import archive_spread, sun_spread
from pvkit.tables import Kind, Number, numbers

Name = Literal[
    "sun", "model", "shade", "soiling", "degradation", "demand", "habits",
    "import_price", "export_price", "gas_price", "price_drift",
]  # fmt: skip
WORDS: dict[Name, str] = {
    "sun": "sunny and dull years",
    "model": "light data and method",
    "shade": "the shade survey",
    "soiling": "dirt",
    "degradation": "ageing of the panels",
    "demand": "how much the home uses",
    "habits": "when the home uses it",
    "import_price": "the import price",
    "export_price": "the export price",
    "gas_price": "the gas price",
    "price_drift": "how prices move over the years",
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that may be other than the estimate has it.

    Parameters
    ----------
    name : short name
    words : what it is
    shape : normal or lognormal
    spread : one standard deviation, of itself or of its logarithm; 0 switches it off
    unit : what the spread is a share of
    source, kind : where the spread is from
    """

    name: Name
    words: str
    shape: str
    spread: float
    unit: str
    source: str
    kind: Kind


def doubts(site: Site) -> dict[Name, Doubt]:
    """List the doubts of a site: the site file's own sizes, else those of ``doubts.toml``.

    Raises
    ------
    InputError
        If the site names a file of many years of light that cannot be used.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> doubts(load_site("bungalow_extension"))["sun"].spread
    0.038
    """
    return {name: _doubt(name, site) for name in WORDS}


def shared(name: str) -> float:
    """Give a number of ``doubts.toml`` that is no doubt's own size."""
    return cast(float, numbers("doubts.toml")[name].value)


def _doubt(name: Name, site: Site) -> Doubt:
    table = _sun_table(site) if name == "sun" else numbers("doubts.toml")[name]
    shape: dict[str, Any] = table.value
    own = getattr(site.doubt, "price_drift_per_year" if name == "price_drift" else _key(name))
    spread, source, kind = float(shape["spread"]), table.source, table.kind
    if name == "sun" and site.doubt.sun_file is not None:
        spread, source = sun_spread(site.doubt.sun_file)
        kind = "given"
    elif name == "sun" and own is None and site.weather.source == "online":
        spread, source = archive_spread(site.site, site.weather.last_year)
        kind = "published"
    if own is not None:
        spread, source, kind = float(own), "site file", "given"
    return Doubt(name, WORDS[name], shape["shape"], spread, table.unit, source, kind)


def _key(name: Name) -> str:
    return f"{name}_fraction"


def _sun_table(site: Site) -> Number:
    """Give the year-to-year spread that holds where the site stands."""
    table, near = numbers("doubts.toml"), numbers("doubts.toml")["sun.near_bedford"]
    try:
        region = region_number(site.site)
    except InputError:  # not in the United Kingdom: the weather is a file's own
        return table["sun"]
    return near if region in near.value["regions"] else table["sun"]
