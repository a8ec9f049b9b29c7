"""Stand-ins for what the electrical stage reads, with the same fields as the real stages give."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from pvkit.electrical.inputs import ArrayInputs, Wiring, optimiser_sheet
from pvkit.roof.light import Light
from pvkit.site.kit import Cables, Losses
from pvkit.site.parts import inverter_sheet, module_sheet


@dataclass(frozen=True, slots=True, eq=False)
class Air:
    """The part of a sky that the electrical stage reads."""

    ghi: np.ndarray
    temp_air: np.ndarray
    wind_speed: np.ndarray


@dataclass(frozen=True)
class Bench:
    """Makes inputs: everything has a plain default, each test changes what it is about."""

    air: Air
    light: Light

    def array(self, **changes: Any) -> ArrayInputs:
        plain: dict[str, Any] = {
            "name": "main",
            "light": self.light,
            "module": module_sheet("half-cut-430"),
            "count": 8,
            "strings": 1,
            "mounting": "ballasted",
            "optimisers": False,
            "surface_tilt": 30.0,
            "height_m": 5.0,
            "terrain": "town",
        }
        return ArrayInputs(**plain | changes)

    def wiring(
        self,
        inverter: str = "single-phase-3000",
        cables: dict[str, float] | None = None,
        **losses: Any,
    ) -> Wiring:
        return Wiring(
            inverter=inverter_sheet(inverter),
            cables=Cables(**cables or {}),
            losses=Losses(**losses),
            optimiser=optimiser_sheet(),
        )


def bench(
    seed: int = 1, half_hours: int = 400, temp_air: tuple[float, float] = (-8.0, 30.0)
) -> Bench:
    """Make a short year: half of it dark, the rest of every brightness up to 1,100 W/m2."""
    rng = np.random.default_rng(seed)
    daylight = np.sort(rng.choice(half_hours, half_hours // 2, replace=False))
    ghi = np.zeros(half_hours)
    ghi[daylight] = rng.uniform(1.0, 1000.0, daylight.size)
    share = rng.uniform(0.0, 0.8, daylight.size)
    direct, sky = ghi[daylight] * share * 1.08, ghi[daylight] * (1 - share)
    light = Light(
        daylight=daylight,
        aoi=rng.uniform(0.0, 95.0, daylight.size),
        direct_open=direct,
        sky_open=sky,
        direct=direct * (rng.random(daylight.size) > 0.1),
        sky=sky * 0.93,
        ground=ghi[daylight] * 0.013,
    )
    air = Air(
        ghi=ghi,
        temp_air=rng.uniform(*temp_air, half_hours),
        wind_speed=rng.uniform(0.0, 9.0, half_hours),
    )
    return Bench(air, light)


@pytest.fixture(scope="session")
def make_bench() -> Callable[..., Bench]:
    return bench


@pytest.fixture(scope="session")
def plain() -> Bench:
    return bench()
