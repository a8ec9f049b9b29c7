"""The largest array a roof takes, and the one that sees the most light for a number of modules."""

from collections.abc import Callable, Iterator

from pvkit.errors import Fault, InputError
from pvkit.roof.fit import Layout, named_roof
from pvkit.roof.layout_light import LayoutLight
from pvkit.roof.rows import row_pitch_m
from pvkit.roof.schemes import Choices, Scheme, laid, room, schemes
from pvkit.site.kit import Roof
from pvkit.site.packing import Packed, count_of
from pvkit.site.survey import Site
from pvkit.site.thinning import some_of
from pvkit.tables import constant

YieldOf = Callable[[Layout], float]


def largest_layout(site: Site, roof_name: str, choices: Choices | None = None) -> Layout:
    """Find the layout that puts the most modules on a roof.

    It takes the place of all arrays on that roof; of equal counts the more usual layout wins. The
    best for straight edges along and across the rows; a search, not a proof, for any other roof.

    Parameters
    ----------
    site : a checked survey
    roof_name : one of its roofs, with an array on it to take the module from
    choices : what to choose among; everything usual if left out

    Raises
    ------
    InputError
        If there is no such roof, or not one module fits within its margins.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> rows = largest_layout(site, "top", Choices(arrangements=("rows",)))
    >>> pairs = largest_layout(site, "top", Choices(arrangements=("pairs",)))
    >>> (rows.count, rows.rows), (pairs.count, pairs.rows)
    ((8, 2), (12, 6))
    """
    choices = choices or Choices()
    roof = named_roof(site, roof_name)
    tried = [(scheme, room(site, roof, scheme)) for scheme in schemes(site, roof, choices)]
    best, rows = max(tried, key=lambda pair: pair[0].each * count_of(pair[1]))
    if not rows:
        raise InputError(_no_room(roof, 1, 0))
    return laid(site, roof, best, rows)


def best_layout(
    site: Site,
    roof_name: str,
    count: int,
    choices: Choices | None = None,
    yield_of: YieldOf | None = None,
) -> Layout:
    """Find the layout of a given number of modules that yields the most.

    Parameters
    ----------
    site, roof_name, choices : as for :func:`largest_layout`
    count : modules wanted
    yield_of : what to make the most of; if left out the year's light on the modules with all the
        shade of rows and obstacles

    Raises
    ------
    InputError
        If there is no such roof, or fewer fit: says how many.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> site = load_site("bungalow_extension")
    >>> best = best_layout(site, "top", 4, yield_of=lambda layout: layout.pitch_m)
    >>> best.count
    4
    """
    choices = choices or Choices()
    roof = named_roof(site, roof_name)
    tried = [(scheme, room(site, roof, scheme)) for scheme in _spaced(site, roof, choices)]
    most = max(scheme.each * count_of(rows) for scheme, rows in tried)
    if not 1 <= count <= most:
        raise InputError(_no_room(roof, count, most))
    able = [layout for pair in tried for layout in _of_count(site, roof, count, pair)]
    if yield_of is not None:
        return max(able, key=yield_of)
    return _brightest(able, LayoutLight.of(site))


def _no_room(roof: Roof, count: int, most: int) -> Fault:
    return Fault(
        f"roof.{roof.name}",
        f"found {count} modules asked for",
        f"1 to {most} within its margins and clear of what is kept clear" if most else
        "none: its margins and what is kept clear leave no room for a module",
        "lower the count, the margins or the tilt, or look at the roof's size in metres",
    )  # fmt: skip


def _spaced(site: Site, roof: Roof, choices: Choices) -> Iterator[Scheme]:
    """Give every scheme, rows at several pitches where no sun was chosen."""
    for scheme in schemes(site, roof, choices):
        yield scheme
        if scheme.arrangement == "rows" and choices.profile_deg is None:
            yield from _other_pitches(scheme)


def _other_pitches(scheme: Scheme) -> Iterator[Scheme]:
    """Give a scheme's rows closer, as practice spaces them, and wider, for a lower sun."""
    one, usual = scheme.one, scheme.profile_deg
    practice = [constant(f"layout.shading_limit{end}_deg") for end in ("", "_high")]
    for profile in (*practice, usual / 2, usual / 4):
        pitch = row_pitch_m(one.up_m, one.lean_deg, profile)
        yield scheme.at_pitch(max(pitch, one.row_depth_m + one.gap_m), profile)


def _of_count(site: Site, roof: Roof, count: int, pair: tuple[Scheme, Packed]) -> Iterator[Layout]:
    """Give the ways of taking so many modules from a packing: low, in the middle and high."""
    scheme, rows = pair
    places = -(-count // scheme.each)
    if count_of(rows) < places:
        return
    chosen = [some_of(rows, places, scheme.tile, first) for first in (None, *range(len(rows)))]
    for some in dict.fromkeys(each for each in chosen if each):
        yield laid(site, roof, scheme, some, count)


def _brightest(layouts: list[Layout], light: LayoutLight) -> Layout:
    """Give the layout with the most light, looking only at those that could be it.

    The light on a layout with nothing in the way is the most that it can get.
    """
    ordered = sorted(layouts, key=light.open_kwh, reverse=True)
    best, most = ordered[0], light.kwh(ordered[0])
    for layout in ordered[1:]:
        if light.open_kwh(layout) <= most:
            break
        kwh = light.kwh(layout)
        if kwh > most:
            best, most = layout, kwh
    return best
