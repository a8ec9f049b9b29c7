import numpy as np
import pytest

from pvkit.home.battery import battery_year
from pvkit.home.car import car_year
from pvkit.home.demand import demand_year
from pvkit.home.flows import year_flows
from pvkit.home.household import Household
from pvkit.home.prices import Prices
from pvkit.home.solar import Solar
from pvkit.home.steering import steering
from pvkit.home.value import diverter_words, diverting_pays_below_gbp, next_kwh
from pvkit.home.water import water_year
from pvkit.home.worth import coming_day
from pvkit.site.car import Car
from pvkit.site.household import Home, HotWater
from pvkit.site.parts import inverter_sheet
from pvkit.site.storage import Battery
from pvkit.tables import default
from tests.home.homes import summer_days

YEAR = 17520
SUN = Solar.even(summer_days(3.0))
DEMAND = demand_year(Home(yearly_kwh=3500.0))
WATER = water_year(HotWater(diverter=True, boiler_efficiency=0.85), occupants=2.4)
SHEET = inverter_sheet("single-phase-3680")
PACK = battery_year(Battery(capacity_kwh=5.0, round_trip_efficiency=0.81), SHEET)


def at(export=0.12, gas=0.0733):
    return Prices(np.full(YEAR, 0.2611), np.full(YEAR, export), gas)


def test_each_path_is_worth_what_it_replaces():
    household = Household(DEMAND, WATER, PACK, car_year(Car()))
    found = next_kwh(SUN, household, at(), steering(household, at()))
    worth = {path.path: path.gbp_per_kwh for path in found.paths}
    assert worth["house"] == pytest.approx(0.2611)
    assert worth["battery"] == pytest.approx(0.2611 * 0.81)
    assert worth["car"] == pytest.approx(0.2611)
    assert worth["cylinder"] == pytest.approx(0.0733 * 0.98 / 0.85)
    assert worth["export"] == pytest.approx(0.12)
    assert [path.gbp_per_kwh for path in found.paths] == sorted(worth.values(), reverse=True)


def test_the_next_kwh_goes_somewhere_and_is_worth_no_more_than_the_best_path():
    household = Household(DEMAND, WATER, PACK, car_year(Car()), export_limit_kwh=0.5)
    found = next_kwh(SUN, household, at(), steering(household, at()))
    shares = sum(path.next_share for path in found.paths) + found.spilled_share
    assert shares == pytest.approx(1.0, abs=1e-9)
    assert found.spilled_share > 0.0
    assert 0.0 < found.gbp_per_kwh < 0.2611


def test_without_stores_the_next_kwh_is_worth_its_paths_by_their_shares():
    household = Household(DEMAND)
    found = next_kwh(SUN, household, at(), steering(household, at()))
    mean = sum(path.gbp_per_kwh * path.next_share for path in found.paths)
    assert found.gbp_per_kwh == pytest.approx(mean, rel=1e-6)


# With today's defaults (gas 7.33 p, boiler 85 %, diverter 98 %) a diverted kWh saves 8.45 p.
def test_todays_default_prices_say_that_the_diverter_does_not_pay():
    names = ("import", "export", "gas")
    bought, sold, gas = (default(f"tariff.{name}_gbp_per_kwh") for name in names)
    today = Prices(np.full(YEAR, bought), np.full(YEAR, sold), gas)
    water = water_year(HotWater(diverter=True), occupants=2.4)
    household = Household(DEMAND, water)
    assert diverting_pays_below_gbp(household, today) == pytest.approx(0.0845, abs=0.00005)
    words = diverter_words(household, today, year_flows(SUN, household))
    assert "pays below an export price of 8.5 p/kWh" in words
    assert "Export pays 12.0 p/kWh, so at these prices exporting earns more" in words
    assert "In this home's year each diverted kWh saved" in words


@pytest.mark.parametrize(("export", "verdict"), [(0.05, "diverting saves more"),
                                                 (0.15, "exporting earns more")])  # fmt: skip
def test_the_verdict_is_what_the_bills_say(export, verdict):
    prices = at(export)
    on, off = (
        year_flows(SUN, Household(DEMAND, water_year(HotWater(diverter=fitted), occupants=2.4)))
        for fitted in (True, False)
    )
    bills = [
        (f.gas_with_kwh * prices.gas_gbp - f.export_kwh * prices.export_gbp).sum()
        for f in (on, off)
    ]
    assert verdict in diverter_words(Household(DEMAND, WATER), prices)
    assert (bills[0] < bills[1]) == (verdict == "diverting saves more")


def test_export_prices_that_cross_the_limit_win_in_some_hours():
    prices = Prices(np.full(YEAR, 0.26), np.where(np.arange(YEAR) % 2, 0.02, 0.2), 0.07)
    words = diverter_words(Household(DEMAND, WATER), prices)
    assert "2.0 to 20.0 p/kWh" in words
    assert "each wins in some hours" in words


def test_without_a_diverter_there_is_nothing_to_say():
    assert diverting_pays_below_gbp(Household(DEMAND), at()) is None
    assert diverter_words(Household(DEMAND), at()) == ""


def test_the_coming_days_price_leaves_out_the_half_hour_itself():
    price = np.zeros(96)
    price[10] = 1.0
    mean = coming_day(price, np.ones(96))
    assert mean[9] == pytest.approx(1 / 48)
    assert mean[10] == 0.0
    assert mean[10 - 48] == pytest.approx(1 / 48)
