"""Our slider times beside pvlib's ModelChain, in one run on this machine.

python -m tests.bench            print a table, beside the last that was recorded
python -m tests.bench --json     print the figures as JSON
python -m tests.bench --quick    fewer repeats, no many roofs and no browser
python -m tests.bench --record   keep the figures as the last recorded
"""

import json
import resource
import statistics
import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pvkit import Estimate, Study, load_site
from pvkit.home.flows import home_flows
from pvkit.site.survey import Site
from pvkit.study.plane_map import plane_map
from tests.bench.energy_page import energy_page_figures
from tests.bench.many_roofs import portfolio_speedup
from tests.bench.model_chain import half_hourly_weather, model_chain
from tests.bench.shaded_site import shaded_site
from tests.bench.slider_latency import latencies, table
from tests.bench.small_times import small_times

SITE, FULL_HOME = "south_family_home", "ev_and_battery"
LAST = Path(__file__).with_name("last_recorded.json")
WORDS = {
    "model_chain_ms": "one ModelChain year, half-hourly [ms]",
    "plane_change_ms": "slider that changes the plane, to cash and carbon [ms]",
    "plane_change_ratio": "  as a share of the ModelChain year (aim 0.25 or less)",
    "price_change_ms": "slider that changes a price [ms] (aim 5 or less)",
    "demand_change_ms": "slider that changes the yearly use [ms]",
    "string_optimiser_cold_s": "12 modules, 3 obstacles, string and optimiser, cold [s] (1.5)",
    "string_optimiser_warm_s": "  the same after an electrical change alone [s] (aim 0.3)",
    "string_optimiser_6_24_48_s": "  warm with 6, 24 and 48 modules [s]",
    "map_s": "map of 703 planes [s] (aim 1.0 or less)",
    "map_speedup_per_plane": "  times faster for each plane than ModelChain (aim 50)",
    "flows_25y_ms": "25 years of half-hours through the home, warm [ms] (aim 30)",
    "energy_move_ms": "energy page, a control to all its numbers [ms] (aim 40 or less)",
    "energy_move_p90_ms": "  nine moves in ten within [ms]",
    "energy_picture_ms": "  its slowest picture but the next [ms] (aim 150 or less)",
    "energy_sizes_ms": "  sixteen sizes of battery, with a busy mark [ms]",
    "site_built_ms": "a site file's model built and checked [ms] (aim 0.5 or less)",
    "electrics_year_ms": "a clear roof's year of cells, cables and inverter [ms] (aim 8 or less)",
    "module_table_built_ms": "a module's table of power built [ms] (aim 60 or less)",
    "module_table_read_ms": "  read for a year's daylight [ms] (aim 1 or less)",
    "ballast_plan_ms": "ballast of ten modules [ms] (aim 5 or less)",
    "ballast_slider_ms": "  its slider, in the kernel [ms] (aim 100 or less)",
    "portfolio_speedup": "many roofs: two workers against one (aim 1.8)",
    "peak_memory_mb": "most memory held by this process [MB]",
    "import_s": "import pvkit, whole process [s] (aim 1.0 or less)",
    "estimate_process_s": "pvkit estimate, whole process [s] (aim 3 or less)",
}


def median_ms(act: Callable[[int], object], repeats: int) -> float:
    """Give the median time of ``act(0) .. act(repeats - 1)`` in milliseconds."""
    times = []
    for turn in range(repeats):
        start = time.perf_counter()
        act(turn)
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1000


def process_s(arguments: list[str], repeats: int) -> float:
    """Give the median time of a whole Python process in seconds."""
    command = [sys.executable, *arguments]
    return (
        median_ms(lambda _: subprocess.run(command, check=True, capture_output=True), repeats)
        / 1000
    )


def slider(study: Study, key: str, start: float, step: float) -> Callable[[int], Estimate]:
    """Give an act that moves one slider to a place it has not been to yet."""
    return lambda turn: study.change({key: start + step * turn}).estimate()


def shade_figures(*, quick: bool) -> dict[str, Any]:
    """Time string against optimiser, with the compiled code at hand but nothing remembered."""
    Study(shaded_site(6)).estimate().wiring  # noqa: B018  (loads what is compiled)
    repeats = 3 if quick else 5
    cold = median_ms(lambda _: Study(shaded_site(12)).estimate().wiring, repeats) / 1000
    sizes = (12,) if quick else (6, 12, 24, 48)
    warm = {size: _warm_s(size, repeats) for size in sizes}
    others = [round(warm[size], 3) for size in sizes if size != 12]
    return {
        "string_optimiser_cold_s": cold,
        "string_optimiser_warm_s": warm[12],
        **({} if quick else {"string_optimiser_6_24_48_s": others}),
    }


def _warm_s(modules: int, repeats: int) -> float:
    """Change the dirt alone: light is remembered, cells and strings are solved again."""
    study = Study(shaded_site(modules))
    study.estimate()
    turn = slider(study, "losses.soiling_fraction", 0.01, 0.001)
    return median_ms(lambda n: turn(n).wiring, repeats) / 1000


def map_figures(study: Study, chain_ms: float, *, quick: bool) -> dict[str, float]:
    """Time the map of every tilt and direction; the first loads what is compiled."""
    planes = plane_map(study).ac_kwh.size
    map_ms = median_ms(lambda _: plane_map(study), 3 if quick else 7)
    return {"map_s": map_ms / 1000, "map_speedup_per_plane": chain_ms * planes / map_ms}


def flows_ms(*, quick: bool) -> float:
    """Time the years of a home with everything in it that a home can have."""
    stages = Study(load_site(FULL_HOME)).estimate().stages
    solar, home, life, steered = stages.solar, stages.home, stages.life, stages.steering
    return median_ms(lambda _: home_flows(solar, home, life, steered), 5 if quick else 15)


def figures(site: Site, *, quick: bool) -> dict[str, Any]:
    """Measure everything; the first, cold estimate is not counted."""
    repeats = 7 if quick else 21
    study = Study(site)
    sky = study.estimate().stages.sky
    weather, chain = half_hourly_weather(sky), model_chain(site)
    chain.run_model(weather)
    chain_ms = median_ms(lambda _: chain.run_model(weather), 3 if quick else 7)
    plane_ms = median_ms(slider(study, "roof.south slope.tilt_deg", 20.01, 0.5), repeats)
    return {
        "model_chain_ms": chain_ms,
        "plane_change_ms": plane_ms,
        "plane_change_ratio": plane_ms / chain_ms,
        "price_change_ms": median_ms(
            slider(study, "tariff.import_gbp_per_kwh", 0.2, 0.001), repeats
        ),
        "demand_change_ms": median_ms(slider(study, "home.yearly_kwh", 3001, 10), repeats),
        **shade_figures(quick=quick),
        **map_figures(study, chain_ms, quick=quick),
        "flows_25y_ms": flows_ms(quick=quick),
        **energy_page_figures(),
        **small_times(),
        "import_s": process_s(["-c", "import pvkit"], 3),
        "estimate_process_s": process_s(["-m", "pvkit.cli", "estimate", SITE], 3),
        **({} if quick else {"portfolio_speedup": portfolio_speedup()}),
        "peak_memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def _text(value: Any) -> str:
    return f"{value:10.3f}" if isinstance(value, float) else f"{value!s:>10}"


def main(arguments: list[str]) -> None:
    """Measure and print."""
    warnings.simplefilter("ignore", RuntimeWarning)  # ModelChain's own, of the night
    quick = "--quick" in arguments
    found = figures(load_site(SITE), quick=quick)
    sliders = {} if quick else latencies()
    if "--json" in arguments:
        moved = {
            name: {"median_ms": one.median_ms, **one._asdict()} for name, one in sliders.items()
        }
        print(json.dumps(found | {"slider_latency": moved}, indent=2))
        return
    before = json.loads(LAST.read_text(encoding="utf-8")) if LAST.is_file() else {}
    print(f"{'':66} {'now':>10} {'recorded':>10}")
    for name, value in found.items():
        print(f"{WORDS[name]:66} {_text(value)} {_text(before.get(name, ''))}")
    if sliders:
        print(table(sliders))
    if "--record" in arguments:
        LAST.write_text(json.dumps(found, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
