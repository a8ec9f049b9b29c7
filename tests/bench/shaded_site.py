"""An invented roof for the bench: two rows of half-cut modules, a chimney, a flue and a tree."""

from typing import Any

from pvkit.site.reader import build_site
from pvkit.site.survey import Site

PANEL_PITCH_M = 1.16


def shaded_site(modules: int) -> Site:
    """Build a site of an even number of modules on one string for every twelve of them."""
    columns = modules // 2
    wide = columns * PANEL_PITCH_M
    raw: dict[str, Any] = {
        "site": {"name": "bench", "latitude": 52.3, "longitude": -1.9, "region": "Midlands"},
        "roof": [{"name": "r", "kind": "pitched", "tilt_deg": 35.0, "azimuth_deg": 190.0,
                  "width_m": wide + 3.0, "depth_m": 5.4}],
        "array": [{"name": "a", "roof": "r", "module": "half-cut-430", "rows": 2,
                   "columns": columns, "x_m": 0.5, "y_m": 0.6,
                   "strings": max(1, modules // 12)}],
        "inverter": {"datasheet": {
            "ac_w": 400.0 * modules, "efficiency_10": 0.94, "efficiency_50": 0.972,
            "efficiency_100": 0.967, "dc_max_v": 1000.0, "mppt_min_v": 80.0, "mppt_max_v": 850.0,
            "trackers": 1, "input_max_a": 60.0, "input_isc_max_a": 80.0}},
        "obstacle": [
            {"name": "chimney", "kind": "box", "roof": "r", "x_m": wide + 1.0, "y_m": 3.0,
             "width_m": 0.7, "depth_m": 0.6, "height_m": 1.5},
            {"name": "flue", "kind": "cylinder", "roof": "r", "x_m": 0.2, "y_m": 1.6,
             "diameter_m": 0.12, "height_m": 0.9},
            {"name": "birch", "kind": "tree", "bearing_deg": 225.0, "distance_m": 11.0 + wide / 2,
             "width_m": 5.0, "height_m": 10.5, "trunk_m": 2.5},
        ],
    }  # fmt: skip
    return build_site(raw, "bench")
