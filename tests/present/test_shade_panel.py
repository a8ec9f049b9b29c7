"""The shade panel without a browser: every control, every picture, and the engine's own figures."""

import pytest

from pvkit import Study, load_site
from pvkit.present.shade_panel import ShadePanel
from pvkit.present.shade_pictures import SHADE_PICTURES, Scene
from pvkit.study.moment import sunniest_moment

SITE = "chimney_and_birch"


@pytest.fixture(scope="module")
def panel():
    return ShadePanel(SITE)


def test_the_panel_states_the_engines_comparison(panel):
    energy = Study(load_site(SITE)).estimate().wiring.energy
    assert f"{energy.string_kwh:,.0f} kWh" in panel.say()
    assert f"{energy.optimiser_kwh:,.0f} kWh" in panel.say()


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("obstacle.chimney.height_m", 0.4),
        ("obstacle.birch.height_m", 5.0),
        ("roof.garden slope.azimuth_deg", 240.0),
        ("array.main.module", "full-cell-300"),
    ],
)
def test_a_moved_control_gives_the_engines_answer(panel, key, value):
    panel.set(key, value)
    expected = Study(load_site(SITE)).change({key: value}).estimate().wiring.energy
    shown = panel.answer.wiring.energy
    panel.rows[key].reset()
    assert shown == expected


def test_a_chimney_pushed_through_a_panel_is_explained_and_not_raised(panel):
    panel.set("obstacle.chimney.x_m", 4.0)
    assert "chimney" in panel._message.value
    assert "role='alert'" in panel._message.value
    panel.rows["obstacle.chimney.x_m"].reset()
    assert panel._message.value == ""


@pytest.mark.parametrize("question", SHADE_PICTURES)
@pytest.mark.parametrize(("month", "hour"), [(6, 13), (12, 9), (1, 4)])
def test_every_picture_can_be_drawn_at_any_moment(question, month, hour):
    answer = Study(load_site(SITE)).estimate()
    moment = sunniest_moment(answer.stages, month, hour)
    figure, words = SHADE_PICTURES[question](Scene(answer, moment, month, hour))
    assert "layout" in figure
    assert words.endswith((".", "?"))


def test_the_strings_curve_ends_at_the_power_of_that_half_hour():
    answer = Study(load_site(SITE)).estimate()
    moment = sunniest_moment(answer.stages, 3, 15)
    inputs, power = answer.stages.arrays.inputs[0], answer.stages.arrays.powers[0]
    at = list(inputs.light.daylight).index(moment.position)
    # The year's power is scaled to the data sheet, the curve is the fit's own: 2 % apart at most.
    assert moment.curve.highest_w == pytest.approx(power.string.watts[at], rel=0.02)
    assert moment.curve.local_w <= moment.curve.highest_w <= moment.curve.module_w.sum() + 1e-6


def test_the_saved_twin_holds_the_comparison(panel):
    html = panel.view._repr_mimebundle_()["text/html"]
    assert "optimiser on each panel" in html
    assert panel.answer.wiring.verdict in html
