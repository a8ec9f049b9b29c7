"""Modules and their cells as points in space.

Space is metres east, north and up from the roof's lower left corner as seen from outside, at the
height of its lower edge. The corner is that of the box round the roof, where it has an outline.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvkit.roof.geometry import Geometry
from pvkit.site.kit import Roof
from pvkit.site.plan import Block, roof_box

Array = NDArray[np.float64]

# A module's wiring: three runs of cells, each in two columns behind its own diode.
THIRDS = 3
COLUMNS_A_THIRD = 2


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A roof's own directions in space.

    Parameters
    ----------
    corner : (2,) the roof's x and y at the origin of space
    right, up : (3,) a metre along its width, and a metre up its depth
    level_up : (3,) a level metre the same way as ``up``
    """

    corner: Array
    right: Array
    up: Array
    level_up: Array

    def at(self, xy: Array) -> Array:
        """Give the points (…, 3) on the roof's surface at its own x and y (…, 2)."""
        away = np.asarray(xy, dtype=np.float64) - self.corner
        return away[..., :1] * self.right + away[..., 1:] * self.up


PLUMB: Array = np.array([0.0, 0.0, 1.0])


def roof_frame(roof: Roof) -> Frame:
    """Give a roof's directions; a flat roof's small fall is left out.

    Examples
    --------
    >>> south = Roof(name="s", kind="pitched", tilt_deg=30, azimuth_deg=180, width_m=8, depth_m=5)
    >>> roof_frame(south).at(np.array([1.0, 2.0])).round(3)
    array([1.   , 1.732, 1.   ])
    """
    left, _, low, _ = roof_box(roof)
    facing = np.radians(roof.azimuth_deg)
    level_up = np.array([-np.sin(facing), -np.cos(facing), 0.0])
    right = np.array([-np.cos(facing), np.sin(facing), 0.0])
    tilt = np.radians(roof.tilt_deg if roof.kind == "pitched" else 0.0)
    up = np.cos(tilt) * level_up + np.sin(tilt) * PLUMB
    return Frame(np.array([left, low]), right, up, level_up)


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """A block's rows in space.

    Parameters
    ----------
    starts : (rows, 3) lower left corner of each row
    along, up : (3,) a metre along a row, and a metre up its modules
    """

    starts: Array
    along: Array
    up: Array


def block_rows(block: Block, roof: Roof, clearance_m: float) -> Rows:
    """Stand a block's rows on its roof.

    Parameters
    ----------
    block : modules in plan
    roof : the roof
    clearance_m : square to a slope; to the lower edge, plumb, on a flat roof
    """
    frame, turn, lean = roof_frame(roof), np.radians(block.turn_deg), np.radians(block.lean_deg)
    along = np.cos(turn) * frame.right - np.sin(turn) * frame.level_up
    level = np.sin(turn) * frame.right + np.cos(turn) * frame.level_up
    flat = roof.kind == "flat"
    up = np.cos(lean) * level + np.sin(lean) * PLUMB if flat else frame.up
    off = PLUMB if flat else np.cross(frame.right, frame.up)
    corners = np.array([block.at(u, v) for u, v in block.row_starts])
    return Rows(frame.at(corners) + clearance_m * off, along, up)


def row_faces(block: Block, rows: Rows) -> Array:
    """Give each row as one rectangle in space, (rows, 4, 3); gaps between modules count as module.

    Corners run round from the lower left one.
    """
    widths = np.array([block.row_width_m(count) for count in block.rows])[:, None] * rows.along
    ends = rows.starts + widths
    high = block.up_m * rows.up
    return np.stack([rows.starts, ends, ends + high, rows.starts + high], axis=1)


def module_faces(block: Block, rows: Rows) -> Array:
    """Give each module as a rectangle in space, (modules, 4, 3), in the order of their numbers."""
    low = module_corners(block, rows)
    along, up = block.along_m * rows.along, block.up_m * rows.up
    return np.stack([low, low + along, low + along + up, low + up], axis=1)


def module_corners(block: Block, rows: Rows) -> Array:
    """Give the lower left corner of each module in space, (modules, 3)."""
    step = (block.along_m + block.gap_m) * rows.along
    return np.concatenate(
        [
            rows.starts[row] + np.arange(count)[:, None] * step
            for row, count in enumerate(block.rows)
        ]
    )


def cell_points(geometry: Geometry) -> Array:
    """Give the middle of every cell in space.

    Parameters
    ----------
    geometry : the array on its roof

    Returns
    -------
    (modules, sections, cells, 3) in metres
    """
    block = geometry.block
    rows = block_rows(block, geometry.roof, geometry.clearance_m)
    cells = section_cells(geometry.cells_in_series, geometry.half_cut)
    if block.orientation == "landscape":
        cells = cells[..., ::-1]
    inside = cells[..., :1] * block.along_m * rows.along + cells[..., 1:] * block.up_m * rows.up
    return np.asarray(module_corners(block, rows)[:, None, None, :] + inside)


def section_cells(cells_in_series: int, half_cut: bool) -> Array:
    """Give the middles of a portrait module's cells by section, as shares of its sides.

    Cells stand in six columns, two for each third. A half-cut module has twice as many, its lower
    and upper half in parallel: section = third × 2 + half. A lying module is the same mirrored
    about its diagonal: thirds one above the other, halves side by side. The frame's few
    millimetres are left out; a count that six columns do not share evenly is rounded.

    Parameters
    ----------
    cells_in_series : as on the data sheet, 54 for a module of 108 half cells
    half_cut : cells cut in two

    Returns
    -------
    (sections, cells, 2), 0 to 1 along the shorter and the longer side

    Examples
    --------
    >>> section_cells(54, True).shape, section_cells(60, False).shape
    ((6, 18, 2), (3, 20, 2))
    """
    halves = 2 if half_cut else 1
    columns = THIRDS * COLUMNS_A_THIRD
    rows = max(1, round(cells_in_series / columns))
    x = (np.arange(columns) + 0.5) / columns
    y = (np.arange(halves * rows) + 0.5) / (halves * rows)
    grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1)
    parted = grid.reshape(THIRDS, COLUMNS_A_THIRD, halves, rows, 2).transpose(0, 2, 1, 3, 4)
    return parted.reshape(THIRDS * halves, COLUMNS_A_THIRD * rows, 2)
