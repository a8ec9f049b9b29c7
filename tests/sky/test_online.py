"""The online archive: typical year and spread, kept on disk, and every bad answer told plainly."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit import Study, load_site
from pvkit.errors import InputError
from pvkit.site.place import Place, Weather
from pvkit.sky import archive as archive_module
from pvkit.sky.archive import ASKED, Wanted, archive_text
from pvkit.sky.online import _table, online_years
from pvkit.sky.sun import sun_year
from pvkit.sky.typical import typical_months
from pvkit.sky.year import sky_year
from tests.sky.archive_server import archive, year_of

HOME = Place(name="x", latitude=52.9, longitude=-1.2)
ONLINE = Weather(source="online", last_year=2023)
LIMITS = {"online.wait_s": 0.01, "online.tries": 2.0, "online.largest_bytes": 2e6,
          "online.years": 3.0}  # fmt: skip


@pytest.fixture(autouse=True)
def quick(monkeypatch, tmp_path):
    """Keep fetched years in a folder of the test's own, and do not wait between tries."""
    real = archive_module.constant
    for module in (archive_module, __import__("pvkit.sky.online", fromlist=["constant"])):
        monkeypatch.setattr(module, "constant", lambda name: LIMITS.get(name) or real(name))
    monkeypatch.setenv("PVKIT_CACHE", str(tmp_path / "kept é"))


def fetched(monkeypatch, how="well", weather=ONLINE):
    # Short only for an archive that is slow: a busy machine may keep a good one waiting.
    monkeypatch.setitem(LIMITS, "online.timeout_s", 1.0 if how == "slow" else 60.0)
    monkeypatch.setitem(LIMITS, "online.longest_s", 2.0 if how == "slow" else 60.0)
    with archive(how) as (url, asked):
        monkeypatch.setenv("PVKIT_ARCHIVE_URL", url)
        return sky_year(sun_year(52.9, -1.2, 50.0), HOME, weather), asked


def test_a_typical_year_comes_from_the_archive_with_its_spread_told(monkeypatch):
    sky, asked = fetched(monkeypatch)
    assert asked == ["2021", "2022", "2023"]
    assert sky.label == "NASA POWER 2021–2023"
    assert "differs by" in " ".join(sky.notes)
    yearly = sky.ghi.sum() / 2000
    years = [sum(year_of(52.9, -1.2, y)["properties"]["parameter"]["ALLSKY_SFC_SW_DWN"].values())
             / 1000 for y in (2021, 2022, 2023)]  # fmt: skip
    assert min(years) * 0.95 < yearly < max(years) * 1.05


def test_years_are_fetched_once_and_then_read_from_the_disk(monkeypatch):
    first, _ = fetched(monkeypatch)
    again, asked = fetched(monkeypatch, "down")
    assert asked == []
    assert np.array_equal(first.ghi, again.ghi)


def test_a_line_that_fails_once_is_tried_again(monkeypatch):
    _, asked = fetched(monkeypatch, "once down")
    assert asked == ["2021", "2021", "2022", "2023"]


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("down", "answered 503"),
        ("not found", "answered 404"),
        ("slow", "cannot be reached or does not answer"),
        ("huge", "larger than"),
        ("no text", "no text"),
        ("a page", "not in the archive's format"),
        ("other format", "not in the archive's format"),
        ("broken off", "cannot"),
        ("cut", "hours, not 8,760"),
        ("gaps", "20 of its hours are empty"),
        ("nonsense", "W/m2"),
    ],
)
def test_a_bad_answer_is_told_and_never_kept(monkeypatch, tmp_path, how, words):
    with pytest.raises(InputError, match=words):
        fetched(monkeypatch, how)
    if how != "nonsense":
        assert not list((tmp_path / "kept é").glob("hours_*"))


def test_a_spoilt_file_on_the_disk_is_forgotten_and_told(monkeypatch, tmp_path):
    folder = tmp_path / "kept é"
    folder.mkdir()
    kept = folder / Wanted(52.9, -1.2, 2021).name
    kept.write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be used"):
        fetched(monkeypatch)
    assert not kept.exists()


def test_a_folder_that_cannot_be_written_to_only_costs_time(monkeypatch, tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("PVKIT_CACHE", str(tmp_path / "file" / "below"))
    sky, _ = fetched(monkeypatch)
    assert sky.ghi.sum() > 0


def test_the_archives_text_is_read_as_pvlibs_own_reader_reads_it(monkeypatch):
    """Reference: pvlib.iotools.get_nasa_power on the same answer."""
    with archive() as (url, _):
        monkeypatch.setenv("PVKIT_ARCHIVE_URL", url)
        wanted = Wanted(52.9, -1.2, 2023)
        ours = _table(wanted, archive_text(wanted))
        theirs, _ = pvlib.iotools.get_nasa_power(
            52.9, -1.2, "2023-01-01", "2023-12-31", parameters=list(ASKED), url=url
        )
    theirs.index = theirs.index.tz_localize(None)
    pd.testing.assert_frame_equal(
        ours, theirs[list(ours.columns)], check_freq=False, check_names=False
    )


def test_nothing_is_fetched_unless_online_is_asked_for(monkeypatch):
    def never(*_: object, **__: object) -> None:
        message = "the network was used"
        raise AssertionError(message)

    monkeypatch.setattr("urllib.request.urlopen", never)
    monkeypatch.setattr("socket.create_connection", never)
    assert Study(load_site("south_family_home")).estimate().ac_kwh > 0


def test_the_month_nearest_to_all_years_is_the_typical_one():
    draw = np.random.default_rng(1)
    usual = draw.normal(100, 30, (365, 3))
    days = np.stack([usual + 80, usual, usual - 80, usual + 5])
    month = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    assert set(typical_months(days, month)) <= {1, 3}


def test_the_spread_of_the_years_is_that_of_their_sums(monkeypatch):
    with archive() as (url, _):
        monkeypatch.setenv("PVKIT_ARCHIVE_URL", url)
        years = online_years(HOME, 2023)
    sums = years.yearly_ghi_kwh_per_m2
    assert years.spread == pytest.approx(np.std(sums, ddof=1) / np.mean(sums))
