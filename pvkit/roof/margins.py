"""The distances a roof's layout keeps, each with where it is from."""

from collections.abc import Iterator

from pvkit.site.kit import Roof
from pvkit.site.survey import Site
from pvkit.site.usable import Edge, edge_margin_m, kept_clear
from pvkit.tables import Number, numbers

EDGE_WORDS: dict[str, dict[Edge, str]] = {
    "flat": {"eaves": "front edge", "ridge": "back edge", "verge": "sides"},
    "pitched": {"eaves": "eaves", "ridge": "ridge", "verge": "verges"},
}
_GIVEN = "site file"


def margins_kept(site: Site, roof: Roof) -> tuple[Number, ...]:
    """List what a layout keeps away from the edges of a roof and from all that lies on it.

    Parameters
    ----------
    site : the survey
    roof : one of its roofs

    Returns
    -------
    a number for each kind of edge, for each thing kept clear, and for a flat roof's walkways

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("chimney_and_birch")
    >>> found = margins_kept(site, site.roof[0])
    >>> [(margin.name, margin.value, margin.kind) for margin in found][2:4]
    [('margin to the verges', 0.3, 'from memory'), ("margin round 'chimney'", 0.3, 'assumption')]
    """
    return (*_edges(roof), *_things(site, roof), *_walks(roof))


def _edges(roof: Roof) -> Iterator[Number]:
    for edge, words in EDGE_WORDS[roof.kind].items():
        far, given = edge_margin_m(roof, edge)
        yield _number(f"margin to the {words}", far, f"layout.margin_m.{roof.kind}", given=given)


def _things(site: Site, roof: Roof) -> Iterator[Number]:
    for thing in kept_clear(site, roof):
        table = f"layout.keep_clear_m.{roof.kind}"
        name = f"margin round '{thing.name}'"
        if thing.kind == "walkway" and not thing.given:
            source = "a walkway is itself the room that is kept"
            yield Number(name, thing.margin_m, "m", source, "assumption")
        else:
            yield _number(name, thing.margin_m, table, given=thing.given)


def _walks(roof: Roof) -> Iterator[Number]:
    if roof.kind == "flat":
        for words, key in (("way between blocks", "walkway_m"), ("longest block", "block_m")):
            limit = numbers("limits.toml")[f"layout.{key}"]
            yield _number(words, limit.value, limit.name, given=False)


def _number(name: str, metres: float, key: str, *, given: bool) -> Number:
    if given:
        return Number(name, metres, "m", _GIVEN, "given")
    limit = numbers("limits.toml")[key]
    return Number(name, metres, limit.unit, limit.source, limit.kind)
