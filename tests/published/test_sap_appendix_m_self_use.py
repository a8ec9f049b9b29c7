"""The share of solar energy used at home, beside SAP 10.2 Appendix M, with and without a battery.

Run with ``-s`` to see both numbers over a grid of sizes.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from pvkit import estimate, load_site
from pvkit.home.battery import battery_year
from pvkit.home.calendar import local_calendar
from pvkit.home.demand import Demand, demand_notes, demand_year
from pvkit.home.flows import year_flows
from pvkit.home.household import Household
from pvkit.home.solar import Solar, minute_light
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater
from pvkit.site.parts import inverter_sheet
from pvkit.site.storage import Battery
from pvkit.tables import MONTHS, rows

# Source: SAP 10.2 Appendix M, share of photovoltaic energy used in the home, month by month, with
# B kWh of usable battery, at most 15 (no battery: reproduces published calculation output to
# 1e-16; with a battery two copies of the coefficients agree).
C1, C2, C3 = (1.610, -0.0973), (0.415, -0.00776), (0.511, 0.0866)
MOST_BATTERY_KWH = 15.0
SOURCE = "SAP 10.2, Appendix M; "
# Source: SAP 10.2 Appendix G4 (secondary copy): what the cylinder can accept of the surplus, and
# the extra loss of a hotter store.
G4_ACCEPTED, G4_STORED = 0.8, 0.9
# Source: published SAP 10.2 calculation output, plane facing south at 30 deg, UK average.
SOUTH_30_KWH_PER_M2 = 1079.52
RATIOS = (0.3, 0.55, 0.75, 1.0, 1.5, 2.0, 3.0)
BATTERIES_KWH = (2.5, 5.0, 10.0, 15.0)
YEARLY_KWH = 3000.0


def sap_beta(ratio, battery_kwh=0.0):
    size = min(battery_kwh, MOST_BATTERY_KWH)
    c1, c2, c3 = (first + slope * size for first, slope in (C1, C2, C3))
    return np.minimum(np.exp(-c1 * (ratio * c2) ** c3), 1.0 / ratio)


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
    kwh = power * (wanted / np.bincount(month, weights=power))[month]
    share, bright = minute_light(np.clip(CLEAR * weather, 0.0, CLEAR))
    return Solar(kwh, share, bright, np.zeros(len(kwh)))


CLEAR = 0.75  # clearness of a cloudless sky


def monthly(values):
    return np.bincount(local_calendar().month, weights=values)


@cache
def kits_own_year():
    """A south-facing sample roof in the kit's own weather, summing to 1."""
    solar = estimate(load_site("south_family_home")).stages.solar
    return times(solar, 1.0 / solar.kwh.sum())


def times(solar, factor):
    return replace(solar, kwh=solar.kwh * factor)


@cache
def home(day):
    return demand_year(Home(yearly_kwh=YEARLY_KWH, day=day))


def sap_self_use(solar, demand, battery_kwh=0.0):
    by_month = monthly(solar.kwh)
    beta = sap_beta(by_month / monthly(demand.kwh), battery_kwh)
    return (beta * by_month).sum() / by_month.sum()


def our_self_use(solar, demand):
    return year_flows(solar, Household(demand)).direct_kwh.sum() / solar.kwh.sum()


YEARS = {
    "SAP's monthly light, broken weather": lambda: solar_year(1.0),
    "a south roof in the kit's own weather": kits_own_year,
}


# Source: SAP 10.2 Appendix M, table of beta, printed to three decimals.
PRINTED = {
    0.0: (0.603, 0.486, 0.358, 0.283, 0.231, 0.165),
    2.5: (0.776, 0.657, 0.499, 0.393, 0.316, 0.213),
    5.0: (0.886, 0.793, 0.640, 0.520, 0.424, 0.284),
    10.0: (0.979, 0.947, 0.867, 0.667, 0.500, 0.333),
    15.0: (0.999, 0.995, 0.983, 0.667, 0.500, 0.333),
}


@pytest.mark.parametrize("battery_kwh", PRINTED)
def test_the_formula_here_gives_the_published_shares(battery_kwh):
    ratios = np.array([0.25, 0.5, 1.0, 1.5, 2.0, 3.0])
    np.testing.assert_allclose(
        sap_beta(ratios, battery_kwh), PRINTED[battery_kwh], rtol=0, atol=0.0006
    )


def test_the_solar_year_here_has_the_published_energy_on_the_plane():
    assert south_30_kwh_per_m2().sum() == pytest.approx(SOUTH_30_KWH_PER_M2, abs=0.005)
    assert monthly(solar_year(1000.0).kwh).sum() == pytest.approx(1000.0)


# What is asked for: the home occupied for half the day within this of SAP, over the year, from
# panels that make three tenths of what the home uses to three times as much. The largest gap is
# +0.077, at three tenths: there the home's always-on load takes nearly all there is.
AGREEMENT = 0.08


@pytest.mark.parametrize("light", YEARS)
def test_self_use_agrees_with_sap_and_orders_homes_and_sizes_as_it_does(light, published):
    sun = times(YEARS[light](), YEARLY_KWH)
    kinds = ("out", "half", "in")
    ours = {
        day: np.array([our_self_use(times(sun, r), home(day)) for r in RATIOS]) for day in kinds
    }
    sap = np.array([sap_self_use(times(sun, r), home("half")) for r in RATIOS])
    print(f"\n{light}\nsolar / demand   SAP 10.2   out    half   in     half - SAP")
    for i, ratio in enumerate(RATIOS):
        row = "  ".join(f"{ours[day][i]:.3f}" for day in kinds)
        print(f"{ratio:14.2f}   {sap[i]:.3f}      {row}  {ours['half'][i] - sap[i]:+.3f}")
    for shares in (*ours.values(), sap):
        assert np.all(np.diff(shares) < 0)
    assert np.all(ours["out"] < ours["half"])
    assert np.all(ours["half"] < ours["in"])
    published("share of solar energy used at home, sizes 0.3 to 3", SOURCE + "no battery",
              ours["half"], sap, "", "published", AGREEMENT)  # fmt: skip


@pytest.mark.parametrize("light", YEARS)
def test_the_notes_on_demand_say_how_far_from_sap_it_is(light):
    sun = times(YEARS[light](), YEARLY_KWH)
    apart = {
        ratio: our_self_use(times(sun, ratio), home("half"))
        - sap_self_use(times(sun, ratio), home("half"))
        for ratio in RATIOS
    }
    note = demand_notes(Home())[1]
    assert "within 5 points where the panels make half" in note
    assert max(abs(gap) for ratio, gap in apart.items() if ratio >= 0.5) < 0.05
    assert "about 8 points higher where they make three tenths" in note
    assert apart[0.3] == pytest.approx(0.08, abs=0.01)


# Why the gap at small sizes: without the load that is always on, and with it doubled. And why
# minutes: the same homes as even half-hours under even light, as a half-hourly meter knows them.
def test_minutes_of_use_and_of_light_and_the_load_always_on_explain_the_gap():
    sun, demand = times(kits_own_year(), 0.3 * YEARLY_KWH), home("half")
    always = demand.minutes_kwh.min() * 30
    sap, ours = sap_self_use(sun, demand), our_self_use(sun, demand)
    even_light = our_self_use(Solar.even(sun.kwh), demand)
    half_hours = our_self_use(Solar.even(sun.kwh), Demand.even(demand.kwh))
    runs = Demand.of_minutes(np.maximum(demand.minutes_kwh - always / 30, 0.0))
    without = our_self_use(sun, runs)
    print(f"\nsolar / demand 0.3: SAP {sap:.3f}, here {ours:.3f}; light even within half-hours")
    print(f"{even_light:.3f}; use even too {half_hours:.3f}; nothing always on {without:.3f};")
    print(f"always on {always * 2000:.0f} W, {always * 17520 / YEARLY_KWH:.0%} of all use")
    assert without < sap < ours < even_light < half_hours


def test_half_hours_alone_would_say_several_points_too_many():
    sun, demand = times(solar_year(1.0), 0.55 * YEARLY_KWH), home("half")
    minutes, half_hours = (our_self_use(sun, d) for d in (demand, Demand.even(demand.kwh)))
    print(f"\nby the minute {minutes:.3f}, by the half-hour {half_hours:.3f}")
    assert 0.02 < half_hours - minutes < 0.1


SHEET = inverter_sheet("single-phase-3680")


def with_battery(sun, demand, usable_kwh):
    """Self-use with a battery of so much usable: what it takes, and what it gives."""
    site = Battery(
        capacity_kwh=usable_kwh / 0.9, reserve_fraction=0.1, power_kw=usable_kwh / 2, standby_w=0.0
    )
    flows = year_flows(sun, Household(demand, battery=battery_year(site, SHEET)))
    made, direct = sun.kwh.sum(), flows.direct_kwh.sum()
    taken, given = flows.battery_in_kwh.sum(), flows.battery_out_kwh.sum()
    return (direct + taken) / made, (direct + given) / made


def daily_bucket(sun, demand, usable_kwh):
    """Self-use if each day's surplus, up to the battery's size, were kept for the night."""
    plain, day = year_flows(sun, Household(demand)), np.arange(17520) // 48
    surplus = np.bincount(day, weights=plain.export_kwh)
    kept = np.minimum(surplus, usable_kwh).sum()
    return (plain.direct_kwh.sum() + kept) / sun.kwh.sum()


# With a battery. SAP's share knows no loss in the battery, so what the battery gives is set beside
# it. Large batteries agree to 0.06. Small ones do not, and are not meant to: from panels that make
# less than the home uses SAP's formula leaves a quarter of the energy unused where a battery of
# 2.5 kWh is larger than the surplus of nearly every day (the last column: each day's surplus, up
# to the battery's size, kept for the night). The run follows the half-hours.
LARGE_KWH, LARGE_AGREEMENT = 10.0, 0.08


def test_self_use_with_a_battery_beside_sap_and_a_daily_bucket(published):
    sun, demand = times(kits_own_year(), YEARLY_KWH), home("half")
    print("\nbattery  solar/demand   SAP 10.2   taken  given  given - SAP   daily bucket")
    before = np.array([our_self_use(times(sun, r), demand) for r in RATIOS])
    for usable in BATTERIES_KWH:
        given_shares = []
        for ratio in RATIOS:
            here = times(sun, ratio)
            sap, bucket = sap_self_use(here, demand, usable), daily_bucket(here, demand, usable)
            taken, given = with_battery(here, demand, usable)
            given_shares.append(given)
            print(
                f"{usable:7.1f}  {ratio:12.2f}   {sap:.3f}      {taken:.3f}  {given:.3f}"
                f"  {given - sap:+.3f}        {bucket:.3f}"
            )
            if usable >= LARGE_KWH:
                published("share used at home with 10 and 15 kWh of battery", SOURCE + "battery",
                          given, sap, "", "published", LARGE_AGREEMENT)  # fmt: skip
            else:
                assert sap - 0.02 <= given <= bucket + 0.02
                assert abs(taken - bucket) < 0.09
        assert np.all(np.array(given_shares) > before)
        before = np.array(given_shares) - 0.02  # a larger battery loses a little more


# Measured when written: 9 % below at 0.55, 2 % below at 3. The two differ by design: G4 knows no
# boiler timer, no export margin and no hour of the day.
G4_BAND = (0.75, 1.1)


def test_gas_heat_spared_by_the_diverter_is_near_sap_appendix_g4(published):
    water = water_year(HotWater(cylinder_litres=210.0, diverter=True), occupants=2.626)
    need = monthly(water.draw_kwh)
    print("\nsolar / demand   surplus  diverted  gas heat spared  G4 on this surplus  G4 by SAP")
    for ratio in RATIOS:
        demand, solar = home("half"), times(solar_year(1.0), ratio * YEARLY_KWH)
        flows = year_flows(solar, Household(demand, water))
        surplus = monthly(solar.kwh - flows.direct_kwh)
        spared = (flows.gas_without_kwh - flows.gas_with_kwh).sum() * water.boiler_efficiency
        ours = np.minimum(surplus * G4_ACCEPTED * G4_STORED, need).sum()
        by_month = monthly(solar.kwh)
        sap_surplus = by_month * (1 - sap_beta(by_month / monthly(demand.kwh)))
        sap = np.minimum(sap_surplus * G4_ACCEPTED * G4_STORED, need).sum()
        diverted = flows.cylinder_kwh.sum()
        print(
            f"{ratio:14.2f}   {surplus.sum():7.0f}  {diverted:8.0f}  {spared:15.0f}"
            f"  {ours:18.0f}  {sap:9.0f}"
        )
        assert np.all(monthly(flows.cylinder_kwh) <= surplus + 1e-9)
        published.between("gas heat spared by the diverter, over SAP's",
                          "SAP 10.2 (secondary copy); Appendix G4", spared / ours, *G4_BAND, "",
                          "published")  # fmt: skip
