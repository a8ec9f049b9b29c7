"""A layout of modules on one roof, ready to be tried on the site it was made for."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from pvkit.errors import Fault, InputError
from pvkit.roof.rows import ground_cover
from pvkit.site.kit import Array, ModuleSheet, Roof
from pvkit.site.parts import module_sheet
from pvkit.site.plan import Block, Outline
from pvkit.site.reader import given
from pvkit.site.survey import Site
from pvkit.site.usable import KeptClear

Arrangement = Literal["slope", "rows", "pairs"]

# A position is written to the tenth of a millimetre.
_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class Part:
    """The modules of a layout that face one way: an array of the site.

    Parameters
    ----------
    name : of the array
    surface_tilt, surface_azimuth : of its modules [deg]
    block : its modules in plan
    """

    name: str
    surface_tilt: float
    surface_azimuth: float
    block: Block

    @property
    def positions_m(self) -> tuple[tuple[float, float], ...]:
        """Lower left corner of each module as seen standing in front of it, in roof x and y."""
        corners = (outline[0] for outline in self.block.module_outlines())
        return tuple((round(x, _DECIMALS), round(y, _DECIMALS)) for x, y in corners)


@dataclass(frozen=True, slots=True)
class Layout:
    """Modules laid out on one roof.

    Parameters
    ----------
    site : the survey it was made for, its arrays as they were
    roof : name of the roof
    arrangement : ``slope``, ``rows`` that face one way, or ``pairs`` back to back
    parts : one array, or the two of ``pairs``
    pitch_m : between the lower edges of two rows, or of two pairs, at least
    profile_deg : the sun's elevation square to the rows above which none shades another [deg]
    kept : what it keeps clear of
    module : part name of another module than the site's; empty for the site's own
    """

    site: Site
    roof: str
    arrangement: Arrangement
    parts: tuple[Part, ...]
    pitch_m: float
    profile_deg: float
    kept: tuple[KeptClear, ...]
    module: str = ""

    @property
    def count(self) -> int:
        """Number of modules."""
        return sum(sum(part.block.rows) for part in self.parts)

    @property
    def rows(self) -> int:
        """Number of rows; a pair has two."""
        return sum(len(set(part.block.lines)) for part in self.parts)

    @property
    def kwp(self) -> float:
        """Rated power [kWp]."""
        return self.count * self.sheet.pmax_w / 1000.0

    @property
    def sheet(self) -> ModuleSheet:
        """Data sheet of its modules."""
        first = lying_on(self.site, self.roof)[0]
        return module_sheet(self.module) if self.module else self.site.module(first)

    @property
    def modules(self) -> tuple[Outline, ...]:
        """Corners of every module in plan, in roof x and y."""
        return tuple(o for part in self.parts for o in part.block.module_outlines())

    @property
    def ground_cover(self) -> float:
        """Length of the rows up their slope over the pitch; both rows of a pair count."""
        up = self.parts[0].block.up_m * (2 if self.arrangement == "pairs" else 1)
        return ground_cover(up, self.pitch_m)

    def as_changes(self) -> dict[str, Any]:
        """Give the changes that put this layout on its site, for ``Study.change``.

        One array changes by its own keys. Pairs, or one array for several, come as the whole list
        of arrays: put further changes after it. Strings stay as many as share the modules evenly.
        """
        lying = lying_on(self.site, self.roof)
        if len(lying) == len(self.parts) == 1:
            keys = dict(self._keys(lying[0], self.parts[0]))
            return {f"array.{lying[0].name}.{key}": value for key, value in keys.items()}
        raw = list(given(self.site)["array"])
        first = next(n for n, array in enumerate(raw) if array["roof"] == self.roof)
        made = []
        for part in self.parts:
            keys = {"name": part.name, **dict(self._keys(lying[0], part))}
            made.append({k: v for k, v in {**raw[first], **keys}.items() if v is not None})
        rest = [array for array in raw if array["roof"] != self.roof]
        return {"array": [*rest[:first], *made, *rest[first:]]}

    def _keys(self, template: Array, part: Part) -> Iterator[tuple[str, Any]]:
        """Give the keys of an array in this layout; what they take the place of becomes None."""
        count, block = sum(part.block.rows), part.block
        for name in ("rows", "columns", "x_m", "y_m"):
            if getattr(template, name) is not None:
                yield name, None
        yield "count", count
        yield "positions_m", [list(position) for position in part.positions_m]
        yield "orientation", block.orientation
        if self.module:
            yield "module", self.module
            if template.datasheet is not None:
                yield "datasheet", None
        if self.arrangement != "slope":
            yield "row_pitch_m", round(self.pitch_m, _DECIMALS)
            yield "tilt_deg", part.surface_tilt
            yield "azimuth_deg", part.surface_azimuth
        if count % template.strings:
            yield "strings", max(n for n in range(1, template.strings + 1) if count % n == 0)


def lying_on(site: Site, roof_name: str) -> tuple[Array, ...]:
    """Give the arrays of a site that lie on one of its roofs."""
    return tuple(array for array in site.array if array.roof == roof_name)


def named_roof(site: Site, roof_name: str) -> Roof:
    """Give a roof by its name.

    Raises
    ------
    InputError
        If there is no such roof, or no array on it to take the module from.
    """
    names = [roof.name for roof in site.roof]
    if roof_name not in names:
        fault = Fault("roof", f"found '{roof_name}'", ", ".join(names), "name a roof of the site")
        raise InputError(fault)
    if not lying_on(site, roof_name):
        fault = Fault(
            f"roof.{roof_name}",
            "found no array on it",
            "one array or more, to take the module from",
            "add an [[array]] on this roof with module and count = 1",
        )
        raise InputError(fault)
    return site.roof[names.index(roof_name)]
