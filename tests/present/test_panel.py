"""The scenario panel without a browser: its figures are the engine's."""

import plotly.graph_objects
import pytest

from pvkit import Study, load_site
from pvkit.present.headlines import headlines
from pvkit.present.panel import ScenarioPanel
from pvkit.present.pictures import PICTURES
from pvkit.present.screen_charts import picture_json


@pytest.fixture(scope="module")
def panel():
    return ScenarioPanel("bungalow_extension")


@pytest.fixture(autouse=True)
def _as_surveyed(request):
    yield
    if "panel" in request.fixturenames:
        for row in request.getfixturevalue("panel").rows.values():
            row.reset()


def test_the_panel_states_the_engines_answer(panel):
    for head in headlines(Study(load_site("bungalow_extension")).estimate()):
        assert head.figure in panel.say()


def test_two_moved_controls_give_the_engines_answer_for_both(panel):
    panel.set("array.main.tilt_deg", 20.0)
    panel.set("tariff.export_gbp_per_kwh", 15.0)
    change = {"array.main.tilt_deg": 20.0, "tariff.export_gbp_per_kwh": 0.15}
    expected = Study(load_site("bungalow_extension")).change(change).estimate()
    assert panel.answer.npv_gbp == pytest.approx(expected.npv_gbp, rel=1e-12)


def test_going_back_gives_the_surveyed_answer(panel):
    before = panel.say()
    panel.set("home.yearly_kwh", 5000.0)
    assert panel.say() != before
    panel.rows["home.yearly_kwh"].reset()
    assert panel.say() == before


def test_the_saved_twin_holds_the_figures_and_a_picture(panel):
    html = panel.view._repr_mimebundle_()["text/html"]
    assert headlines(panel.answer)[0].figure in html
    assert "data:image/svg+xml;base64," in html


def test_an_impossible_scenario_is_explained_and_not_raised(panel):
    panel._site.value = "nowhere.toml"
    assert "nowhere.toml" in panel._message.value
    assert "role='alert'" in panel._message.value
    panel._site.value = "bungalow_extension"
    assert panel._message.value == ""


@pytest.mark.parametrize("question", PICTURES)
def test_each_picture_has_axes_with_units_and_as_many_values_as_labels(question):
    answer = Study(load_site("east_west_pair")).estimate()
    picture = PICTURES[question](answer)
    for series in picture.series:
        assert len(series.values) == len(picture.labels)
    titles = [picture.x_title, picture.y_title]
    assert any(unit in title for unit in ("kWh", "£", "kg") for title in titles)
    figure = picture_json(picture, picture)
    # Plotly's own figure refuses a key or value that it does not know.
    assert len(plotly.graph_objects.Figure(figure).data) == len(figure["data"]) >= 1


def test_the_steps_of_the_loss_picture_end_where_the_meter_stands():
    answer = Study(load_site("bungalow_extension")).estimate()
    values = PICTURES["What is lost on the way?"](answer).series[0].values
    assert sum(values[:-1]) == pytest.approx(values[-1], abs=0.1 * len(values))
