"""What the ballast sum rests on: grip of the feet, blocks, frames, what an edge needs more."""

from pvkit.roof.loads import told, usual
from pvkit.site.kit import Roof
from pvkit.site.survey import Site
from pvkit.tables import Kind, Number, rows, source_of

FILE = "friction.csv"
_SLIPPERY = "single-ply"


def friction(site: Site, roof: Roof) -> Number:
    """Give the friction between feet and roof.

    Parameters
    ----------
    site : the survey; ``ballast.wet`` says whether the roof is taken wet
    roof : its own measured ``friction`` counts; else its ``membrane``; else the most slippery

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> friction(site, site.roof[0]).value
    0.3
    """
    if roof.friction is not None:
        return told("friction measured on this roof", roof.friction, "-")
    name = roof.membrane or _SLIPPERY
    row = next(row for row in rows(FILE) if row["membrane"] == name)
    state = "wet" if site.ballast.wet else "dry"
    unknown = "" if roof.membrane else " (surface not in the site file: the most slippery is taken)"
    kind: Kind = "from memory" if state == "dry" or name == _SLIPPERY else "assumption"
    words = f"friction on {row['words']}, {state}{unknown}"
    return Number(words, float(row[state]), "-", source_of(FILE), kind)


def block_mass(site: Site) -> Number:
    """Give the mass of one block of ballast."""
    return _own(site, "block_kg", "mass of one block")


def frame_mass(site: Site) -> Number:
    """Give the mass of frame and feet that one module brings."""
    return _own(site, "frame_kg", "mass of frame and feet for one module")


def edge_factors(site: Site) -> tuple[Number, Number]:
    """Give how many times harder the wind is taken to pull at an edge, and in a corner."""
    edge = _own(site, "edge_factor", "times the pull at an edge of roof or array")
    return edge, _own(site, "corner_factor", "times the pull in a corner of the roof")


def _own(site: Site, key: str, words: str) -> Number:
    if key in site.ballast.model_fields_set:
        unit = usual(f"ballast.{key}", words).unit
        return told(words, getattr(site.ballast, key), unit)
    return usual(f"ballast.{key}", words)
