"""The panel of many roofs: the list's own totals, the best first, and what is stopped is kept."""

import pandas as pd
import pytest

from pvkit.present.portfolio_board import spent_picture
from pvkit.present.portfolio_panel import PortfolioPanel
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsAtHand
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking, totals
from pvkit.study.site_list import table_sites

BAD = 3


@pytest.fixture(scope="module")
def homes():
    homes = invented_sites(14).astype(object)
    homes.loc[BAD, "roof.tilt_deg"] = 300
    return homes


@pytest.fixture(scope="module")
def panel(homes):
    panel = PortfolioPanel(homes, count=14)
    panel.run()
    return panel


def test_the_table_is_that_of_the_list_itself(homes, panel):
    alone = portfolio(table_sites(homes), PartsAtHand())
    pd.testing.assert_frame_equal(panel.table, alone)


def test_one_bad_row_is_told_and_the_rest_goes_on(panel):
    assert panel.table["fault"].ne("").sum() == 1
    assert "Not estimated: 1" in panel._first.value
    assert "0 to 90 deg" in panel._first.value
    assert totals(panel.table).sites - totals(panel.table).faulty == 13


@pytest.mark.parametrize("budget_gbp", [0.0, 30_000.0, 80_000.0])
def test_the_budget_buys_the_best_first_and_never_more_than_it_holds(panel, budget_gbp):
    panel.spend(budget_gbp)
    bought = ranking(panel.table, budget_gbp)
    assert bought["capital_gbp"].sum() <= budget_gbp
    assert panel.say().startswith(f"{len(bought)} of 14 homes")
    assert f"£{bought['first_year_saving_gbp'].sum():,.0f}" in panel.say()
    left_out = ranking(panel.table).iloc[len(bought) :]
    if len(bought):
        worst = bought["npv_gbp_per_gbp"].min()
        assert (left_out["npv_gbp_per_gbp"] <= worst).all()


def test_the_whole_budget_buys_every_home(panel):
    panel.spend(panel._budget.max)
    assert panel.say().startswith("13 of 14 homes")


def test_what_is_stopped_is_kept_and_gone_on_with(homes):
    panel = PortfolioPanel(homes, count=14)
    watch = panel.bar.watch

    def stop_after_the_first_part(now):
        if now.done:
            panel.bar.stop()
        return watch(now)

    panel.bar.watch = stop_after_the_first_part
    panel.run()
    assert panel.bar.say() == "Stopped: 10 of 14 homes done and kept."
    assert len(panel.table) == 10
    panel.bar.watch = watch
    asked = []
    panel._parts.write = lambda *part: asked.append(part) or PartsAtHand.write(panel._parts, *part)
    panel.start().join(60)
    assert len(panel.table) == 14
    assert len(asked) == 1
    assert not panel._go.disabled


def test_a_list_not_estimated_yet_has_no_budget_to_move(homes):
    panel = PortfolioPanel(homes)
    assert panel._budget.disabled
    assert panel.say() == "14 homes listed, none estimated yet."
    assert "none estimated yet" in panel.view._repr_mimebundle_()["text/html"]


def test_the_saved_twin_and_the_page_hold_the_ranking(panel):
    best = ranking(panel.table)["name"].iloc[0]
    panel.spend(panel._budget.max)
    assert f"1. {best}" in panel.view._repr_mimebundle_()["text/html"]
    assert best in panel.page()


def test_homes_whose_making_is_never_made_good_are_told_of(panel):
    table = panel.table.copy()
    sound = table.index[table["fault"] == ""]
    table["carbon_saved_kgco2e"] = 100.0
    assert "carbon" not in spent_picture(table, 30_000.0)[1]
    table.loc[sound[0], "carbon_saved_kgco2e"] = -1.0
    assert "On one home of the list" in spent_picture(table, 30_000.0)[1]
    table.loc[sound[1], "carbon_saved_kgco2e"] = -1.0
    table.loc[BAD, "carbon_saved_kgco2e"] = -1.0  # could not be estimated: not counted
    assert "On 2 homes of the list" in spent_picture(table, 30_000.0)[1]
