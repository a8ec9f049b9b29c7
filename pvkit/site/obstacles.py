"""What stands in the light: chimneys, flues, parapets, ridges, walls and trees, as measured.

On a roof, x runs along its width and y up its depth, both from its lower left corner as seen from
outside; what stands there stands plumb. In the garden, bearing and distance run from the middle of
the roof.
"""

from typing import Annotated, Any, Literal

from pydantic import Field

from pvkit.site.fields import Section, quantity, text

_NAME = 'name what stands in the light, like "chimney"'
_ROOF = "give the name of the roof it stands on"
_SEEN_FROM = "name the roof it was measured from; left out, it counts for every roof"
_KIND: dict[str, Any] = {"fix": "say what it is: box, cylinder, wall, tree, parapet or ridge"}
_ALONG = "give metres along the roof's width from its lower left corner seen from outside"
_UP = "give metres up the roof from its lower left corner seen from outside"
_BEARING = "give the compass bearing from the roof's middle: 180 is south, 90 east"


class Box(Section):
    """A chimney, dormer, lift housing or tank on a roof.

    ``x_m`` and ``y_m`` are its lower left corner, ``height_m`` runs from the roof at the middle of
    its foot up to its level top.
    """

    name: str = text(80, _NAME)
    kind: Literal["box"] = Field(json_schema_extra=_KIND)
    roof: str = text(80, _ROOF)
    x_m: float = quantity("m", -200.0, 200.0, _ALONG)
    y_m: float = quantity("m", -200.0, 200.0, _UP)
    width_m: float = quantity("m", 0.05, 100.0, "give metres along the roof's width")
    depth_m: float = quantity("m", 0.05, 100.0, "give metres up the roof's slope")
    height_m: float = quantity("m", 0.05, 50.0, "give metres above the roof's surface")


class Cylinder(Section):
    """A flue, vent or pole on a roof; ``x_m`` and ``y_m`` are the middle of its foot."""

    name: str = text(80, _NAME)
    kind: Literal["cylinder"] = Field(json_schema_extra=_KIND)
    roof: str = text(80, _ROOF)
    x_m: float = quantity("m", -200.0, 200.0, _ALONG)
    y_m: float = quantity("m", -200.0, 200.0, _UP)
    diameter_m: float = quantity("m", 0.02, 50.0, "give its width in metres, 0.15 for 150 mm")
    height_m: float = quantity("m", 0.05, 50.0, "give metres above the roof's surface")


class Parapet(Section):
    """An upstand along one edge of a roof, or a party wall that follows the slope."""

    name: str = text(80, _NAME)
    kind: Literal["parapet"] = Field(json_schema_extra=_KIND)
    roof: str = text(80, _ROOF)
    edge: Literal["front", "back", "left", "right"] = Field(
        json_schema_extra={"fix": "say which edge, seen from outside: front is the lower one"}
    )
    height_m: float = quantity("m", 0.05, 10.0, "give metres above the roof's surface")


class Ridge(Section):
    """The ridge of a neighbouring pitch, square to its bearing from the roof's middle.

    ``height_m`` is above the roof's lower edge (its surface, on a flat roof). All below the ridge
    is taken to hide the light as a wall does.
    """

    name: str = text(80, _NAME)
    kind: Literal["ridge"] = Field(json_schema_extra=_KIND)
    roof: str = text(80, _ROOF)
    bearing_deg: float = quantity("deg", 0.0, 360.0, _BEARING)
    distance_m: float = quantity(
        "m", 0.2, 1000.0, "give level metres from the roof's middle to the ridge"
    )
    width_m: float = quantity("m", 0.1, 500.0, "give the length of the ridge in metres")
    height_m: float = quantity("m", 0.05, 50.0, "give metres above the roof's lower edge")


class Wall(Section):
    """A wall or building beside the house, its face square to its bearing from the roof."""

    name: str = text(80, _NAME)
    kind: Literal["wall"] = Field(json_schema_extra=_KIND)
    roof: str | None = text(80, _SEEN_FROM, optional=True)
    bearing_deg: float = quantity("deg", 0.0, 360.0, _BEARING)
    distance_m: float = quantity(
        "m", 0.2, 1000.0, "give level metres from the roof's middle to the wall's face"
    )
    width_m: float = quantity("m", 0.1, 1000.0, "give its width as seen from the roof")
    height_m: float = quantity("m", 0.5, 300.0, "give metres above the ground")


class Tree(Section):
    """A tree: a canopy that lets some light through, on a trunk that lets none.

    The light let through has a value with leaves and one without, by month.
    """

    name: str = text(80, _NAME)
    kind: Literal["tree"] = Field(json_schema_extra=_KIND)
    roof: str | None = text(80, _SEEN_FROM, optional=True)
    bearing_deg: float = quantity("deg", 0.0, 360.0, _BEARING)
    distance_m: float = quantity(
        "m", 0.2, 1000.0, "give level metres from the roof's middle to the trunk"
    )
    width_m: float = quantity("m", 0.2, 60.0, "give the canopy's width in metres")
    height_m: float = quantity("m", 0.5, 100.0, "give metres from the ground to the top")
    trunk_m: float = quantity(
        "m", 0.0, 60.0, "give metres from the ground to the lowest leaves", key="obstacle.trunk_m"
    )
    light_through_summer: float = quantity(
        "-", 0.0, 1.0, "give a share, 0.2 for 20 %", key="obstacle.light_through_summer"
    )
    light_through_winter: float = quantity(
        "-", 0.0, 1.0, "give a share, 0.6 for 60 %", key="obstacle.light_through_winter"
    )


Obstacle = Annotated[
    Box | Cylinder | Wall | Tree | Parapet | Ridge,
    Field(
        discriminator="kind",
        json_schema_extra={"fix": "it holds name, kind and where it stands; see its kind's keys"},
    ),
]
