"""What a plane is worth: the ledger's own first year, and worth beside kWh."""

import numpy as np
import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.study.plane_map import AS_SURVEYED, plane_year_kwh
from pvkit.study.plane_worth import plane_worth, worth_map

FEW = ((0.0, 30.0, 60.0), (0.0, 90.0, 180.0, 270.0, 360.0))


@pytest.fixture(scope="module", params=["south_family_home", "bungalow_extension"])
def study(request):
    return Study(load_site(request.param))


def test_the_surveyed_plane_is_worth_what_the_estimate_says(study):
    answer = study.estimate()
    worth = plane_worth(study, answer.stages.output.ac_kwh)
    assert worth.ac_kwh == pytest.approx(answer.ac_kwh, rel=1e-12)
    assert worth.used_at_home_fraction == pytest.approx(answer.used_at_home_fraction, rel=1e-9)
    assert worth.saving_gbp == pytest.approx(answer.first_year_saving_gbp, rel=1e-9)


def test_each_place_of_the_map_is_that_planes_own_worth(study):
    found = worth_map(study, planes=FEW)
    for row, tilt in enumerate(FEW[0]):
        for column, azimuth in enumerate(FEW[1]):
            alone = plane_worth(study, plane_year_kwh(study, (tilt, azimuth)))
            assert found.saving_gbp[row, column] == pytest.approx(alone.saving_gbp, rel=1e-9)


def test_a_level_plane_is_worth_the_same_whichever_way_it_is_turned(study):
    assert np.ptp(worth_map(study, planes=FEW).saving_gbp[0]) == 0.0


def test_a_year_without_sun_saves_nothing_and_uses_nothing(study):
    worth = plane_worth(study, np.zeros(study.estimate().stages.output.ac_kwh.size))
    assert (worth.ac_kwh, worth.used_at_home_fraction) == (0.0, 0.0)
    assert worth.saving_gbp == pytest.approx(0.0, abs=1e-9)


def test_where_sales_pay_as_much_as_use_the_best_worth_is_the_most_energy():
    prices = {"tariff.import_gbp_per_kwh": 0.2, "tariff.export_gbp_per_kwh": 0.2}
    study = Study(load_site("south_family_home")).change(prices)
    found = worth_map(study, planes=FEW)
    first_year = 1 - study.site.finance.degradation_first_year
    for row, tilt in enumerate(FEW[0]):
        for column, azimuth in enumerate(FEW[1]):
            kwh = plane_year_kwh(study, (tilt, azimuth)).sum() * first_year
            assert found.saving_gbp[row, column] == pytest.approx(0.2 * kwh, rel=1e-9)


def test_where_sales_pay_nothing_an_evening_home_is_served_better_by_a_western_plane():
    """Worth, not only kWh: the same energy to the east and west of south, the home out by day."""
    study = Study(load_site("south_family_home")).change(
        {"tariff.export_gbp_per_kwh": 0.0, "home.day": "out", "horizon": None}
    )
    east, west = (plane_worth(study, plane_year_kwh(study, (35.0, turn))) for turn in (135, 225))
    assert west.ac_kwh == pytest.approx(east.ac_kwh, rel=0.03)
    assert west.saving_gbp > east.saving_gbp


def test_shade_is_never_worth_anything_and_an_unknown_array_is_refused():
    study = Study(load_site("chimney_and_birch"))
    open_sky = worth_map(study, planes=FEW).saving_gbp
    shaded = worth_map(study, shade=AS_SURVEYED, planes=FEW).saving_gbp
    assert np.all(shaded <= open_sky + 1e-9)
    with pytest.raises(InputError, match="name an array of the site"):
        worth_map(study, "nowhere")
