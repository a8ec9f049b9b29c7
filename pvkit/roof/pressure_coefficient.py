"""How hard the wind pulls a module, as a multiple of its pressure: the figure that decides all.

No standard gives a low figure for rows of modules. Low ones come from a maker's wind-tunnel report
and hold for that product alone, so the survey must name the report; unasked, only a cautious one is
taken.
"""

from dataclasses import dataclass

import numpy as np

from pvkit.roof.loads import entry, load_number
from pvkit.roof.wind_zones import Zone
from pvkit.site.kit import Array, Roof
from pvkit.site.plan import lean_deg
from pvkit.site.survey import Site
from pvkit.site.wind import Ballast
from pvkit.tables import Kind, Number, constant, numbers, rows, source_of

CANOPY = "wind_canopy_cf.csv"


@dataclass(frozen=True, slots=True)
class Coefficient:
    """Net pressure coefficient of an array's inner modules.

    Parameters
    ----------
    value : net suction, below 0
    down : net pressure downward, above 0
    words : what it stands for
    source, kind : where it is from
    counts_on_shelter : neighbours are counted on, so that a module at an open edge gets more
    """

    value: float
    down: float
    words: str
    source: str
    kind: Kind
    counts_on_shelter: bool


def net_coefficient(site: Site, array: Array) -> Coefficient:
    """Give the coefficient of an array: the survey's own, else a cautious one.

    Parameters
    ----------
    site : the survey
    array : one of its arrays

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> net_coefficient(site, site.array[0]).value
    -1.4
    """
    roof = site.roof_of(array)
    usual = _parallel() if roof.kind == "pitched" else _in_rows(array, roof)
    if array.pressure_coefficient is None:
        return usual
    alone = roof.kind == "flat" and array.pressure_coefficient > _canopy("clear", array, roof)
    return Coefficient(
        array.pressure_coefficient,
        usual.down,
        "given",
        array.pressure_source or "",
        "given",
        counts_on_shelter=roof.kind == "flat" and (usual.counts_on_shelter or alone),
    )


def zone_factor(zone: Zone, at_open_edge: bool, found: Coefficient, ballast: Ballast) -> float:
    """Give how many times harder the wind pulls in a zone, or at an open edge of the array.

    Source
    ------
    Half as much again at edges: common practice, equal to the edge factor of SEAOC PV2. A row
    reckoned as standing alone has no neighbours to lose, so only the roof's own edges count.

    Examples
    --------
    >>> from pvkit.roof.wind_zones import module_zones
    >>> zone_factor("edge", False, _parallel(), Ballast())
    1.5
    """
    open_edge = at_open_edge and found.counts_on_shelter
    factor = {"inner": 1.0, "edge": ballast.edge_factor, "corner": ballast.corner_factor}[zone]
    return max(factor, ballast.edge_factor if open_edge else 1.0)


def parapet_factor(roof: Roof) -> float:
    """Give how many times harder the wind pulls at rows behind a parapet.

    A parapet calms the roof's own skin, but its rolling wind catches tilted modules.

    Source
    ------
    SEAOC PV2 / ASCE 7-16 29.4.3 for low rows, min(1.2, 0.9 + hp / h) (secondary copy). Departs from
    it in: never below 1.

    Examples
    --------
    >>> top = dict(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=6, height_m=5)
    >>> [parapet_factor(Roof(parapet_m=high, **top)) for high in (0.0, 0.75, 3.0)]
    [1.0, 1.05, 1.2]
    """
    if roof.kind == "pitched":
        return 1.0
    share = load_number("parapet.base") + roof.parapet_m / roof.height_m
    return max(1.0, min(load_number("parapet.most"), share))


def roof_skin_coefficients(roof: Roof) -> dict[Zone, float]:
    """Give the suction on a flat roof's own skin by zone, which a parapet lowers.

    For the engineer: these are not the modules' coefficients.

    Examples
    --------
    >>> top = dict(name="t", kind="flat", azimuth_deg=180, width_m=9, depth_m=6, height_m=6)
    >>> roof_skin_coefficients(Roof(parapet_m=0.3, **top))
    {'corner': -1.4, 'edge': -0.9, 'inner': -0.7}
    """
    table = rows("roof_skin_cpe.csv")
    shares = [float(row["parapet_share"]) for row in table]
    zones: tuple[Zone, ...] = ("corner", "edge", "inner")
    share = roof.parapet_m / roof.height_m
    return {
        z: round(float(np.interp(share, shares, [float(r[z]) for r in table])), 3) for z in zones
    }


def known_coefficients(tilt_deg: float) -> tuple[Number, ...]:
    """List every coefficient in the tables for rows on a flat roof, hardest pull first.

    Parameters
    ----------
    tilt_deg : of the modules
    """
    canopy = [
        Number(
            f"row standing alone, space below {word}",
            round(_canopy_at(column, tilt_deg), 3),
            "-",
            source_of(CANOPY),
            "from memory",
        )
        for column, word in (("blocked", "blocked"), ("clear", "clear"))
    ]
    tested = [
        entry("pressure.flat.some_shelter", "rows tied, or closed at the back"),
        entry("pressure.flat.tied_and_closed", "rows tied and closed at the back"),
        entry("pressure.flat.tunnel_proven", "as proven in a wind tunnel, middle"),
        entry("pressure.flat.tunnel_proven_low", "as proven in a wind tunnel, low end"),
    ]
    return tuple(sorted((*canopy, *tested), key=lambda number: float(number.value)))


def mildest_alone(tilt_deg: float) -> float:
    """Give the mildest suction known for a row that no neighbour shelters.

    Parameters
    ----------
    tilt_deg : of the modules to the roof

    Examples
    --------
    >>> mildest_alone(10.0)
    -0.9
    """
    return max(_canopy_at(column, tilt_deg) for column in ("clear", "blocked"))


def steepest_canopy_deg() -> float:
    """Give the tilt at which the table of canopies ends."""
    return float(rows(CANOPY)[-1]["tilt_deg"])


def _parallel() -> Coefficient:
    found = numbers("wind_loads.toml")["pressure.pitched.parallel"]
    down = load_number("pressure.pitched.down")
    words = "modules parallel to the slope, middle of the roof"
    return Coefficient(float(found.value), down, words, found.source, found.kind, False)


def _in_rows(array: Array, roof: Roof) -> Coefficient:
    """Give the cautious figure for tilted rows: the less is known of shelter, the harder it pulls.

    Steep rows are taken as standing alone, however held: no low figure is known for them.
    """
    down = _canopy("down", array, roof)
    steep = lean_deg(array, roof) > constant("flat_roof.steep_tilt_deg")
    tied, closed = bool(array.tied), bool(array.closed_back)
    if steep or not (tied or closed):
        worst = min(_canopy("clear", array, roof), _canopy("blocked", array, roof))
        words = "each row as a canopy standing alone, the space below clear or blocked"
        return Coefficient(worst, down, words, source_of(CANOPY), "from memory", False)
    name = "pressure.flat.tied_and_closed" if tied and closed else "pressure.flat.some_shelter"
    both = "rows tied and closed at the back" if tied and closed else "rows tied, or closed behind"
    found = numbers("wind_loads.toml")[name]
    return Coefficient(float(found.value), down, both, found.source, found.kind, True)


def _canopy(column: str, array: Array, roof: Roof) -> float:
    return _canopy_at(column, lean_deg(array, roof))


def _canopy_at(column: str, tilt_deg: float) -> float:
    """Read the canopy table between its tilts; beyond its 30° the last row, which the words say."""
    table = rows(CANOPY)
    tilts = [float(row["tilt_deg"]) for row in table]
    return float(np.interp(tilt_deg, tilts, [float(row[column]) for row in table]))
