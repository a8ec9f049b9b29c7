"""What modules keep clear of on a roof: its edges, and zones such as windows and walkways."""

from typing import Any, Literal

from pydantic import Field

from pvkit.site.fields import Corner, Section, corners, quantity, text

_ALONG = "give metres along the roof's width from its lower left corner seen from outside"
_UP = "give metres up the roof from its lower left corner seen from outside"
_OWN = "give metres, or leave it out to keep to margin_m"


def _margin(fix: str) -> Any:
    return quantity("m", 0.0, 20.0, fix, optional=True)


class Margins(Section):
    """Keys of a ``[[roof]]``: how far modules stay from its edges, along the slope.

    ``margin_m`` is for every edge, the others for one kind of edge: eaves below, ridge above,
    verges at the sides; on a flat roof front, back and sides.
    """

    margin_m: float | None = _margin("give metres from each edge to the nearest module")
    eaves_margin_m: float | None = _margin(_OWN)
    ridge_margin_m: float | None = _margin(_OWN)
    verge_margin_m: float | None = _margin(_OWN)


class KeepClear(Section):
    """One ``[[keep_clear]]``: a part of a roof that no module may cover.

    It lies in the roof's surface, measured along its width and up its slope: a rectangle from its
    lower left corner, or an outline of any form. Nearer than ``margin_m`` is allowed, and said.
    """

    name: str = text(80, 'name what is kept clear, like "bathroom window"')
    roof: str = text(80, "give the name of the roof it is in")
    kind: Literal["window", "rooflight", "vent", "outlet", "walkway", "other"] = Field(
        json_schema_extra={"fix": "say what it is"}
    )
    x_m: float | None = quantity("m", -200.0, 200.0, _ALONG, optional=True)
    y_m: float | None = quantity("m", -200.0, 200.0, _UP, optional=True)
    width_m: float | None = quantity(
        "m", 0.02, 200.0, "give metres along the roof's width", optional=True
    )
    depth_m: float | None = quantity("m", 0.02, 200.0, "give metres up the roof", optional=True)
    outline_m: tuple[Corner, ...] | None = corners(3, 100, "list its corners in order")
    margin_m: float | None = _margin("give metres to keep round it")
