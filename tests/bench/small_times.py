"""Steps that a slider takes many of: each alone, in milliseconds, the best of several."""

import timeit
from collections.abc import Callable

import numpy as np

from pvkit import Study, load_site
from pvkit.electrical.power_table import maximum_power, power_table
from pvkit.electrical.system import system_output
from pvkit.present.roof_panel import FlatRoofPanel
from pvkit.roof.ballast_plan import ballast_plan
from pvkit.site.parts import module_sheet
from pvkit.site.reader import build_site, given

FLAT_ROOF, ARRAY = "flat_roof_garage", "garage"
HALF_HOURS = 9000  # of daylight


def small_times() -> dict[str, float]:
    """Time building a site, a year's electrics, the module's table, ballast and its slider."""
    site, raw = load_site(FLAT_ROOF), given(load_site("east_west_pair"))
    stages = Study(load_site("south_family_home")).estimate().stages
    panel, blocks = FlatRoofPanel(FLAT_ROOF), iter(range(20, 40))
    sheet = module_sheet("half-cut-430")
    sheets = (sheet.model_copy(update={"voc_v": sheet.voc_v + n * 1e-4}) for n in range(1, 20))
    light = np.linspace(1.0, 1100.0, HALF_HOURS)
    temp_cell, table = (
        np.linspace(-5.0, 70.0, HALF_HOURS),
        power_table(module_sheet("half-cut-430")),
    )
    return {
        "site_built_ms": _best_ms(lambda: build_site(raw)),
        "electrics_year_ms": _best_ms(
            lambda: system_output(stages.sky, stages.arrays.inputs, stages.arrays.wiring)
        ),
        "module_table_built_ms": _best_ms(lambda: power_table(next(sheets))),
        "module_table_read_ms": _best_ms(lambda: maximum_power(table, light, temp_cell)),
        "ballast_plan_ms": _best_ms(lambda: ballast_plan(site, ARRAY)),
        "ballast_slider_ms": _best_ms(lambda: panel.set("block_kg", float(next(blocks)))),
    }


def _best_ms(act: Callable[[], object]) -> float:
    return min(timeit.repeat(act, number=1, repeat=10)) * 1000
