"""The share of solar energy used at home, beside SAP 10.2 Appendix M (no battery).

Run with ``-s`` to see both numbers over a grid of sizes. Agreement is not claimed: the home's
demand is a smooth mean day, and SAP's formula was fitted to homes with peaks and lulls.
"""

import numpy as np
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.home.demand import demand_year
from pvkit.home.flows import year_flows
from pvkit.home.water import water_year
from pvkit.site.household import Home, HotWater
from pvkit.site.place import Place, Weather
from pvkit.sky.sun import sun_year
from pvkit.sky.year import sky_year
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


def self_use(ratio, day):
    """Share used at home by SAP and by the half-hours, same yearly solar energy and demand."""
    demand, solar = (
        demand_year(Home(yearly_kwh=YEARLY_KWH, day=day)),
        solar_year(ratio * YEARLY_KWH),
    )
    by_month = monthly(solar)
    sap = (sap_beta(by_month / monthly(demand)) * by_month).sum() / by_month.sum()
    return sap, year_flows(solar, demand, None).direct_kwh.sum() / solar.sum()


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


def test_self_use_orders_homes_and_sizes_as_sap_does_and_is_printed_beside_it():
    ours = {day: [self_use(r, day)[1] for r in RATIOS] for day in ("out", "half", "in")}
    sap = [self_use(r, "half")[0] for r in RATIOS]
    print("\nsolar / demand   SAP 10.2   out    half   in")
    for i, ratio in enumerate(RATIOS):
        row = "  ".join(f"{ours[day][i]:.3f}" for day in ("out", "half", "in"))
        print(f"{ratio:14.2f}   {sap[i]:.3f}      {row}")
    for shares in (*ours.values(), sap):
        assert np.all(np.diff(shares) < 0)
    assert np.all(np.array(ours["out"]) < ours["half"])
    assert np.all(np.array(ours["half"]) < ours["in"])


# Source: University of Oxford programme's summary of McKenna, Pless & Darby (2018), Energy Policy
# (secondary copy): typical home, 4,000 kWh a year, 2.9 kW, about 900 kWh/kW, 37 % used at home.
def test_self_use_is_high_by_what_the_notes_on_demand_admit():
    gaps = [self_use(r, "half")[1] - self_use(r, "half")[0] for r in (0.55, 0.75, 1.0)]
    measured = self_use(2.9 * 900.0 / 4000.0, "half")[1]
    print(f"\nabove SAP by {np.round(gaps, 3)}; 37 % in measured homes, {measured:.1%} here")
    assert all(0.0 < gap < 0.2 for gap in gaps)
    assert 0.0 < measured - 0.37 < 0.2


# In the kit's own weather the days are less broken and the gap is wider: 0.22 and 0.11.
def test_self_use_in_the_built_in_weather_is_high_by_what_the_notes_admit():
    place = Place(name="a home", latitude=52.9, longitude=-1.2, region="Midlands")
    sky = sky_year(sun_year(52.9, -1.2, 60.0), place, Weather())
    demand, by_sun = demand_year(Home(yearly_kwh=YEARLY_KWH)), sky.ghi / sky.ghi.sum()
    for ratio, most in ((0.55, 0.25), (1.0, 0.15)):
        solar = by_sun * ratio * YEARLY_KWH
        by_month = monthly(solar)
        sap = (sap_beta(by_month / monthly(demand)) * by_month).sum() / by_month.sum()
        here = year_flows(solar, demand, None).direct_kwh.sum() / solar.sum()
        print(f"\nbuilt-in weather, solar / demand {ratio}: SAP {sap:.3f}, here {here:.3f}")
        assert 0.05 < here - sap < most


# Measured when written: 6 % below at 0.55, 18 % below at 0.75, 6 % below at 3. The two differ by
# design: G4 knows no boiler timer, no export margin and no hour of the day.
G4_BAND = (0.75, 1.1)


def test_gas_heat_spared_by_the_diverter_is_near_sap_appendix_g4():
    water = water_year(HotWater(cylinder_litres=210.0, diverter=True), occupants=2.626)
    need = monthly(water.draw_kwh)
    print("\nsolar / demand   surplus  diverted  gas heat spared  G4 on this surplus  G4 by SAP")
    for ratio in RATIOS:
        demand, solar = demand_year(Home(yearly_kwh=YEARLY_KWH)), solar_year(ratio * YEARLY_KWH)
        flows = year_flows(solar, demand, water)
        surplus = monthly(solar - flows.direct_kwh)
        spared = (flows.gas_without_kwh - flows.gas_with_kwh).sum() * water.boiler_efficiency
        ours = np.minimum(surplus * G4_ACCEPTED * G4_STORED, need).sum()
        by_month = monthly(solar)
        sap_surplus = by_month * (1 - sap_beta(by_month / monthly(demand)))
        sap = np.minimum(sap_surplus * G4_ACCEPTED * G4_STORED, need).sum()
        diverted = flows.cylinder_kwh.sum()
        print(
            f"{ratio:14.2f}   {surplus.sum():7.0f}  {diverted:8.0f}  {spared:15.0f}"
            f"  {ours:18.0f}  {sap:9.0f}"
        )
        assert np.all(monthly(flows.cylinder_kwh) <= surplus)
        assert G4_BAND[0] < spared / ours < G4_BAND[1]
