"""Power in the half-hours that are unevenly lit, put among those that are not."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pvkit.electrical.cell import Cells
from pvkit.electrical.mismatch import CellLight, Find, MismatchResult, lifted, mismatch_of_cells
from pvkit.electrical.power import Alone, Feed, Wired
from pvkit.electrical.usable_light import HALF_HOUR_KWH_PER_W
from pvkit.roof.light import Array, IntArray


@dataclass(frozen=True, slots=True, eq=False)
class UnevenPart:
    """Half-hours that are solved in full, and the year they stand in.

    Parameters
    ----------
    at : (u,) their positions among the daylight half-hours
    find_light : lays out the light on their cells, which takes much room
    cells : at each half-hour's temperature
    strings : in parallel
    window : the tracker's [V]
    even_w : (u,) modules each lit evenly by its own mean light, by the data sheet [W]
    most_w : what an optimiser can carry [W]
    evenly : the year if all modules got the same light
    """

    at: IntArray
    find_light: Callable[[], CellLight]
    cells: Cells
    strings: int
    window: tuple[float, float]
    even_w: Array
    most_w: float
    evenly: Alone

    def wired(self, lit: CellLight | None = None) -> Wired:
        """Give the year of the modules as strings; ``lit`` is their light if it is at hand."""
        found, scale = self._solved("strings", lit)
        return Wired(
            string=self._feed(Feed(found.string_w * scale, found.string_v)),
            local=self._feed(Feed(found.local_w * scale, found.local_v)),
        )

    def alone(self, lit: CellLight | None = None, at_least: Feed | None = None) -> Alone:
        """Give the year of each module on its own.

        All together give ``at_least`` as much: the search for a module's maximum may end a hair
        below what it gives in a string.
        """
        found, scale = self._solved("modules", lit)
        each_w = found.module_w * scale[:, None]
        if at_least is not None:
            each_w = each_w * lifted(each_w.sum(axis=1), at_least.watts[self.at])[:, None]
        even_w = self.evenly.feed.watts
        rest_w = (even_w.sum() - even_w[self.at].sum()) / each_w.shape[1]
        above = np.maximum(each_w - self.most_w, 0.0).sum(axis=1)
        return Alone(
            feed=self._feed(Feed(each_w.sum(axis=1), self._volts(found))),
            above_w=put(self.evenly.above_w, self.at, above),
            module_kwh=(each_w.sum(axis=0) + rest_w) * HALF_HOUR_KWH_PER_W,
        )

    def _solved(self, find: Find, lit: CellLight | None) -> tuple[MismatchResult, Array]:
        """Solve strings or modules; give what scales their power to the data sheet's as well."""
        lit = self.find_light() if lit is None else lit
        found = mismatch_of_cells(lit, self.cells, self.strings, self.window, find=find)
        none = np.zeros_like(self.even_w)
        return found, np.divide(self.even_w, found.even_w, out=none, where=found.even_w > 0)

    def _volts(self, found: MismatchResult) -> Array:
        """Give the voltage at which each string's strongest module carries the power [V]."""
        string_a = found.module_a.reshape(len(self.at), self.strings, -1)
        amps = self.strings * np.sqrt((string_a.max(axis=2) ** 2).mean(axis=1))
        made: Array = found.module_w.sum(axis=1)
        volts: Array = np.divide(made, amps, out=np.ones_like(made), where=amps > 0)
        return volts

    def _feed(self, solved: Feed) -> Feed:
        even = self.evenly.feed
        return Feed(put(even.watts, self.at, solved.watts), put(even.volts, self.at, solved.volts))


def at_most(wired: Wired, own: Feed) -> Wired:
    """Take out what the solution's own error puts strings above the modules' own maxima."""
    string_w = np.minimum(wired.string.watts, own.watts)
    local_w = np.minimum(wired.local.watts, string_w)
    return Wired(Feed(string_w, wired.string.volts), Feed(local_w, wired.local.volts))


def put(year: Array, at: IntArray, values: Array) -> Array:
    """Give a year with some of its half-hours changed.

    Examples
    --------
    >>> put(np.zeros(3), np.array([1]), np.array([5.0]))
    array([0., 5., 0.])
    """
    changed = year.copy()
    changed[at] = values
    return changed
