"""The map of tilt and direction: the whole engine's figures, and the trade's own table."""

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.study.plane_map import AS_SURVEYED, pair_year_kwh, plane_map, plane_year_kwh

# Orientation table for the UK, per cent of the best fixed plane: south at 30-40° 100, flat 85-90,
# east or west at 30° 78-86, north at 30° 58-70, vertical south 69-75. Common practice: such tables
# stand in UK trade guides, none was at hand as a primary source.
ORIENTATIONS = {
    "south at 35°": (35.0, 180.0, 99.0, 100.0),
    "flat": (0.0, 180.0, 85.0, 90.0),
    "east at 30°": (30.0, 90.0, 78.0, 86.0),
    "west at 30°": (30.0, 270.0, 78.0, 86.0),
    "north at 30°": (30.0, 0.0, 58.0, 70.0),
    "vertical south": (90.0, 180.0, 69.0, 75.0),
}


@pytest.fixture(scope="module")
def study():
    """Give a study of a south roof with a skyline and nothing near by."""
    site = {"horizon": {"bearing_deg": [90.0, 180.0, 270.0], "elevation_deg": [12.0, 3.0, 8.0]}}
    return Study(load_site("south_family_home")).change(site)


def test_twenty_planes_of_the_map_are_those_of_the_whole_engine(study):
    found = plane_map(study)
    planes = [(row, column) for row in range(1, 16, 3) for column in (2, 9, 18, 30)]
    for row, column in planes:
        changes = {
            "roof.south slope.tilt_deg": found.tilts_deg[row],
            "roof.south slope.azimuth_deg": found.azimuths_deg[column],
        }
        engine_kwh = study.change(changes).estimate().ac_kwh
        assert found.ac_kwh[row, column] == pytest.approx(engine_kwh, rel=1e-3)
    assert len(planes) == 20


@pytest.mark.parametrize(
    "off", [(), ("reflected", "dirt"), ("weak_light",), ("warm_cells", "inverter_limit")]
)
def test_a_step_switched_off_is_off_in_the_map_too(study, off):
    changed = study.change({"losses.off": list(off)})
    assert plane_map(changed).here_kwh == pytest.approx(changed.estimate().ac_kwh, rel=2e-4)


def test_the_half_hours_of_a_plane_add_up_to_its_place_on_the_map(study):
    found = plane_map(study)
    year = plane_year_kwh(study, (found.tilts_deg[4], found.azimuths_deg[7]))
    assert year.sum() == pytest.approx(found.ac_kwh[4, 7], rel=1e-12)
    assert year.min() >= 0


def test_the_other_arrays_of_a_site_stay_as_they_are():
    study = Study(load_site("east_west_pair"))
    assert plane_map(study).here_kwh == pytest.approx(study.estimate().ac_kwh, rel=1e-3)


def test_with_the_obstacles_as_surveyed_the_array_makes_what_each_panel_alone_would():
    study = Study(load_site("chimney_and_birch")).change({"array.main.optimisers": True})
    shaded = plane_map(study, shade=AS_SURVEYED)
    assert shaded.here_kwh == pytest.approx(study.estimate().ac_kwh, rel=0.03)
    assert np.all(shaded.ac_kwh <= plane_map(study).ac_kwh + 1e-9)


PLACES = {"Thames": (51.5, -0.6), "Midlands": (52.9, -1.2), "East Scotland": (56.0, -3.2)}
BESIDE_THE_LIGHT = [
    "reflected", "dirt", "weak_light", "warm_cells", "inverter_conversion", "inverter_limit",
]  # fmt: skip


@pytest.mark.parametrize("region", PLACES)
def test_the_lights_share_of_the_best_plane_is_that_of_the_trades_table(region):
    """Of the light: dirt and reflection take some 2 % more of a flat plane than of a steep one."""
    latitude, longitude = PLACES[region]
    open_site = {
        "site.region": region,
        "site.latitude": latitude,
        "site.longitude": longitude,
        "losses.off": BESIDE_THE_LIGHT,
        "horizon": None,
    }
    found = plane_map(Study(load_site("south_family_home")).change(open_site))
    for name, (tilt, azimuth, low, high) in ORIENTATIONS.items():
        row, column = found.tilts_deg.index(tilt), found.azimuths_deg.index(azimuth)
        assert low <= found.percent_of_best[row, column] <= high, name


def test_an_unknown_array_or_shade_is_refused_by_name(study):
    with pytest.raises(InputError, match="name an array of the site"):
        plane_map(study, "nowhere")
    with pytest.raises(InputError, match="skyline alone or with the obstacles"):
        plane_map(study, shade="half")


def test_two_halves_in_one_plane_make_what_the_whole_array_makes(study):
    """But for the d.c. cable: a half's string has half the voltage in the same loop of copper."""
    open_study = study.change({"losses.off": ["dc_cables"]})
    plane = (35.0, 180.0)
    pair = pair_year_kwh(open_study, (plane, plane))
    assert pair == pytest.approx(plane_year_kwh(open_study, plane), rel=1e-9, abs=1e-12)


def test_a_pair_of_planes_makes_what_the_whole_engine_gives_for_two_arrays():
    study = Study(load_site("east_west_pair"))
    east, west = (32.0, 95.0), (32.0, 275.0)
    one_roof = study.change(
        {
            "array": [{"name": "all", "roof": "east slope", "module": "half-cut-415", "count": 13}],
            "roof.east slope.width_m": 20.0,
        }
    )
    engine = study.estimate().stages.output.ac_kwh
    assert pair_year_kwh(one_roof, (east, west)).sum() == pytest.approx(engine.sum(), rel=2e-3)
    assert pair_year_kwh(one_roof, (west, east)).sum() != pytest.approx(engine.sum(), rel=2e-3)


def test_one_panel_alone_is_no_pair(study):
    small = {
        "ac_w": 400.0, "efficiency_10": 0.9, "efficiency_50": 0.95, "efficiency_100": 0.95,
        "dc_max_v": 60.0, "mppt_min_v": 16.0, "mppt_max_v": 55.0, "trackers": 1,
        "input_max_a": 20.0, "input_isc_max_a": 25.0,
    }  # fmt: skip
    one = study.change({"array.main.rows": 1, "array.main.columns": 1,
                        "inverter": {"datasheet": small}})  # fmt: skip
    with pytest.raises(InputError, match="two or more"):
        pair_year_kwh(one, ((30.0, 90.0), (30.0, 270.0)))
