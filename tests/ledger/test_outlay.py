import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvkit.ledger.cash import cash_flow
from pvkit.ledger.deal import Deal
from pvkit.ledger.outlay import outlay, price_lines, replacements, residual_gbp, running_costs
from pvkit.site.money import CostItem, Costs, Finance, Replacement
from pvkit.site.tariff import Tariff
from tests.ledger.years import plain_years

ITEMS = (CostItem(name="modules", gbp=1000.0), CostItem(name="work", gbp=3000.0))
MONEY = st.floats(0.0, 5000.0).map(lambda gbp: round(gbp, 2))


@given(MONEY, st.floats(0.0, 0.25), MONEY)
def test_the_lines_of_the_price_add_up_to_it(discount, vat, grant):
    costs = Costs(items=ITEMS, discount_gbp=discount, vat_fraction=vat, grant_gbp=grant)
    lines = price_lines(costs, 2.5)
    assert sum(line.gbp for line in lines) == pytest.approx(outlay(costs, 2.5))
    assert any(line.name.startswith("value-added tax") for line in lines)


def test_tax_is_on_the_price_after_the_discount_and_the_grant_comes_last():
    costs = Costs(items=ITEMS, discount_gbp=400.0, vat_fraction=0.05, grant_gbp=500.0)
    lines = {line.name: line.gbp for line in price_lines(costs, 2.5)}
    assert lines["value-added tax at 5 %"] == pytest.approx(180.0)
    assert lines["grant"] == -500.0
    assert outlay(costs, 2.5) == pytest.approx(4000 - 400 + 180 - 500)


def test_a_grant_beyond_a_stand_in_price_pays_the_price_and_no_more():
    costs = Costs(grant_gbp=90000.0)
    assert outlay(costs, 2.5) == 0.0


def test_a_stand_in_price_is_not_taxed_again():
    assert outlay(Costs(vat_fraction=0.2), 2.5) == outlay(Costs(), 2.5)


def test_cleaning_comes_every_so_many_years_insurance_every_year():
    costs = Costs(
        visit_gbp_per_year=0.0, insurance_gbp_per_year=30.0, cleaning_gbp=100.0,
        cleaning_every_years=3, replacements=(),
    )  # fmt: skip
    table = running_costs(costs, Finance(years=7))
    assert table.cleaning_gbp.tolist() == [0, 0, 100, 0, 0, 100, 0]
    assert table.total_gbp.tolist() == [30, 30, 130, 30, 30, 130, 30]


def test_over_forty_years_the_inverter_wears_out_three_times():
    assert [part.year for part in replacements(Costs(), 40)] == [13, 26, 39]
    assert [part.year for part in replacements(Costs(), 26)] == [13]
    assert [part.year for part in replacements(Costs(), 12)] == []


def test_inverter_and_optimisers_are_bought_again_in_the_years_given():
    listed = (
        Replacement(name="inverter", year=12, gbp=600.0),
        Replacement(name="optimisers", year=15, gbp=300.0),
    )
    table = running_costs(Costs(replacements=listed, visit_gbp_per_year=0.0), Finance(years=25))
    assert table.replacements_gbp[11] == 600.0
    assert table.replacements_gbp[14] == 300.0
    assert table.replacements_gbp.sum() == 900.0


def deal(**finance):
    return Deal(Tariff(), Costs(items=ITEMS, replacements=()), Finance(**finance), 2.5)


@pytest.mark.parametrize(
    ("finance", "worth"),
    [
        ({"residual": "none"}, 0.0),
        ({"residual": "share", "residual_fraction": 0.1}, 400.0),
        ({"residual": "straight-line", "life_years": 30}, 4000 * 5 / 30),
        ({"residual": "straight-line", "life_years": 20}, 0.0),
    ],
)
def test_what_is_left_is_nothing_a_share_or_the_life_not_used(finance, worth):
    terms = deal(**finance)
    assert residual_gbp(terms) == pytest.approx(worth)
    cash = cash_flow(plain_years(), terms)
    assert cash.residual_gbp[-1] == pytest.approx(worth)
    assert cash.residual_gbp[:-1].sum() == 0.0
    plain = cash_flow(plain_years(), deal())
    weight = 1.035**-25
    assert cash.npv_gbp - plain.npv_gbp == pytest.approx(worth * weight)
    assert plain.lcoe_gbp_per_kwh >= cash.lcoe_gbp_per_kwh
