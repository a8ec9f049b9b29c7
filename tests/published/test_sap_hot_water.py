"""Hot water drawn and lost by cylinders, against the UK Government's SAP."""

import numpy as np
import pytest

from pvkit.home.calendar import local_calendar
from pvkit.home.water import draw_year, standing_loss_kwh_per_day
from pvkit.site.household import HotWater
from pvkit.tables import constant, rows


# Source: SAP 2012 Appendix J, Table 1b: people in a home of a floor area.
def people(area_m2):
    over = area_m2 - 13.9
    return 1 + 1.76 * (1 - np.exp(-0.000349 * over**2)) + 0.0013 * over


# Totals worked out with 4.18 kJ/(kg K); other copies of SAP have 4.19. The kit has 4.187, so the
# printed totals are scaled, and agree to their own rounding.
SAP_KJ_PER_KG_K = 4.18
SOURCE = "SAP 2012; "
TABLE_ROUNDING_KWH = 0.6


# Source: SAP 2012 Appendix J, energy content of hot water, whole year, by floor area.
@pytest.mark.parametrize(("area_m2", "kwh"), [(50.0, 1231.0), (90.0, 1599.0), (150.0, 1721.0)])
def test_the_yearly_draw_is_saps(area_m2, kwh, published):
    scale = constant("water.kwh_per_litre_kelvin") * 3600 / SAP_KJ_PER_KG_K
    drawn = draw_year(people(area_m2)).sum()
    published("year's hot water by floor area", SOURCE + "Appendix J", drawn, kwh * scale, "kWh",
              "published", TABLE_ROUNDING_KWH)  # fmt: skip


# Source: SAP 2012 Appendix J Tables 1c and 1d: 25 N + 36 litres a day, monthly factor and rise.
def test_the_monthly_draw_is_saps(published):
    month = local_calendar().month
    days = np.bincount(month) / 48.0
    table = rows("sap_hot_water_monthly.csv")
    litres = 25 * 2.626 + 36
    expected = [
        litres * float(row["volume_factor"]) * float(row["temp_rise_k"]) * 4.187 / 3600 * round(n)
        for row, n in zip(table, days, strict=True)
    ]
    drawn = np.bincount(month, weights=draw_year(2.626))
    published("month's hot water", SOURCE + "Appendix J, tables 1c and 1d", drawn, expected, "kWh",
              "published", share=4e-4)  # 1.163 Wh for 4.187 / 3.6  # fmt: skip


# Source: SAP 2012 notes to Tables 2, 2a and 2b: kWh/day of a foamed cylinder, printed with the
# temperature factor of 0.60, which the kit leaves out; 25, 50 and 80 mm.
TEMPERATURE_FACTOR = 0.60
TABLE_ROUNDING_KWH_PER_DAY = 0.0051
CYLINDER_LOSS = {
    120: (1.73, 1.09, 0.83),
    150: (2.00, 1.27, 0.96),
    180: (2.26, 1.43, 1.09),
    210: (2.51, 1.59, 1.21),
    250: (2.81, 1.78, 1.36),
    300: (3.18, 2.01, 1.53),
}


@pytest.mark.parametrize("litres", CYLINDER_LOSS)
@pytest.mark.parametrize(("column", "insulation_mm"), [(0, 25.0), (1, 50.0), (2, 80.0)])
def test_the_standing_loss_is_saps_without_its_temperature_factor(
    litres, column, insulation_mm, published
):
    loss = standing_loss_kwh_per_day(HotWater(cylinder_litres=litres, insulation_mm=insulation_mm))
    expected = CYLINDER_LOSS[litres][column]
    published("cylinder's loss by size and insulation", SOURCE + "notes to tables 2, 2a and 2b",
              loss * TEMPERATURE_FACTOR, expected, "kWh/day", "published",
              TABLE_ROUNDING_KWH_PER_DAY)  # fmt: skip
