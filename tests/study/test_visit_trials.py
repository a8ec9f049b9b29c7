"""Is the verdict right? Invented years with nothing, a tenth and three tenths missing.

The draws (light, climate, biases, ageing, meter) are made in pvkit.study.drawn_visits from the
spreads of the tables; the judge sees the meter's totals and, in one half of the cases, a figure of
each month's light that is 3 % off in the whole and 3 % off month by month.
"""

import numpy as np
import pytest

from pvkit import load_site
from pvkit.study.drawn_visits import drawn_light, drawn_year, standing
from pvkit.study.store import Store
from pvkit.study.visit import judge
from pvkit.study.visit_earlier import Earlier
from pvkit.study.visit_site import SiteYear, site_year
from pvkit.study.visit_trials import visit_trials
from pvkit.tables import numbers

TRIALS = 200
RIGHT = 0.95
# What the sheet, README and CHANGELOG say of a lack of a tenth; 200 draws are good to +-7 points.
NOTICED = {"light given": 0.40, "light not known": 0.25}
DRAWS = 0.10
SITES = ("south_family_home", "bungalow_extension")
LIGHT = {"light given": True, "light not known": False}


@pytest.fixture(scope="module", params=SITES)
def case(request):
    site = load_site(request.param)
    return site, site_year(site, Store())


def _verdicts(case, fault: float, *, light: bool, monthly: bool = True) -> list[str]:
    site, year = case
    rng = np.random.default_rng(2026)
    drawn = (drawn_year(year, fault, rng) for _ in range(TRIALS))
    return [judge(site, year, d.readings(light=light, monthly=monthly)).level for d in drawn]


def test_drawn_years_spread_as_published(case):
    # Source: Met Office MIDAS Open, hourly global irradiation, Bedford 2000-2022 (Open Government
    # Licence v3), computed: yearly sums have a standard deviation of 3.8 % of their mean.
    published = numbers("doubts.toml")["sun.near_bedford"].value["spread"]
    _, year = case
    weight = _months(year)
    rng = np.random.default_rng(1)
    years = [float(drawn_light(rng) @ weight) for _ in range(4000)]
    assert np.std(years) == pytest.approx(published, abs=0.002)


def _months(year: SiteYear) -> np.ndarray:
    edges = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    light = np.add.reduceat(year.day_ghi, edges[:-1])
    return light / light.sum()


@pytest.mark.parametrize("light", LIGHT)
@pytest.mark.parametrize(("fault", "right"), [(0.0, "as expected"), (0.3, "low")])
def test_nothing_missing_and_three_tenths_missing_are_told(case, fault, right, light):
    verdicts = _verdicts(case, fault, light=LIGHT[light])
    share = verdicts.count(right) / TRIALS
    print(f"{case[0].site.name}, {light}, {fault:.0%} missing: right in {share:.1%}")
    assert share >= RIGHT


@pytest.mark.parametrize("light", LIGHT)
def test_a_tenth_missing_is_noticed_as_often_as_the_sheet_says(case, light):
    verdicts = _verdicts(case, 0.1, light=LIGHT[light])
    noticed = sum(verdict in ("a little low", "low") for verdict in verdicts) / TRIALS
    print(f"{case[0].site.name}, {light}, a tenth missing: noticed in {noticed:.1%}")
    assert noticed == pytest.approx(NOTICED[light], abs=DRAWS)


def test_the_table_of_trials_counts_the_same_verdicts(case):
    table = visit_trials(case[0], missing=(0.1,), trials=TRIALS)
    assert table.sum(axis=1).to_list() == pytest.approx([100.0, 100.0])
    for words, light in (("given", True), ("not known", False)):
        verdicts = _verdicts(case, 0.1, light=light)
        shares = {level: 100.0 * verdicts.count(level) / TRIALS for level in table.columns}
        assert table.loc[("10 %", words)].to_dict() == pytest.approx(shares)


def test_two_readings_a_year_tell_as_much_as_twelve():
    site = load_site(SITES[0])
    year = site_year(site, Store())
    verdicts = _verdicts((site, year), 0.0, light=False, monthly=False)
    assert verdicts.count("as expected") >= RIGHT * TRIALS


@pytest.mark.parametrize(("fault", "least", "most"), [(0.0, 0.0, 0.06), (0.1, 0.9, 1.0)])
def test_beside_a_sound_earlier_visit_a_tenth_missing_is_noticed(fault, least, most):
    site = load_site(SITES[0])
    year = site_year(site, Store())
    rng = np.random.default_rng(7)
    noticed = judged = 0
    for _ in range(TRIALS):
        own = standing(rng)
        before = drawn_year(year, 0.0, rng, own, (2030, 4, 1)).readings(light=True)
        first = judge(site, year, before)
        if first.level != "as expected":
            continue
        record = Earlier("2031-04-01", first.ratio, first.level, first.light_source,
                         first.doubt.light_of_its_own)  # fmt: skip
        after = drawn_year(year, fault, rng, own, (2031, 4, 2)).readings(light=True)
        noticed += judge(site, year, after, [record]).level in ("a little low", "low")
        judged += 1
    share = noticed / judged
    print(f"beside an earlier visit, {fault:.0%} missing: noticed in {share:.1%} of {judged}")
    assert least <= share <= most
