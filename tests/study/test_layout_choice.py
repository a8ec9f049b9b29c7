"""The trade between row pitch, tilt and energy on a flat roof."""

import pytest

from pvkit import Study, load_site
from pvkit.roof.fit_search import best_layout
from pvkit.roof.schemes import Choices
from pvkit.study.layout_choice import layout_choices


@pytest.fixture(scope="module")
def study():
    return Study(load_site("bungalow_extension"))


@pytest.fixture(scope="module")
def table(study):
    return layout_choices(study, "top", [5.0, 10.0, 15.0])


def test_every_layout_has_its_figures(table):
    assert len(table) == 12
    assert table.notna().all().all()
    assert (table["dc_kwh"] > 0).all()
    assert (table["kwh_per_kwp"] * table["kwp"]).to_numpy() == pytest.approx(table["dc_kwh"])
    assert (table["kwh_per_m2"] * 49.5).to_numpy() == pytest.approx(table["dc_kwh"])


def test_wider_rows_lose_less_to_shade_and_cover_less_ground(table):
    for _, rows in table[table["arrangement"] == "rows"].groupby("surface_tilt"):
        ordered = rows.sort_values("pitch_m")
        assert ordered["shade_percent"].is_monotonic_decreasing
        assert ordered["kwh_per_kwp"].is_monotonic_increasing
        assert ordered["ground_cover"].is_monotonic_decreasing


def test_more_tilt_makes_more_of_each_module_and_wants_a_wider_pitch(table):
    for _, rows in table[table["arrangement"] == "rows"].groupby(
        table.groupby("surface_tilt").cumcount()
    ):
        ordered = rows.sort_values("surface_tilt")
        assert ordered["kwh_per_kwp"].is_monotonic_increasing
        assert ordered["pitch_m"].is_monotonic_increasing
    pairs = table[table["arrangement"] == "pairs"].sort_values("surface_tilt")
    assert pairs["kwh_per_kwp"].is_monotonic_decreasing


def test_the_modules_of_a_layout_make_what_the_estimate_of_it_says_before_its_losses(study, table):
    """The same rows as a site of their own: d.c. energy after dirt, glass, weak light, warmth."""
    row = table[(table["arrangement"] == "rows") & (table["surface_tilt"] == 10.0)].iloc[0]
    count = int(row["count"])
    layout = best_layout(
        study.site, "top", count, Choices(("rows",), (10.0,), (200.0,), ("landscape",)),
        lambda layout: -abs(layout.pitch_m - row["pitch_m"]),
    )  # fmt: skip
    stack = study.change(layout.as_changes()).estimate().loss_stack.set_index("step")
    assert row["dc_kwh"] == pytest.approx(stack.loc["warm cells", "remaining_kwh"], rel=0.003)


def test_a_slope_has_one_layout():
    study = Study(load_site("south_family_home"))
    table = layout_choices(study, "south slope")
    assert list(table["arrangement"]) == ["slope"]
    assert table["shade_percent"].iloc[0] == pytest.approx(0.0, abs=1e-9)


def test_what_is_kept_clear_moves_the_modules_and_the_estimate_with_them():
    study = Study(load_site("bungalow_extension"))
    wall = {"obstacle": [{"name": "lift", "kind": "box", "roof": "top", "x_m": 0.2, "y_m": 0.3,
                          "width_m": 1.2, "depth_m": 1.2, "height_m": 2.0}]}  # fmt: skip
    before = study.change(wall)
    hatch = [{"name": "hatch", "roof": "top", "kind": "rooflight", "x_m": 6.0, "y_m": 2.0,
              "width_m": 2.5, "depth_m": 1.5}]  # fmt: skip
    after = before.change({"keep_clear": hatch})
    one, other = before.estimate(), after.estimate()
    assert one.kwp == other.kwp
    assert one.ac_kwh != pytest.approx(other.ac_kwh, rel=1e-4)
