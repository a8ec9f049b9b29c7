"""The tilt panel without a browser: its figures are the engine's, its map and lines are drawn."""

import numpy as np
import plotly.graph_objects
import pytest

from pvkit import Study, load_site
from pvkit.present.plane_panel import PlanePanel
from pvkit.present.plane_pictures import Plane, PlaneGrid, months_picture, plane_map_json
from pvkit.present.plane_scenes import DAYS, ENERGY, MONTHS, PLANE_PICTURES, WORTH
from pvkit.study.plane_map import AS_SURVEYED, SKYLINE, plane_map

SITE, SHADED, TWO_ROOFS = "south_family_home", "chimney_and_birch", "east_west_pair"


@pytest.fixture(scope="module")
def panel():
    return PlanePanel(SITE)


def test_a_starts_at_the_roof_and_b_at_the_best(panel):
    panel._to_roof.click()
    panel._to_best.click()
    site = load_site(SITE)
    roof, best = panel.planes
    assert (roof.tilt_deg, roof.azimuth_deg) == (35.0, 178.0)
    assert (best.tilt_deg, best.azimuth_deg) == plane_map(Study(site)).best[:2]
    assert panel.worths[0].ac_kwh == pytest.approx(Study(site).estimate().ac_kwh, rel=1e-3)


@pytest.mark.parametrize(("tilt", "azimuth"), [(20.0, 120.0), (90.0, 180.0), (0.0, 0.0)])
def test_a_moved_plane_makes_and_saves_what_the_whole_engine_says(panel, tilt, azimuth):
    panel.point("A", tilt, azimuth)
    key = "roof.south slope"
    # A slope cannot lie level in a site file; one degree is the least.
    change = {f"{key}.tilt_deg": max(tilt, 1.0), f"{key}.azimuth_deg": azimuth}
    engine = Study(load_site(SITE)).change(change).estimate()
    worth = panel.worths[0]
    assert worth.ac_kwh == pytest.approx(engine.ac_kwh, rel=1e-3 if tilt else 1e-2)
    assert worth.saving_gbp == pytest.approx(
        engine.first_year_saving_gbp, rel=2e-3 if tilt else 1e-2
    )
    assert f"{worth.ac_kwh:,.0f}" in panel._figures.value
    assert f"£{worth.saving_gbp:,.0f}" in panel._figures.value


def test_the_cost_of_being_off_the_best_is_the_difference_of_both(panel):
    panel.point("A", 60.0, 60.0)
    best = panel._scene.best[1]
    off_kwh = best.ac_kwh - panel.worths[0].ac_kwh
    off_gbp = best.saving_gbp - panel.worths[0].saving_gbp
    assert off_kwh > 1000
    assert f"−{off_kwh:,.0f}" in panel._figures.value
    assert f"−{off_gbp:,.0f}" in panel._figures.value


@pytest.mark.parametrize("question", PLANE_PICTURES)
def test_every_picture_can_be_drawn_and_says_what_it_shows(panel, question):
    panel.choose(picture=question)
    figure = panel._chart.outputs[0]["data"]["application/vnd.plotly.v1+json"]
    # Plotly's own figure refuses a key or value that it does not know.
    assert len(plotly.graph_objects.Figure(figure).data) >= 2
    assert panel._words.value.count("<p") == 1
    panel.choose(picture=ENERGY)


def test_shade_takes_energy_and_the_planes_go_back_to_the_roof_and_the_best():
    panel = PlanePanel(SHADED)
    open_kwh = panel.worths[0].ac_kwh
    panel.point("A", 5.0, 5.0)
    panel.choose(shade=AS_SURVEYED)
    assert panel.worths[0].ac_kwh < open_kwh
    assert panel.planes[0].tilt_deg == panel.map.here[0]
    panel.choose(shade=SKYLINE)
    assert panel.worths[0].ac_kwh == open_kwh


def test_of_two_roofs_one_is_turned_and_the_other_stays():
    panel = PlanePanel(TWO_ROOFS)
    assert panel.planes[0].azimuth_deg == 95.0
    panel.choose(array="evening")
    assert panel.planes[0].azimuth_deg == 275.0
    assert panel.worths[0].ac_kwh == pytest.approx(panel.answer.ac_kwh, rel=1e-3)


def test_the_lines_of_the_map_stand_at_95_and_90_percent_of_its_best():
    grid = PlaneGrid((0.0, 90.0), (0.0, 180.0), np.array([[50.0, 100.0], [40.0, 80.0]]), "kWh")
    figure = plane_map_json(grid, [Plane("A", 0.0, 180.0), Plane("B", 0.0, 180.0)])
    shades, full, dashed, mark = figure["data"]
    assert shades["z"] == [[50.0, 100.0], [40.0, 80.0]]
    assert [line["contours"]["start"] for line in (full, dashed)] == [95.0, 90.0]
    assert [line["line"]["dash"] for line in (full, dashed)] == ["solid", "dash"]
    assert full["z"] == [[50.0, 100.0], [40.0, 80.0]]
    assert mark["text"] == ["<b>A, B</b>"]


def test_the_month_that_differs_most_is_named_with_the_plane_that_makes_more():
    planes = [Plane("A", 10.0, 180.0), Plane("B", 60.0, 180.0)]
    first, second = np.full(12, 100.0), np.full(12, 100.0)
    assert "the same" in months_picture(planes, [first, second]).answer
    second[11] = 140.0
    words = months_picture(planes, [first, second]).answer
    assert words == "They differ most in December: B, 60° facing south (180°), makes 40 kWh more."


def test_the_pictures_of_worth_and_days_speak_of_this_homes_pounds(panel):
    panel.point("A", 30.0, 180.0)
    panel.choose(picture=DAYS)
    assert "half east, half west makes" in panel._words.value
    assert f"£{panel.worths[0].saving_gbp:,.0f}" in panel._words.value
    panel.choose(picture=WORTH)
    figure = panel._chart.outputs[0]["data"]["application/vnd.plotly.v1+json"]
    assert figure["data"][0]["colorbar"]["title"]["text"] == "£ saved in the first year"
    panel.choose(picture=MONTHS)
    assert "They differ most" in panel._words.value


def test_the_saved_twin_holds_the_table(panel):
    bundle = panel.view._repr_mimebundle_()
    assert "off best" in bundle["text/html"]
    assert bundle["text/plain"] == panel.say()
