import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.home.demand import demand_year
from pvkit.home.flows import life_flows
from pvkit.home.household import Household
from pvkit.home.water import water_year
from pvkit.ledger.carbon import carbon_notes, carbon_paths, carbon_table
from pvkit.ledger.cash import ageing
from pvkit.ledger.deal import Deal
from pvkit.ledger.embodied import embodied_parts
from pvkit.ledger.grid_paths import factors_by_year
from pvkit.ledger.notes import flat_grid_note
from pvkit.site.household import Home, HotWater
from pvkit.site.money import Carbon, Costs, Finance
from pvkit.site.tariff import Tariff
from tests.ledger.years import plain_years

WATER = water_year(HotWater(diverter=True), occupants=2.4)
SOLAR = np.where((np.arange(17520) % 48 > 17) & (np.arange(17520) % 48 < 32), 0.4, 0.0)


def home_carbon(carbon=None, water=WATER, kwp=2.6, span=25):
    finance = Finance(years=span)
    years = life_flows(SOLAR * kwp / 2.6, Household(demand_year(Home()), water), ageing(finance))
    return carbon_table(years, carbon or Carbon(), finance, kwp)


def test_the_columns_add_up():
    table = home_carbon()
    parts = table.import_avoided_kg + table.export_avoided_kg + table.gas_avoided_kg
    np.testing.assert_allclose(table.total_kg, parts)
    np.testing.assert_allclose(table.cumulative_kg, np.cumsum(table.total_kg) - table.embodied_kg)
    assert table.saved_kg == pytest.approx(table.total_kg.sum() - table.embodied_kg)
    assert table.first_year_kg == table.total_kg[0]
    assert table.calendar_years.tolist() == list(range(2027, 2052))


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.13))
def test_the_grid_only_ever_gets_cleaner_and_stops_at_its_floor(fall, floor):
    carbon = Carbon(grid_fall_per_year=fall, grid_floor_kgco2e_per_kwh=floor)
    factors = factors_by_year(np.arange(2026, 2087), carbon)
    assert np.all(np.diff(factors.grid_generated) <= 0)
    assert factors.grid_generated.min() >= floor
    lines = (factors.bought - factors.sold)[:, 0]
    share = lines / np.where(factors.grid_generated > 0, factors.grid_generated, 1)
    np.testing.assert_allclose(share[factors.grid_generated > 0], share[0])


def test_a_year_before_the_first_edition_takes_the_first_editions_factors():
    early, first = (factors_by_year(np.array([year]), Carbon()) for year in (2020, 2022))
    assert early.grid_generated[0] == first.grid_generated[0]
    assert early.gas[0] == first.gas[0]


def test_a_cleaner_grid_saves_less_carbon():
    slow, quick = (home_carbon(Carbon(grid_fall_per_year=f)) for f in (0.02, 0.2))
    assert slow.saved_kg > quick.saved_kg


def test_payback_is_where_the_running_total_crosses_zero():
    table = home_carbon()
    before = int(table.carbon_payback_years)
    assert table.cumulative_kg[before - 1] < 0 <= table.cumulative_kg[before]


def test_making_it_may_never_be_made_good():
    dirty = home_carbon(Carbon(embodied_kgco2e_per_kwp=5000.0))
    assert dirty.carbon_payback_years is None
    assert dirty.saved_kg < 0
    assert home_carbon(Carbon(embodied_kgco2e_per_kwp=0.0)).carbon_payback_years == 0.0


def test_without_a_cylinder_no_gas_is_avoided():
    assert not home_carbon(water=None).gas_avoided_kg.any()


@pytest.mark.parametrize(("kwp", "span"), [(0.0, 25), (2.6, 1), (2.6, 40)])
def test_odd_homes_give_finite_numbers(kwp, span):
    table = home_carbon(kwp=kwp, span=span)
    assert len(table.total_kg) == span
    assert np.all(np.isfinite(table.cumulative_kg))


def test_the_notes_say_which_path_the_grid_takes():
    first, second = carbon_notes(Carbon(grid_fall_per_year=0.08))
    assert "8 % a year" in first
    assert "2026" in first
    assert "July" in second


def test_every_path_is_shown_the_chosen_one_first(tmp_path):
    series = tmp_path / "series.csv"
    series.write_text("year,kgco2e_per_kwh\n2026,0.1\n2027,0.1\n", encoding="utf-8")
    finance, years = Finance(), plain_years()
    plain = carbon_paths(years, Carbon(), finance, 2.5)
    assert [table.path for table in plain] == ["falling", "monthly", "flat"]
    brought = Carbon(grid_path="file", grid_file=str(series))
    shown = [table.path for table in carbon_paths(years, brought, finance, 2.5)]
    assert shown == ["file", "falling", "monthly", "flat"]


def test_todays_grid_held_for_ever_overstates_what_is_avoided():
    tables = {table.path: table for table in carbon_paths(plain_years(), Carbon(), Finance(), 2.5)}
    electricity = {
        path: float((table.import_avoided_kg + table.export_avoided_kg).sum())
        for path, table in tables.items()
    }
    assert electricity["flat"] > 2 * electricity["falling"]
    assert tables["flat"].first_year_kg > tables["falling"].first_year_kg
    (note,) = flat_grid_note(
        plain_years(), tables["falling"], Carbon(), Deal(Tariff(), Costs(), Finance(), 2.5)
    )
    assert f"{tables['flat'].total_kg.sum():,.0f} kg in place of" in note


def test_what_is_not_bought_carries_the_lines_loss_and_what_is_sold_does_not():
    for path in ("falling", "flat"):
        table = carbon_table(plain_years(), Carbon(), Finance(), 2.5, path)
        assert np.all(table.factors.bought > table.factors.sold)


def test_the_parts_of_the_making_add_up_and_a_battery_is_one_of_them():
    parts = embodied_parts(Carbon(), 2.5, battery_kwh=5.0)
    assert [part.name for part in parts] == ["modules", "inverter", "mounting", "battery"]
    assert sum(part.kg for part in parts) == pytest.approx(1112.0 * 2.5 + 100.0 * 5.0)
    assert [part.name for part in embodied_parts(Carbon(), 2.5)][-1] == "mounting"


@pytest.mark.parametrize("path", ["monthly", "file"])
def test_the_notes_follow_the_path_chosen(path):
    (note,) = carbon_notes(Carbon(grid_path=path, grid_file="x.csv"))
    assert note.startswith("Grid factors are")


def test_the_monthly_factors_weigh_each_half_hour_by_its_local_month():
    """2,500 - 1,500 kWh not bought in one January half-hour, 1,500 kWh sold in one of June."""
    table = carbon_table(plain_years(span=2), Carbon(), Finance(years=2), 2.5, "monthly")
    assert table.import_avoided_kg == pytest.approx(1000 * 0.163)
    assert table.export_avoided_kg == pytest.approx(1500 * 0.106)
