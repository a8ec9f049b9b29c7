"""What a string is made of, and its volts on the coldest and the hottest day."""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pvkit.electrical.power_table import maximum_power, power_table
from pvkit.site.kit import ModuleSheet
from pvkit.site.survey import Site
from pvkit.tables import constant


class Strings(Protocol):
    """Like modules in equal strings on one input: all that the electrical checks read of them."""

    @property
    def name(self) -> str:
        """The array's name in the site file."""

    @property
    def module(self) -> ModuleSheet:
        """Data sheet of its modules."""

    @property
    def count(self) -> int:
        """Modules in all."""

    @property
    def strings(self) -> int:
        """Strings in parallel."""

    @property
    def optimisers(self) -> bool:
        """Whether every module has an optimiser."""


@dataclass(frozen=True, slots=True)
class StringPlan:
    """An array's strings as the site file has them, without its light.

    Parameters
    ----------
    name, module, count, strings, optimisers : as in :class:`Strings`
    """

    name: str
    module: ModuleSheet
    count: int
    strings: int
    optimisers: bool


def string_plans(site: Site) -> tuple[StringPlan, ...]:
    """Give every array's strings.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> string_plans(load_site("bungalow_extension"))[0].count
    6
    """
    return tuple(
        StringPlan(a.name, site.module(a), site.count(a), a.strings, a.optimisers)
        for a in site.array
    )


def longest(array: Strings) -> int:
    """Give the modules of the longest string."""
    return math.ceil(array.count / array.strings)


def shortest(array: Strings) -> int:
    """Give the modules of the shortest string."""
    return math.floor(array.count / array.strings)


def cold_voc_v(module: ModuleSheet) -> float:
    """Give a module's open-circuit voltage at the cold design temperature [V].

    Source
    ------
    Voltage by temperature coefficient as in BS EN 62548.
    """
    cold_k = constant("design.cold_cell_degc") - constant("stc.temp_cell_degc")
    return module.voc_v * (1 + module.beta_voc_per_k * cold_k)


def flat_rule_voc_v(module: ModuleSheet) -> float:
    """Give a module's open-circuit voltage by the rule that needs no temperature [V].

    Examples
    --------
    >>> from pvkit.site.parts import module_sheet
    >>> round(flat_rule_voc_v(module_sheet("half-cut-430")), 3)
    43.815
    """
    return module.voc_v * constant("design.voc_factor")


def hot_vmp_v(module: ModuleSheet) -> float:
    """Give a module's voltage at maximum power in full sun at the hot design temperature [V]."""
    return _vmp_v(module, constant("design.hot_cell_degc"))


def cold_vmp_v(module: ModuleSheet) -> float:
    """Give a module's voltage at maximum power in full sun at the cold design temperature [V]."""
    return _vmp_v(module, constant("design.cold_cell_degc"))


def _vmp_v(module: ModuleSheet, temp_cell: float) -> float:
    sun = np.array([constant("stc.irradiance_w_per_m2")])
    return float(maximum_power(power_table(module), sun, np.array([temp_cell]))[1][0])
