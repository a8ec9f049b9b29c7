import numpy as np
import pytest

from pvkit.ledger.cash import cash_flow
from pvkit.ledger.deal import Deal
from pvkit.ledger.price_paths import price_paths
from pvkit.site.money import CostItem, Costs, Finance, Prices
from pvkit.site.tariff import Tariff
from tests.ledger.years import plain_years

QUOTE = Costs(items=(CostItem(name="all", gbp=4000.0),), visit_gbp_per_year=0.0, replacements=())


def path(tariff=None, years=4, inflation=0.02, **prices):
    finance = Finance(years=years, inflation_per_year=inflation)
    return price_paths(Deal(tariff or Tariff(), QUOTE, finance, 2.5, Prices(**prices)))


def test_real_prices_held_stay_at_todays():
    assert path().imported.tolist() == path().exported.tolist() == path().gas.tolist() == [1.0] * 4


def test_each_price_has_its_own_yearly_change():
    tariff = Tariff(
        import_change_per_year=0.1, export_change_per_year=-0.1, gas_change_per_year=0.0
    )
    np.testing.assert_allclose(path(tariff).imported, [1.0, 1.1, 1.21, 1.331])
    np.testing.assert_allclose(path(tariff).exported, [1.0, 0.9, 0.81, 0.729])
    np.testing.assert_allclose(path(tariff).gas, 1.0)


def test_a_list_by_year_takes_the_place_of_the_change_and_its_last_year_holds():
    tariff = Tariff(export_change_per_year=0.05)
    found = path(tariff, export_index_by_year=(1.0, 0.5))
    assert found.exported.tolist() == [1.0, 0.5, 0.5, 0.5]
    assert found.imported.tolist() == [1.0] * 4


def test_a_list_longer_than_the_span_is_cut():
    assert path(years=2, gas_index_by_year=(1.0, 2.0, 3.0)).gas.tolist() == [1.0, 2.0]


def test_nominal_changes_equal_to_inflation_leave_a_year_ends_price_a_year_behind():
    tariff = Tariff(import_change_per_year=0.02)
    np.testing.assert_allclose(path(tariff, terms="nominal").imported, 1 / 1.02)


def test_a_price_fixed_in_pounds_of_the_day_loses_by_inflation():
    found = path(terms="nominal", inflation=0.03).exported
    np.testing.assert_allclose(found, 1.03 ** -np.arange(1.0, 5.0))


def test_without_inflation_nominal_and_real_are_one():
    tariff = Tariff(import_change_per_year=0.04)
    real, nominal = path(tariff, inflation=0.0), path(tariff, inflation=0.0, terms="nominal")
    np.testing.assert_allclose(real.imported, nominal.imported)


def test_a_dearer_path_saves_more_year_by_year():
    years = plain_years(span=4)
    finance = Finance(years=4)
    flat = cash_flow(years, Deal(Tariff(), QUOTE, finance, 2.5))
    dear = Prices(import_index_by_year=(1.0, 1.5, 1.5, 1.5))
    rising = cash_flow(years, Deal(Tariff(), QUOTE, finance, 2.5, dear))
    assert rising.saving_gbp[1] == pytest.approx(flat.saving_gbp[1])
    assert np.all(rising.saving_gbp[2:] > flat.saving_gbp[2:])
