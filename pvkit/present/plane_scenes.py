"""What the tilt and direction workbook shows of one array under one shade."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pvkit.present.plane_pictures import (
    CLOSE_PERCENT,
    NEAR_PERCENT,
    Plane,
    PlaneGrid,
    days_picture,
    months_picture,
    plane_map_json,
)
from pvkit.present.rounding import kwh, percent, pounds
from pvkit.present.screen_charts import picture_json
from pvkit.roof.light import Array
from pvkit.study.plane_choice import (
    WayToFace,
    by_month,
    east_west_or_south,
    mean_day_kw,
)
from pvkit.study.plane_map import PlaneMap, plane_half_hours, plane_map
from pvkit.study.plane_worth import PlaneWorth, plane_worth, worth_map
from pvkit.study.study import Study

ENERGY = "What does each way to face make?"
WORTH = "What is each way worth to this home?"
MONTHS = "How do the months differ?"
DAYS = "East and west, or south?"

Two = tuple[Plane, Plane]
Drawn = tuple[dict[str, Any], str]


@dataclass(frozen=True, eq=False)
class PlaneScene:
    """One array of a site under one shade; what is asked for twice is worked out once.

    Parameters
    ----------
    study : of the site
    array : the array's name
    shade : one of :data:`pvkit.study.plane_map.SHADES`
    """

    study: Study
    array: str
    shade: str

    @cached_property
    def found(self) -> PlaneMap:
        """The map of energy."""
        return plane_map(self.study, self.array, self.shade)

    @cached_property
    def year(self) -> Callable[[tuple[float, float]], Array]:
        """What turns tilt and direction into a year's half-hours."""
        return plane_half_hours(self.study, self.array, self.shade)

    def year_of(self, plane: Plane) -> Array:
        """Give a plane's half-hours, (n,) [kWh]."""
        return self.year((plane.tilt_deg, plane.azimuth_deg))

    def worth_of(self, plane: Plane) -> PlaneWorth:
        """Give what a plane makes and is worth."""
        return plane_worth(self.study, self.year_of(plane))

    @cached_property
    def roof(self) -> Plane:
        """The plane as surveyed."""
        return Plane("roof", *self.found.here)

    @cached_property
    def best(self) -> tuple[Plane, PlaneWorth]:
        """The plane of the map that makes most, and its worth."""
        tilt, azimuth, _ = self.found.best
        plane = Plane("Best", tilt, azimuth)
        return plane, self.worth_of(plane)

    @cached_property
    def worth(self) -> PlaneGrid:
        """The map of worth; it takes a moment."""
        found = worth_map(self.study, self.array, self.shade)
        return PlaneGrid(
            found.tilts_deg, found.azimuths_deg, found.saving_gbp, "£ saved in the first year"
        )

    @property
    def has_worth(self) -> bool:
        """Whether the map of worth is there already."""
        return "worth" in self.__dict__


def _energy(scene: PlaneScene, planes: Two) -> Drawn:
    found = scene.found
    grid = PlaneGrid(found.tilts_deg, found.azimuths_deg, found.ac_kwh, "kWh a year")
    lost = found.lost_kwh
    share = percent(found.here_kwh / found.best[2])
    words = (
        f"Inside the full line a plane makes {CLOSE_PERCENT:.0f} % of the best or more, inside "
        f"the dashed one {NEAR_PERCENT:.0f} %. The roof as surveyed makes {share} of it"
        f"{f', {kwh(lost)} a year less' if lost > 0.05 else ''}."
    )
    return plane_map_json(grid, (scene.roof, *planes)), words


def _worth(scene: PlaneScene, planes: Two) -> Drawn:
    grid = scene.worth
    words = (
        "What the first year saves with this home's use and prices. Power used as it is made "
        "saves its full price, power sold brings less: so the ways to face that suit the home's "
        "hours are worth more than their kWh alone."
    )
    return plane_map_json(grid, (scene.roof, *planes)), words


def _months(scene: PlaneScene, planes: Two) -> Drawn:
    sums = [by_month(scene.year_of(plane)) for plane in planes]
    picture = months_picture(planes, sums)
    return picture_json(picture), picture.answer


def _days(scene: PlaneScene, planes: Two) -> Drawn:
    pair, south = east_west_or_south(scene.study, planes[0].tilt_deg, scene.array, scene.shade)
    demand = mean_day_kw(scene.study.estimate().stages.year.demand_kwh)
    at = "Level" if planes[0].tilt_deg == 0 else f"At A's tilt, {planes[0].tilt_deg:.3g}°"
    words = f"{at}: {_said(pair)}; {_said(south)}."
    ways = [way.name for way in (pair, south)]
    picture = days_picture(ways, [pair.mean_day_kw, south.mean_day_kw, demand], words)
    return picture_json(picture), words


def _said(way: WayToFace) -> str:
    worth = way.worth
    return (
        f"{way.name} makes {kwh(worth.ac_kwh)} a year, {percent(worth.used_at_home_fraction)} of "
        f"it used at home, and saves {pounds(worth.saving_gbp)} in the first year"
    )


PLANE_PICTURES: dict[str, Callable[[PlaneScene, Two], Drawn]] = {
    ENERGY: _energy,
    WORTH: _worth,
    MONTHS: _months,
    DAYS: _days,
}
