"""The controls of the flat roof's workbook, and what of the survey each of them changes."""

from collections.abc import Iterator, Mapping
from typing import Any

from pvkit.errors import Fault, InputError
from pvkit.present.controls import Control
from pvkit.roof.ballast_inputs import friction
from pvkit.roof.fit import lying_on, named_roof
from pvkit.roof.pressure_coefficient import known_coefficients, net_coefficient
from pvkit.roof.site_wind import site_wind
from pvkit.site.kit import Array
from pvkit.site.layout_checks import most_modules
from pvkit.site.survey import Site
from pvkit.study.covering import Covering, surveyed_covering
from pvkit.study.roof_case import EVERY_ARRAY
from pvkit.tables import Number

UNKNOWN, OWN, SURVEYED, CAUTIOUS, MEASURED = "unknown", "own", "surveyed", "cautious", "measured"
_SEA_KM = (0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 25.0, 50.0, 100.0)
_ALLOWANCES = tuple(round(0.1 * n, 1) for n in range(1, 26))
_MEMBRANES = (
    (UNKNOWN, "not known: the most slippery"), ("concrete", "concrete or chippings"),
    ("bitumen", "bitumen felt"), ("rubber", "rubber sheet"),
    ("single-ply", "plastic sheet (PVC or TPO)"), (MEASURED, "friction measured here"),
)  # fmt: skip
_SPACINGS = (
    ("noon", "by noon, shortest day"), ("limit", "by the limit angle"),
    ("best", "whichever yields most"),
)  # fmt: skip
_STANDS = (("rows", "rows, facing one way"), ("pairs", "pairs, back to back"))
_HOW_MANY = (("fit", "as many as fit"), ("count", "the number below"))


_NO_SOURCE = Fault(
    "Its source", "found nothing beside a coefficient of your own",
    "the report or standard that names it, up to 300 letters", "write it in: it decides everything",
)  # fmt: skip


def layout_controls(site: Site, roof_name: str) -> tuple[Control, ...]:
    """List what covers the roof; each control starts at what was surveyed.

    Parameters
    ----------
    site : the survey
    roof_name : a flat roof with an array on it
    """
    found, first = surveyed_covering(site, roof_name), lying_on(site, roof_name)[0]
    most = max(found.count or 1, most_modules(site, first))
    return (
        _pick("arrangement", "Panels stand in", found.arrangement, _STANDS),
        _slide("surface_tilt", "Tilt (°)", found.surface_tilt, (0.0, 35.0, 1.0)),
        _slide("surface_azimuth", "Rows face (°)", found.surface_azimuth, (0.0, 359.0, 1.0)),
        _pick("spacing", "Row pitch", found.spacing, _SPACINGS),
        _slide("limit_deg", "Limit angle (°)", round(found.limit_deg, 1), (8.0, 60.0, 0.5)),
        _pick("how_many", "How many", "count", _HOW_MANY),
        _slide("count", "Panels", found.count or 1, (1, most, 1)),
        _slide("margin_m", "Margin from edges (m)", found.margin_m, (0.0, 2.0, 0.1)),
    )


def wind_controls(site: Site, roof_name: str) -> tuple[Control, ...]:
    """List what the wind's pressure hangs on."""
    storm = site_wind(site, named_roof(site, roof_name)).storm
    sea = site.wind.sea_km
    return (
        _slide("basic_m_per_s", "Wind of the map (m/s)", storm.map_m_per_s, (18.0, 32.0, 0.5)),
        _pick("sea_km", "Distance to the sea", _key(sea), _steps(_SEA_KM, sea, "km", "not known")),
    )


def hold_controls(site: Site, roof_name: str) -> tuple[Control, ...]:
    """List what says how hard the wind pulls and what holds against it."""
    roof, array = named_roof(site, roof_name), lying_on(site, roof_name)[0]
    own = array.pressure_coefficient
    grip = float(friction(site, roof).value)
    allowed = roof.allowance_kn_per_m2
    steps = _steps(_ALLOWANCES, allowed, "kN/m²", "none given")
    return (
        _pick("coefficient", "Coefficient from", CAUTIOUS if own is None else SURVEYED,
              _coefficients(site, array)),
        _slide("own_coefficient", "A figure of my own", net_coefficient(site, array).value,
               (-2.5, -0.05, 0.05)),
        _tick("tied", "Rows tied together", bool(array.tied)),
        _tick("closed_back", "Backs closed", bool(array.closed_back)),
        _pick("surface", "Feet stand on",
              MEASURED if roof.friction is not None else roof.membrane or UNKNOWN, _MEMBRANES),
        _slide("friction", "Friction measured", grip, (0.1, 1.0, 0.025)),
        _tick("wet", "Roof taken wet", site.ballast.wet),
        _slide("block_kg", "One block (kg)", site.ballast.block_kg, (5.0, 50.0, 1.0)),
        _pick("allowance", "Roof may still carry", _key(allowed), steps),
    )  # fmt: skip


def asked_covering(values: Mapping[str, Any]) -> Covering:
    """Give how the roof is to be covered as the layout's controls stand."""
    return Covering(
        arrangement=values["arrangement"],
        surface_tilt=float(values["surface_tilt"]),
        surface_azimuth=float(values["surface_azimuth"]),
        spacing=values["spacing"],
        limit_deg=float(values["limit_deg"]),
        count=int(values["count"]) if values["how_many"] == "count" else None,
        margin_m=round(float(values["margin_m"]), 3),
    )


def holding_keys(
    site: Site, roof_name: str, values: Mapping[str, Any], own_source: str = ""
) -> dict[str, Any]:
    """Give the changes of wind and ballast that the moved controls ask for.

    Parameters
    ----------
    site, roof_name : the survey and its roof
    values : where every control stands, by key
    own_source : what a figure of one's own is from

    Raises
    ------
    InputError
        If such a figure is asked for and nothing said of its source.
    """
    every = (*wind_controls(site, roof_name), *hold_controls(site, roof_name))
    moved = {c.key for c in every if c.moved(values[c.key])}
    found: dict[str, Any] = {}
    for key, name in (("basic_m_per_s", "wind.basic_m_per_s"), ("wet", "ballast.wet"),
                      ("block_kg", "ballast.block_kg"), ("tied", f"{EVERY_ARRAY}tied"),
                      ("closed_back", f"{EVERY_ARRAY}closed_back")):  # fmt: skip
        if key in moved:
            value = values[key]
            found[name] = value if isinstance(value, bool) else round(float(value), 6)
    if "sea_km" in moved:
        found["wind.sea_km"] = _number(values["sea_km"])
    if "allowance" in moved:
        found[f"roof.{roof_name}.allowance_kn_per_m2"] = _number(values["allowance"])
    measured = values["surface"] == MEASURED
    if "surface" in moved or (measured and "friction" in moved):
        found |= _surface(roof_name, values)
    return found | _coefficient(site, roof_name, values, own_source)


def _surface(roof_name: str, values: Mapping[str, Any]) -> dict[str, Any]:
    surface, key = values["surface"], f"roof.{roof_name}"
    if surface == MEASURED:
        return {f"{key}.friction": round(float(values["friction"]), 3)}
    return {f"{key}.friction": None, f"{key}.membrane": None if surface == UNKNOWN else surface}


def _coefficient(
    site: Site, roof_name: str, values: Mapping[str, Any], own_source: str
) -> dict[str, Any]:
    """Give the coefficient picked, always with its source beside it."""
    picked = values["coefficient"]
    if picked == SURVEYED:
        return {}
    value: float | None = None
    source: str | None = None
    if picked == OWN:
        if not own_source.strip():
            raise InputError(_NO_SOURCE)
        value, source = round(float(values["own_coefficient"]), 3), own_source.strip()
    elif picked != CAUTIOUS:
        tilt = float(values["surface_tilt"])
        known = next(n for n in known_coefficients(tilt) if n.name == picked)
        value, source = float(known.value), _tried(known)
    own = lying_on(site, roof_name)[0].pressure_coefficient
    if value is None and source is None and own is None:
        return {}
    keys = {"pressure_coefficient": value, "pressure_source": source}
    return {f"{EVERY_ARRAY}{key}": each for key, each in keys.items()}


def _tried(known: Number) -> str:
    return f"tried here, no maker's report: {known.name} ({known.kind})"


def _coefficients(site: Site, array: Array) -> Iterator[tuple[str, str]]:
    if array.pressure_coefficient is not None:
        yield SURVEYED, "the site file"
    yield CAUTIOUS, "caution, as they are held"
    yield OWN, "a figure of my own, below"
    for number in known_coefficients(site.tilt_deg(array)):
        yield number.name, f"{number.name} ({number.kind})"


def _pick(key: str, label: str, surveyed: str, choices: Any) -> Control:
    return Control(key, label, "The roof", surveyed, choices=tuple(choices))


def _tick(key: str, label: str, surveyed: bool) -> Control:
    return Control(key, label, "The roof", surveyed)


def _slide(key: str, label: str, surveyed: float, ends: tuple[float, float, float]) -> Control:
    """Give a slider whose steps meet the surveyed value, which it would else round."""
    low, high, step = ends
    least = surveyed - int(max(surveyed - low, 0.0) / step + 1e-9) * step
    low = least if isinstance(surveyed, int) else round(least, 6)
    return Control(key, label, "The roof", surveyed, low, max(high, surveyed), step)


def _key(value: float | None) -> str:
    return UNKNOWN if value is None else f"{value:g}"


def _number(key: str) -> float | None:
    return None if key == UNKNOWN else float(key)


def _steps(
    usual: tuple[float, ...], surveyed: float | None, unit: str, unknown: str
) -> Iterator[tuple[str, str]]:
    """Give values to pick from, the surveyed one among them."""
    yield UNKNOWN, unknown
    for value in sorted({*usual, *([] if surveyed is None else [surveyed])}):
        yield f"{value:g}", f"{value:g} {unit}"
