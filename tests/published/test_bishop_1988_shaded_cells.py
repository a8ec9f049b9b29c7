"""Shaded cells and bypass diodes.

Bishop, Solar Cells 25 (1988), with the example cell of pvlib's page on reverse-biased cells.
"""

import numpy as np
import pytest

from pvkit.electrical.cell import Cells
from pvkit.electrical.cell_kernel import cell_volts
from pvkit.electrical.mismatch import CellLight, compiled_inputs, mismatch_of_cells
from pvkit.electrical.mismatch_kernel import cell_at
from tests.electrical.direct_solve import EXAMPLE, cell_curve

PAGE = "Bishop 1988, Solar Cells 25; example cell of pvlib's page on shaded modules"
CELLS_IN_SERIES = 24  # a 72-cell module, three bypass diodes
TABLE_ROUNDING = 0.001  # the rows are rounded to three figures; asked for is 0.01
CELL_V_ROUNDING = 0.01
ANY_WINDOW = (0.0, 1e6)


def example_cells():
    return Cells(
        current_per_light=np.array([EXAMPLE.i_l_ref / 1000]),
        saturation_a=np.array([EXAMPLE.i_o_ref]),
        volts_scale=np.array([EXAMPLE.a_ref]),
        shunt_per_light=1 / (EXAMPLE.r_sh_ref * 1000),
        series_ohm=EXAMPLE.r_s,
        in_series=float(CELLS_IN_SERIES),
    )


def module_w(shaded_cells, light):
    """Watts of one module in full sun but for some cells of each section."""
    number = np.array(shaded_cells, dtype=float).reshape(1, 1, -1)
    full = np.full(number.shape, 1000.0)
    lit = CellLight(full, np.full(number.shape, float(light)), number)
    found = mismatch_of_cells(lit, example_cells(), 1, ANY_WINDOW)
    assert found.module_w[0, 0] == pytest.approx(found.string_w[0], rel=1e-4)
    return float(found.string_w[0])


# Source: the cell of pvlib's documented example (IL 8.24 A, I0 2.36e-9 A, a 1.3 kT/q, Rsh 1000,
# Rs 0.00181; reverse fraction 2e-3, exponent 3, breakdown -15 V; bypass diode 0.5 V), solved once
# on dense grids of pvlib's bishop88 apart from this package; 3 x 24 cells at 1000 W/m2. Computed,
# not measured. Agreement: every row to its third figure.
def test_the_module_of_example_cells_in_full_sun(published):
    published("module of example cells in full sun", PAGE, module_w((0, 0, 0), 1000), 349.26, "W",
              "another program", 0.01)  # fmt: skip


@pytest.mark.parametrize(
    ("shaded_cells", "light", "kept"),
    [
        ((1, 0, 0), 200, 0.657),
        ((24, 0, 0), 200, 0.656),
        ((1, 1, 0), 200, 0.328),
        ((24, 24, 0), 200, 0.311),
        ((1, 1, 1), 200, 0.242),
        ((2, 2, 2), 200, 0.238),  # the bottom row of a portrait module
        ((24, 24, 24), 200, 0.186),
        ((1, 0, 0), 500, 0.659),
        ((1, 1, 1), 500, 0.589),
    ],
)
def test_a_module_of_whole_cells_keeps(shaded_cells, light, kept, published):
    ours = module_w(shaded_cells, light) / module_w((0, 0, 0), 1000)
    published("power kept with some cells shaded, whole cells", PAGE, ours, kept, "",
              "another program", TABLE_ROUNDING)  # fmt: skip


# The same with half cells. The halves of a third are joined at each bypass diode: joined at the
# module's ends alone, one shaded half cell would leave 0.694 instead of 0.670.
@pytest.mark.parametrize(
    ("lower_halves", "kept"),
    [((2, 2, 2), 0.606), ((1, 0, 0), 0.670)],
)
def test_a_half_cut_module_keeps(lower_halves, kept, published):
    sections = [cells for lower in lower_halves for cells in (lower, 0)]
    full = module_w((0,) * 6, 1000)
    published("power kept with some cells shaded, half cells", PAGE,
              module_w(sections, 200) / full, kept, "", "another program",
              TABLE_ROUNDING)  # fmt: skip


def test_half_cutting_helps_while_the_shade_stays_in_one_half():
    full = module_w((0, 0, 0), 1000)
    one_half = module_w((2, 0, 2, 0, 2, 0), 200)
    both_halves = module_w((2, 2, 2, 2, 2, 2), 200)
    whole_cells = module_w((2, 2, 2), 200)
    assert one_half > 2.5 * whole_cells
    assert both_halves / full == pytest.approx(whole_cells / full, abs=0.02)


# The page says in words that shading the bottom tenth of a portrait module loses roughly 80 %.
def test_the_bottom_row_of_whole_cells_loses_about_four_fifths(published):
    lost = 1 - module_w((2, 2, 2), 200) / module_w((0, 0, 0), 1000)
    source = "pvlib-python documentation; shaded modules, bottom tenth of 72 cells"
    published("power lost with the bottom row shaded", source, lost, 0.8, "", "published", 0.05)


# Source: as the table: a cell at 200 W/m2 forced to 8 A sits at -14.86 V, to 5 A at -14.83 V.
@pytest.mark.parametrize(("amps", "volts"), [(8.0, -14.86), (5.0, -14.83)])
def test_a_shaded_cell_forced_to_carry_the_others_current_breaks_down(amps, volts, published):
    dark = CellLight(*(np.zeros((1, 1, 3)) for _ in range(3)))
    cell = cell_at(0, *compiled_inputs(dark, example_cells()))
    found, _ = cell_volts(amps, 200.0, cell.usual_v, cell)
    published("volts of a shaded cell forced to carry 8 and 5 A", PAGE, found, volts, "V",
              "another program", CELL_V_ROUNDING)  # fmt: skip
    grid_a, grid_v = cell_curve(EXAMPLE, 200.0, 25.0)
    assert found == pytest.approx(np.interp(amps, grid_a, grid_v), abs=1e-3)


def test_a_second_shaded_cell_behind_the_same_diode_is_free():
    one, two = (module_w((cells, 0, 0), 200) for cells in (1, 2))
    assert two == pytest.approx(one, rel=0.005)
