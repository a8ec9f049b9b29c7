"""The energy page's sliders: from a move to all its numbers, and each picture, in the engine."""

import statistics
import time
from typing import Any

from pvkit import Study, load_site
from pvkit.present.energy_panel import EnergyPanel
from pvkit.present.energy_pictures import ENERGY_PICTURES, SIZES, HomeScene
from pvkit.study.battery_sizes import battery_sizes
from pvkit.study.home_year import HomeYear, home_year

SITE = "ev_and_battery"
MOVES: dict[str, tuple[Any, ...]] = {
    "home.yearly_kwh": tuple(2000.0 + 100 * n for n in range(8)),
    "home.day": ("half", "in"),
    "home.occupants": (1.0, 2.0, 4.0, 5.0),
    "hot_water.cylinder_litres": tuple(120.0 + 10 * n for n in range(8)),
    "hot_water.diverter": (False,),
    "hot_water.control": ("relay",),
    "battery.capacity_kwh": tuple(1.0 + 0.5 * n for n in range(8)),
    "battery.power_kw": (1.0, 3.0, 4.0),
    "battery.coupling": ("dc",),
    "car.yearly_miles": tuple(3000.0 + 500 * n for n in range(8)),
    "car.days_at_home": (0, 1, 2, 4),
    "car.by_sun": (False,),
    "home.order": (("value",), ("cylinder", "battery", "car", "export")),
    "tariff.import_gbp_per_kwh": tuple(0.2 + 0.01 * n for n in range(8)),
    "tariff.export_gbp_per_kwh": (0.05, 0.1, 0.2),
    "supply.export_limit_kw": (1.0, 2.0, 3.0),
}


def _numbers(year: HomeYear) -> tuple[Any, ...]:
    return (
        year.used_at_home_fraction, year.self_sufficiency_fraction, year.import_kwh,
        year.export_kwh, year.gas_saved_kwh, year.first_year_saving_gbp, year.diverter_verdict,
    )  # fmt: skip


def _ms(act: Any) -> float:
    start = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - start)


def energy_page_figures() -> dict[str, float]:
    """Move every control of the page to places it has not been to yet, then draw every picture."""
    study = Study(load_site(SITE))
    _numbers(home_year(study))
    times = [
        _ms(lambda key=key, value=value: _numbers(home_year(study.change({key: value}))))
        for key, values in MOVES.items()
        for value in values
    ]
    panel = EnergyPanel(SITE)
    scene = HomeScene(panel.year, "a usual summer day", lambda: battery_sizes(study))
    drawn = {question: _drawn_ms(draw, scene) for question, draw in ENERGY_PICTURES.items()}
    return {
        "energy_move_ms": statistics.median(times),
        "energy_move_p90_ms": statistics.quantiles(times, n=10)[-1],
        "energy_picture_ms": max(ms for question, ms in drawn.items() if question != SIZES),
        "energy_sizes_ms": drawn[SIZES],
    }


def _drawn_ms(draw: Any, scene: HomeScene) -> float:
    """Draw thrice; what the first one loads is not counted."""
    return statistics.median(_ms(lambda: draw(scene)) for _ in range(3))
