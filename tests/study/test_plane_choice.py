"""Half east and half west against all south: later and earlier light for less of it."""

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.study.plane_choice import (
    PAIR,
    SOUTH,
    by_month,
    east_west_or_south,
    east_west_table,
    mean_day_kw,
)

SITE, TILT = "south_family_home", 30.0


@pytest.fixture(scope="module")
def study():
    return Study(load_site(SITE))


@pytest.fixture(scope="module")
def ways(study):
    return east_west_or_south(study, TILT)


def test_east_and_west_makes_less_and_the_home_uses_a_larger_share_of_it(ways):
    pair, south = ways
    assert 0.75 < pair.worth.ac_kwh / south.worth.ac_kwh < 0.95
    assert pair.worth.used_at_home_fraction > south.worth.used_at_home_fraction


def test_east_and_west_spreads_over_more_of_the_day(ways):
    pair, south = (way.mean_day_kw / way.mean_day_kw.sum() for way in ways)
    morning, noon, evening = slice(12, 18), slice(22, 28), slice(34, 40)
    assert pair[morning].sum() > south[morning].sum()
    assert pair[evening].sum() > south[evening].sum()
    assert pair[noon].sum() < south[noon].sum()


def test_months_and_days_hold_all_of_the_year(ways):
    for way in ways:
        assert by_month(way.ac_kwh).sum() == pytest.approx(way.worth.ac_kwh, rel=1e-12)
        assert mean_day_kw(way.ac_kwh).sum() / 2 * 365 == pytest.approx(way.worth.ac_kwh, rel=0.01)
        assert np.all(way.monthly_kwh > 0)


def test_level_panels_face_nowhere_so_both_ways_are_the_same(study):
    open_study = study.change({"losses.off": ["dc_cables"]})
    pair, south = east_west_or_south(open_study, 0.0)
    assert pair.worth.ac_kwh == pytest.approx(south.worth.ac_kwh, rel=1e-9)
    assert pair.worth.saving_gbp == pytest.approx(south.worth.saving_gbp, rel=1e-9)


def test_the_table_holds_both_ways_by_name(study, ways):
    table = east_west_table(study, TILT)
    assert list(table.index) == [PAIR, SOUTH]
    assert table.loc[PAIR, "saving_gbp"] == ways[0].worth.saving_gbp
