"""Sites to look at the sky from: one roof, one array and whatever stands in the light."""

from typing import Any

from pvkit.site.reader import build_site
from pvkit.site.survey import Site

CHIMNEY = {"name": "chimney", "kind": "box", "roof": "r", "x_m": 0.2, "y_m": 4.0,
           "width_m": 0.6, "depth_m": 0.6, "height_m": 1.2}  # fmt: skip
FLUE = {"name": "flue", "kind": "cylinder", "roof": "r", "x_m": 0.5, "y_m": 0.5,
        "diameter_m": 0.15, "height_m": 1.0}  # fmt: skip
WALL = {"name": "neighbour", "kind": "wall", "bearing_deg": 160.0, "distance_m": 12.0,
        "width_m": 8.0, "height_m": 10.0}  # fmt: skip
TREE = {"name": "birch", "kind": "tree", "bearing_deg": 220.0, "distance_m": 9.0, "width_m": 5.0,
        "height_m": 11.0, "trunk_m": 2.5}  # fmt: skip
PARAPET = {"name": "edge", "kind": "parapet", "roof": "r", "edge": "left", "height_m": 0.5}
RIDGE = {"name": "ridge", "kind": "ridge", "roof": "r", "bearing_deg": 100.0, "distance_m": 7.0,
         "width_m": 8.0, "height_m": 3.0}  # fmt: skip
ALL = (CHIMNEY, FLUE, WALL, TREE, PARAPET, RIDGE)


def site_with(*obstacles: dict[str, Any], kind: str = "pitched", roof: dict[str, Any] | None = None,
              array: dict[str, Any] | None = None, **tables: Any) -> Site:  # fmt: skip
    """A house 9 m wide with an array of four modules, changed as given."""
    slope = {"tilt_deg": 35} if kind == "pitched" else {}
    raw = {
        "site": {"name": "test", "latitude": 52.0, "longitude": -1.0},
        "roof": [{"name": "r", "kind": kind, "azimuth_deg": 180, "width_m": 9.0, "depth_m": 6.0,
                  "height_m": 5.0, **slope, **(roof or {})}],
        "array": [{"name": "m", "roof": "r", "module": "half-cut-430", "count": 4, "x_m": 1.5,
                   **(array or {})}],
        "inverter": {"part": "single-phase-2500"},
        "obstacle": [dict(obstacle) for obstacle in obstacles],
        **tables,
    }  # fmt: skip
    return build_site(raw)
