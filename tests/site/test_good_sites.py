"""Sites that load: what they hold, what they leave to the tables, what cannot be changed."""

import pickle
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from pvkit.errors import InputError
from pvkit.site.reader import build_site, given, load_site
from pvkit.site.samples import sample_path, sample_sites
from pvkit.site.survey import Site
from pvkit.tables import default, parts

SAMPLES = [sample.name for sample in sample_sites()]


def least_site() -> dict[str, Any]:
    """Give what a site file must say, and no more."""
    return {
        "site": {"name": "a", "latitude": 51.0, "longitude": -1.0},
        "roof": [{"name": "r", "kind": "flat", "azimuth_deg": 180, "width_m": 9, "depth_m": 6}],
        "array": [{"name": "m", "roof": "r", "module": "half-cut-430", "count": 6}],
        "inverter": {"part": "single-phase-2500"},
    }


@pytest.mark.parametrize(
    ("name", "kwp"),
    [
        ("bungalow_extension", 6 * 0.430),
        ("east_west_pair", (7 + 6) * 0.415),
        ("south_family_home", 2 * 5 * 0.450),
    ],
)
def test_each_sample_has_the_power_of_its_modules(name: str, kwp: float) -> None:
    assert load_site(name).kwp() == pytest.approx(kwp, rel=1e-12)


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_is_the_same_by_name_and_by_path(name: str) -> None:
    path = sample_path(name)
    assert path is not None
    assert load_site(name) == load_site(path) == load_site(str(path))


def test_every_sample_is_listed_with_the_title_in_its_file() -> None:
    for sample in sample_sites():
        assert load_site(sample.path).site.name == sample.title


@pytest.mark.parametrize("name", SAMPLES)
def test_what_a_site_was_given_builds_the_same_site(name: str) -> None:
    site = load_site(name)
    again = build_site(given(site))
    assert again == site
    assert given(again) == given(site)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_was_given_is_what_the_file_says_and_no_default(
    name: str, listed: Callable[[Any], Any]
) -> None:
    path = sample_path(name)
    assert path is not None
    assert listed(given(load_site(name))) == tomllib.loads(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", SAMPLES)
def test_equal_sites_have_equal_hashes_and_survive_pickling(name: str) -> None:
    site = load_site(name)
    assert hash(site) == hash(load_site(name))
    assert pickle.loads(pickle.dumps(site)) == site


def test_sites_that_differ_in_one_value_are_unequal() -> None:
    raw = least_site()
    site = build_site(raw)
    raw["array"][0]["count"] = 5
    assert build_site(raw) != site


def test_a_site_cannot_be_changed_in_place() -> None:
    site = load_site("bungalow_extension")
    with pytest.raises(ValidationError, match="frozen"):
        site.site.latitude = 0.0
    with pytest.raises(ValidationError, match="frozen"):
        site.array = ()
    assert all(isinstance(getattr(site, table), tuple) for table in ("roof", "array"))


def test_building_a_site_leaves_its_mapping_as_it_was() -> None:
    raw = least_site()
    build_site(raw)
    assert raw == least_site()


def test_rows_and_columns_or_an_outline_or_a_data_sheet_may_stand_in() -> None:
    raw = least_site()
    del raw["roof"][0]["width_m"], raw["roof"][0]["depth_m"]
    raw["roof"][0]["outline_m"] = [[0, 0], [9, 0], [9, 5.5], [0, 5.5]]
    raw["array"][0] = {
        "name": "m", "roof": "r", "rows": 2, "columns": 3,
        "datasheet": parts("modules")["full-cell-300"],
    }  # fmt: skip
    raw["inverter"] = {"datasheet": parts("inverters")["single-phase-2000"]}
    site = build_site(raw)
    assert site.kwp() == pytest.approx(1.8)
    assert site.inverter_sheet().ac_w == 2000.0


def test_the_least_site_takes_everything_else_from_the_tables() -> None:
    site = build_site(least_site())
    assert site.site.altitude_m == default("site.altitude_m")
    assert site.tariff.import_gbp_per_kwh == default("tariff.import_gbp_per_kwh")
    assert site.finance.years == default("finance.years")
    assert site.hot_water is None
    assert site.horizon is None
    assert given(site) == build_site(least_site()).model_dump(exclude_unset=True)


def test_a_module_on_a_pitched_roof_lies_as_the_roof_does() -> None:
    site = load_site("south_family_home")
    (array,) = site.array
    assert (site.tilt_deg(array), site.azimuth_deg(array)) == (35.0, 178.0)
    assert site.mounting(array) == "on-roof"


def test_a_module_on_a_flat_roof_has_its_own_tilt_and_bearing_or_the_usual() -> None:
    raw = least_site()
    site = build_site(raw)
    assert (site.tilt_deg(site.array[0]), site.azimuth_deg(site.array[0])) == (10.0, 180.0)
    assert site.mounting(site.array[0]) == "ballasted"
    raw["array"][0] |= {"tilt_deg": 15, "azimuth_deg": 90, "mounting": "on-roof"}
    site = build_site(raw)
    assert (site.tilt_deg(site.array[0]), site.azimuth_deg(site.array[0])) == (15.0, 90.0)
    assert site.mounting(site.array[0]) == "on-roof"


def test_whole_numbers_are_read_as_numbers_and_minus_nought_as_nought() -> None:
    raw = least_site()
    raw["roof"][0] |= {"tilt_deg": -0.0, "parapet_m": 0}
    site = build_site(raw)
    assert site.roof[0].tilt_deg == 0.0
    assert type(site.roof[0].parapet_m) is float
    assert site == build_site(least_site() | {"roof": [raw["roof"][0] | {"tilt_deg": 0}]})


@pytest.mark.parametrize("name", ["tôp roof ☀", "屋根", "toit d'été", "Dach 5 m²", "a.b", "2"])
def test_names_may_be_of_any_letters(name: str, tmp_path: Path, good_text: str) -> None:
    file = tmp_path / "maison d'été.toml"
    file.write_text(good_text.replace('"top"', f'"{name}"'), encoding="utf-8")
    site = load_site(file)
    assert site.roof_of(site.array[0]).name == name


def test_space_round_a_name_does_not_part_array_and_roof() -> None:
    raw = least_site()
    raw["array"][0]["roof"] = " r "
    assert build_site(raw).array[0].roof == "r"


def test_a_weather_file_is_looked_for_beside_the_site_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, good_text: str
) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "year.epw").write_text("LOCATION", encoding="utf-8")
    text = good_text.replace('"region"', '"epw"\nfile = "year.epw"')
    (tmp_path / "job" / "home.toml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    site = load_site("job/home.toml")
    assert site.weather.file is not None
    assert Path(site.weather.file).read_text(encoding="utf-8") == "LOCATION"


@pytest.mark.parametrize(
    "region", ["Midlands", "midlands", "6", "Borders England", "severn  wales"]
)
def test_a_region_goes_by_its_names_and_its_number(region: str) -> None:
    raw = least_site()
    raw["site"]["region"] = region
    assert build_site(raw).site.region == region


def test_a_name_that_is_no_sample_is_no_path_into_the_samples() -> None:
    assert sample_path("../sample_sites/bungalow_extension") is None
    assert sample_path("") is None


def test_a_spoilt_sample_does_not_keep_other_sites_from_loading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, good_text: str
) -> None:
    (tmp_path / "spoilt.toml").write_text("name = ", encoding="utf-8")
    monkeypatch.setattr("pvkit.site.samples.samples_folder", lambda: tmp_path)
    file = tmp_path / "home.toml"
    file.write_text(good_text, encoding="utf-8")
    assert isinstance(load_site(file), Site)
    assert [sample.title for sample in sample_sites()] == [
        "12 Invented Row",
        "spoilt",
    ]


def test_a_change_to_a_bad_value_says_where_it_came_from() -> None:
    raw = given(load_site("bungalow_extension"))
    raw["finance"]["years"] = 0
    with pytest.raises(InputError, match=r"^change, finance\.years: found 0\.\n"):
        build_site(raw, "change")
