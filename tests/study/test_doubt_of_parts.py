"""Ranges of the share used at home and of single months: they close on the estimate and widen."""

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.study.doubt_use import REACH, yearly_spread_fraction
from pvkit.study.visit_doubt import light_spread

NONE = {
    f"doubt.{name}_fraction": 0.0
    for name in ("sun", "model", "shade", "soiling", "degradation", "demand", "habits",
                 "import_price", "export_price", "gas_price")
} | {"doubt.price_drift_per_year": 0.0}  # fmt: skip


@pytest.fixture(scope="module", params=["bungalow_extension", "ev_and_battery"])
def study(request):
    return Study(load_site(request.param))


def test_without_any_doubt_every_range_is_the_estimate(study):
    calm = study.change(NONE).estimate()
    used = calm.used_range
    for value in (used.p90, used.p50, used.p10):
        assert value == pytest.approx(calm.used_at_home_fraction, rel=1e-9)
    for month, made in zip(calm.month_ranges, calm.monthly["solar_kwh"], strict=True):
        for value in (month.p90, month.p50, month.p10):
            assert value == pytest.approx(made, rel=1e-9)


def test_the_share_used_lies_within_its_range_and_the_range_within_0_and_1(study):
    answer = study.estimate()
    used = answer.used_range
    assert 0.0 <= used.p90 < used.p50 < used.p10 <= 1.0
    assert used.p50 == pytest.approx(answer.used_at_home_fraction, rel=1e-9)


def test_each_doubt_of_the_home_widens_the_share_used(study):
    def width(**counted):
        used = study.change(NONE | {f"doubt.{k}_fraction": v for k, v in counted.items()})
        found = used.estimate().used_range
        return found.p10 - found.p90

    alone = [width(demand=0.1), width(habits=0.15), width(model=0.05)]
    assert min(alone) > 0.0
    together = width(demand=0.1, habits=0.15, model=0.05)
    # Nearly straight lines: in quadrature, to a tenth.
    assert together == pytest.approx(np.sqrt(sum(each**2 for each in alone)), rel=0.1)


def test_more_use_alone_moves_the_share_as_a_run_of_that_home_does(study):
    size = 0.1
    found = study.change(NONE | {"doubt.demand_fraction": size}).estimate().used_range
    yearly, end = study.site.home.yearly_kwh, np.exp(REACH * size)
    more = study.change({"home.yearly_kwh": yearly * end}).estimate().used_at_home_fraction
    assert found.p10 == pytest.approx(more, abs=0.004)  # that home's minutes are drawn anew


def test_a_months_range_is_wider_than_the_years(study):
    answer = study.estimate()
    year = yearly_spread_fraction(answer.ranges)
    for month in answer.month_ranges:
        assert (month.p10 - month.p90) / (2 * REACH * month.p50) > year


def test_sunlight_alone_gives_each_month_its_own_lights_spread(study):
    sunny = study.change(NONE | {"doubt.sun_fraction": 0.038}).estimate()
    spread = [(m.p10 - m.p90) / (2 * REACH * m.p50) for m in sunny.month_ranges]
    # The spreads of the table are those of a place whose years differ by 3.8 %; the sampled
    # year differs from that by a hundredth of it.
    assert spread == pytest.approx(light_spread(), rel=0.02)
