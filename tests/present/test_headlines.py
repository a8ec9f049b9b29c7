"""The four figures and how sure each is, in words that never break."""

from dataclasses import replace

import pytest

from pvkit.present.headlines import headlines, likely
from pvkit.present.rounding import kwh, percent, whole
from pvkit.study.doubt import Range


def _with_payback(estimate, payback, share):
    found = replace(estimate.ranges, payback_years=payback, paid_back_fraction=share)
    estimate.__dict__["ranges"] = found
    return likely(estimate)[3]


@pytest.mark.parametrize(
    ("payback", "share", "said"),
    [
        (Range(16.6, 13.5, 9.5), 1.0, "likely 9.5 to 16.6 years"),
        (Range(9.52, 9.5, 9.48), 1.0, "likely 9.5 years"),
        (Range(None, 24.0, 18.9), 0.58,
         "likely 18.9 years or more; within 25 years in 58 % of cases"),
        (Range(None, None, None), 0.04, "within 25 years in 4 % of cases"),
        (Range(None, None, None), 0.004, "within 25 years in under 1 % of cases"),
        (Range(None, None, None), 0.0, "in no case within 25 years"),
        (Range(0.0, 0.0, 0.0), 1.0, "likely 0 years"),
        (Range(1.0, 0.8, 0.6), 1.0, "likely 0.6 to 1 year"),
    ],
)  # fmt: skip
def test_a_payback_is_said_whether_or_not_it_is_in_the_span(family, payback, share, said):
    assert _with_payback(family.estimate(), payback, share) == said


def test_each_figure_has_the_engines_range(answer):
    made, used, saved, _ = likely(answer)
    found = answer.ranges
    assert made == f"likely {whole(found.yield_kwh.p90)} to {whole(found.yield_kwh.p10)} kWh"
    assert percent(answer.used_range.p10) in used
    assert saved.startswith("likely £")


def test_what_the_home_uses_counts_battery_car_and_cylinder(studies):
    answer = studies["ev_and_battery"].estimate()
    used = answer.used_at_home_fraction * answer.ac_kwh
    parts = answer.direct_kwh + answer.battery_in_kwh + answer.car_solar_kwh + answer.cylinder_kwh
    assert parts == pytest.approx(used, rel=1e-9)
    assert headlines(answer)[1].note.startswith(kwh(parts))
