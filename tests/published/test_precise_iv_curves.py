"""Single-diode solver against curves solved to forty digits.

Source: pvlib-python source distribution, tests/data/precise_iv_curves1.json and
precise_iv_curves2.json with their parameter sets (BSD-3), T = 298.15 K; all 64 curves, cut out by
``data/make.py``. Agreement: 1e-10 of power by the Lambert-W solution; the Bishop form solved by
Newton's method, which the kit's power table is made with, finds power as well.
"""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from pvlib.pvsystem import singlediode
from pvlib.singlediode import bishop88_mpp
from scipy.constants import elementary_charge, k

from pvkit.electrical.cell_kernel import even_peak, even_volts
from tests.electrical.one_cell import one_cell

SOURCE = "pvlib-python 0.16.1; precise_iv_curves1.json and 2.json, 64 curves"
KELVIN = 298.15
# Quantity, its name in the table, its unit, and how near: a share, or in its unit.
POINTS = (
    ("short-circuit current", "i_sc", "A", 0.0, 1e-10),
    ("open-circuit voltage", "v_oc", "V", 0.0, 1e-10),
    ("current at maximum power", "i_mp", "A", 1e-7, 0.0),
    ("voltage at maximum power", "v_mp", "V", 1e-6, 0.0),
    ("maximum power", "p_mp", "W", 0.0, 1e-10),
)


@pytest.fixture(scope="module")
def curves():
    return pd.read_csv(
        Path(__file__).parent / "data" / "precise_iv_curves.csv", comment="#"
    ).astype(float)


def five(curves):
    scale = curves["n"] * curves["cells_in_series"] * k * KELVIN / elementary_charge
    given = ["photocurrent", "saturation_current", "resistance_series", "resistance_shunt"]
    return *(curves[name].to_numpy() for name in given), scale.to_numpy()


def test_the_table_holds_all_sixty_four(curves):
    assert len(curves) == 64
    assert curves.groupby("set").size().tolist() == [32, 32]


def test_lambert_w_solution_is_the_precise_one(curves, published):
    found = singlediode(*five(curves), method="lambertw")
    for name, column, unit, near, share in POINTS:
        published(f"{name}, Lambert's W", SOURCE, np.asarray(found[column]), curves[column], unit,
                  "another program", near, share)  # fmt: skip


def test_the_solver_behind_the_power_table_finds_the_precise_maximum(curves, published):
    amps, volts, power = bishop88_mpp(*five(curves), method="newton")
    found = {"i_mp": amps, "v_mp": volts, "p_mp": power}
    for name, column, unit, near, share in POINTS[2:]:
        published(f"{name}, the power table's solver", SOURCE, found[column], curves[column],
                  unit, "another program", near, share)  # fmt: skip


# The kit's own compiled cell, as used for shaded modules: all cells of a curve behind one diode.
# Agreement: its steps end within 1e-8 V a cell.
def our_cells(curves):
    for _, row in curves.iterrows():
        cells = row["cells_in_series"]
        five = (
            row["photocurrent"],
            row["saturation_current"],
            row["resistance_series"] / cells,
            row["resistance_shunt"] / cells,
            row["n"] * k * KELVIN / elementary_charge,
        )
        yield one_cell(five, in_series=cells, reverse_fraction=0.0)


def test_our_compiled_cell_finds_the_precise_points(curves, published):
    cells = list(our_cells(curves))
    peaks = np.array([even_peak(1000.0, cell) for cell in cells])
    published("maximum power, our compiled cell", SOURCE, peaks[:, 2], curves["p_mp"], "W",
              "another program", 0.0, 1e-9)  # fmt: skip
    pairs = zip(curves["i_mp"], cells, strict=True)
    ours = [even_volts(amps, 1000.0, cell)[0] for amps, cell in pairs]
    published("voltage at the current of maximum power, our compiled cell", SOURCE, ours,
              curves["v_mp"], "V", "another program", 1e-6)  # fmt: skip
    ours = [even_volts(0.0, 1000.0, cell)[0] for cell in cells]
    published("open-circuit voltage, our compiled cell", SOURCE, ours, curves["v_oc"], "V",
              "another program", 1e-6)  # fmt: skip
