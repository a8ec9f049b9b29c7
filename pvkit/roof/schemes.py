"""The ways a roof may be covered: direction, tilt, which way modules lie, row pitch, pairs."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, radians

from pvkit.roof.fit import Arrangement, Layout, Part, lying_on
from pvkit.roof.rows import row_pitch_m, usual_profile_deg
from pvkit.site.dodging import block_of
from pvkit.site.kit import ModuleSheet, Roof
from pvkit.site.packing import Packed, Tile, packed
from pvkit.site.parts import module_sheet
from pvkit.site.plan import Block, Orientation, with_places
from pvkit.site.survey import Site
from pvkit.site.usable import kept_clear, roof_edges, usable_area
from pvkit.tables import constant

_BOTH: dict[str, tuple[Orientation, ...]] = {
    "flat": ("landscape", "portrait"),
    "pitched": ("portrait", "landscape"),
}
_SAME_DEG = 1.0
_WINDS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True, slots=True)
class Choices:
    """What a search for a layout may choose among; what is left empty follows the site.

    Parameters
    ----------
    arrangements : on a flat roof ``rows`` that face one way, ``pairs`` back to back, or both
    tilts_deg : of modules on a flat roof; the array's own if empty
    azimuths_deg : ways that rows, or the first row of a pair, may face; if empty the array's own
        and those along the roof's edges that look near enough south (rows) or east (pairs)
    orientations : ways the modules may lie; the array's own, else both
    profile_deg : chosen sun elevation square to the rows, or shading limit angle, that sets the row
        pitch; noon on the shortest day if None
    module : part name of another module than the site's
    """

    arrangements: tuple[Arrangement, ...] = ("rows", "pairs")
    tilts_deg: tuple[float, ...] = ()
    azimuths_deg: tuple[float, ...] = ()
    orientations: tuple[Orientation, ...] = ()
    profile_deg: float | None = None
    module: str = ""


@dataclass(frozen=True, slots=True)
class Scheme:
    """One way of covering a roof.

    Parameters
    ----------
    arrangement, orientation : as in a layout
    surface_tilt, surface_azimuth : of the modules, of the first row of a pair [deg]
    profile_deg : the sun elevation square to the rows that the pitch is for
    one : one module at the roof's origin, with the pitch of the rows, or of the pairs
    module : part name, if another than the site's
    """

    arrangement: Arrangement
    surface_tilt: float
    surface_azimuth: float
    profile_deg: float
    one: Block
    module: str = ""

    @property
    def each(self) -> int:
        """Modules in one place: two for a pair."""
        return 2 if self.arrangement == "pairs" else 1

    @property
    def tile(self) -> Tile:
        """What is packed."""
        deep = self.one.row_depth_m
        if self.arrangement == "pairs":
            deep = 2 * deep + constant("layout.pair_ridge_m")
        return Tile(self.one.along_m, deep, self.one.gap_m, self.one.pitch_m)

    def at_pitch(self, pitch_m: float, profile: float) -> "Scheme":
        """Give the scheme with another row pitch, and the sun it is for."""
        return replace(self, profile_deg=profile, one=replace(self.one, pitch_m=pitch_m))


def schemes(site: Site, roof: Roof, choices: Choices) -> Iterator[Scheme]:
    """Give every way of covering a roof that the choices allow, the most usual first.

    Parameters
    ----------
    site : a checked survey
    roof : one of its roofs, with an array on it
    choices : what may be chosen
    """
    template = lying_on(site, roof.name)[0]
    own = _BOTH[roof.kind] if template.orientation is None else (template.orientation,)
    ways = choices.orientations or own
    if roof.kind == "pitched":
        for way in ways:
            one = _one(site, roof, choices, (way, 0.0, 0.0))
            plane = (roof.tilt_deg, roof.azimuth_deg, 0.0)
            yield Scheme("slope", *plane, one, choices.module)
        return
    for arrangement in choices.arrangements:
        for azimuth in choices.azimuths_deg or _azimuths(site, roof, arrangement):
            for tilt in choices.tilts_deg or (site.tilt_deg(template),):
                for way in ways:
                    yield scheme(site, roof, choices, (arrangement, tilt, azimuth, way))


def scheme(
    site: Site, roof: Roof, choices: Choices, how: tuple[Arrangement, float, float, Orientation]
) -> Scheme:
    """Give one way of covering a flat roof.

    Parameters
    ----------
    site, roof, choices : as for :func:`schemes`
    how : arrangement, tilt, azimuth and orientation
    """
    arrangement, tilt, azimuth, way = how
    profile = choices.profile_deg
    if profile is None:
        profile = usual_profile_deg(site.site.latitude, azimuth)
    turn = (azimuth - roof.azimuth_deg + 180.0) % 360.0 - 180.0
    one = _one(site, roof, choices, (way, tilt, turn))
    deep, ridge = one.row_depth_m, constant("layout.pair_ridge_m")
    pitch = max(row_pitch_m(one.up_m, tilt, profile), deep + one.gap_m)
    if arrangement == "pairs":
        pitch = 2 * deep + ridge + constant("layout.pair_access_m")
    laid_out = replace(one, pitch_m=pitch)
    return Scheme(arrangement, tilt, azimuth, profile, laid_out, choices.module)


def _one(site: Site, roof: Roof, choices: Choices, how: tuple[Orientation, float, float]) -> Block:
    way, lean, turn = how
    template = lying_on(site, roof.name)[0]
    sheet: ModuleSheet = module_sheet(choices.module) if choices.module else site.module(template)
    sides = (sheet.width_m, sheet.length_m)
    along, up = sides if way == "portrait" else sides[::-1]
    pitch = up * cos(radians(lean)) + template.gap_m
    return Block(0.0, 0.0, turn, lean, way, (1,), along, up, template.gap_m, pitch)


def _azimuths(site: Site, roof: Roof, arrangement: Arrangement) -> list[float]:
    """Give the array's own direction, then those square to the roof's edges, then the compass's."""
    own = site.azimuth_deg(lying_on(site, roof.name)[0])
    ahead, firsts = (180.0, [own]) if arrangement == "rows" else (90.0, [own - 90.0])
    near = constant("layout.off_south_deg")
    for azimuth in (*_edge_azimuths(roof), ahead):
        if _apart(azimuth, ahead) <= near:
            firsts.append(azimuth)
    found: list[float] = []
    for azimuth in firsts:
        if all(_apart(azimuth, other) > _SAME_DEG for other in found):
            found.append(azimuth % 360.0)
    return found


def _edge_azimuths(roof: Roof) -> list[float]:
    """Give the bearing that each edge of a roof looks to, and its opposite; longest edges first."""
    found = []
    edges = sorted(roof_edges(roof), key=lambda e: -hypot(e[2][0] - e[1][0], e[2][1] - e[1][1]))
    for _, (ax, ay), (bx, by) in edges:
        turn = degrees(atan2(-(by - ay), bx - ax))
        found += [(roof.azimuth_deg + turn) % 360.0, (roof.azimuth_deg + turn + 180.0) % 360.0]
    return found


def _apart(one: float, other: float) -> float:
    return abs((one - other + 180.0) % 360.0 - 180.0)


def room(site: Site, roof: Roof, scheme: Scheme) -> Packed:
    """Pack a roof by a scheme, within its margins and clear of all that is kept clear."""
    turn = scheme.one.turn_deg
    area = usable_area(roof, kept_clear(site, roof), walks_deg=turn)
    return packed(area, scheme.tile, turn)


def laid(site: Site, roof: Roof, scheme: Scheme, rows: Packed, count: int | None = None) -> Layout:
    """Give the layout of a packing.

    Parameters
    ----------
    site, roof, scheme : what was packed
    rows : its places, one or more
    count : modules, where one less than the places hold is wanted
    """
    lying = lying_on(site, roof.name)
    blocks = [block_of(rows, scheme.one)]
    if scheme.arrangement == "pairs":
        spare = 0 if count is None else sum(2 * len(row.us_m) for row in rows) - count
        blocks += _backs(rows, scheme, spare)
    names = _names([array.name for array in lying], scheme, len(blocks))
    parts = tuple(
        Part(name, scheme.surface_tilt, (scheme.surface_azimuth + 180.0 * n) % 360.0, block)
        for n, (name, block) in enumerate(zip(names, blocks, strict=False))
    )
    pitch, kept = scheme.one.pitch_m, kept_clear(site, roof)
    how = (scheme.arrangement, parts, pitch, scheme.profile_deg)
    return Layout(site, roof.name, *how, kept, scheme.module)


def _backs(rows: Packed, scheme: Scheme, spare: int) -> list[Block]:
    """Give the rows behind those of pairs: each module turned round, its lower edge at the back."""
    one, deep = scheme.one, scheme.tile.deep_m
    corners = [(u + one.along_m, row.v_m + deep) for row in rows[::-1] for u in row.us_m[::-1]]
    places = [(-u, -v) for u, v in corners]
    turn = (one.turn_deg + 360.0) % 360.0 - 180.0
    places = places[: len(places) - spare]
    return [with_places(replace(one, turn_deg=turn), places)] if places else []


def _names(known: list[str], scheme: Scheme, wanted: int) -> list[str]:
    """Give each array of a layout a name: those the roof has, as far as they go."""
    if len(known) >= wanted:
        return known[:wanted]
    winds = [compass_word(scheme.surface_azimuth + 180.0 * n) for n in range(wanted)]
    return [*known, *(f"{known[0]} {wind}" for wind in winds[len(known) :])]


def compass_word(azimuth: float) -> str:
    """Give the nearest of the eight winds.

    Examples
    --------
    >>> compass_word(200.0), compass_word(350.0)
    ('south', 'north')
    """
    return _WINDS[round(azimuth / 45.0) % len(_WINDS)]
