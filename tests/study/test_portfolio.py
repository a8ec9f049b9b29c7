"""Many sites: the same figures as one at a time, whatever the order, parts, workers or stops."""

import os
import signal

import numpy as np
import pandas as pd
import pytest

from pvkit import Study
from pvkit.errors import InputError
from pvkit.site.reader import build_site
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsFolder
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking, totals
from pvkit.study.site_list import read_sites

SITES = 60


@pytest.fixture(scope="module")
def csv_file(tmp_path_factory):
    file = tmp_path_factory.mktemp("list") / "homes.csv"
    invented_sites(SITES).to_csv(file, index=False)
    return file


@pytest.fixture(scope="module")
def sites(csv_file):
    return read_sites(csv_file)


@pytest.fixture(scope="module")
def table(sites, tmp_path_factory):
    return portfolio(sites, PartsFolder(tmp_path_factory.mktemp("parts")))


def test_every_invented_home_can_be_estimated(table):
    assert table["fault"].unique().tolist() == [""]
    assert table["number"].tolist() == list(range(1, SITES + 1))
    assert np.isfinite(table["ac_kwh"]).all()


def test_a_home_makes_what_it_makes_alone_at_its_own_place_to_a_fifth_of_a_percent(sites, table):
    for number in (0, 20, 59):
        alone = Study(build_site(sites[number].raw)).estimate()
        assert table["ac_kwh"][number] == pytest.approx(alone.ac_kwh, rel=2e-3)
        assert table["capital_gbp"][number] == alone.capital_gbp


def test_order_and_parts_change_nothing_bit_for_bit(sites, table, tmp_path):
    turned = portfolio(list(reversed(sites)), PartsFolder(tmp_path / "turned"))
    pd.testing.assert_frame_equal(turned, table, check_exact=True)


def test_a_bad_row_is_told_and_the_rest_goes_on(tmp_path):
    homes = invented_sites(4).astype(object)
    homes.loc[1, "roof.tilt_deg"] = 300
    homes.loc[2, "array.module"] = "no-such-part"
    file = tmp_path / "homes with faults é.csv"
    homes.to_csv(file, index=False)
    found = portfolio(read_sites(file), PartsFolder(tmp_path / "parts"))
    assert (found["fault"] != "").tolist() == [False, True, True, False]
    assert "0 to 90 deg" in found["fault"][1]
    assert "row 3" in found["fault"][1]
    assert np.isnan(found["ac_kwh"][2])
    assert totals(found).faulty == 2


def test_a_restart_works_on_nothing_twice(sites, table, tmp_path, monkeypatch):
    folder = PartsFolder(tmp_path / "parts")
    stopped = portfolio(sites, folder, watch=lambda progress: progress.done < 1)
    assert 0 < len(stopped) < SITES
    worked = []
    real = pd.DataFrame.to_parquet
    monkeypatch.setattr(
        pd.DataFrame, "to_parquet", lambda t, path, **k: (worked.append(len(t)), real(t, path, **k))
    )
    pd.testing.assert_frame_equal(portfolio(sites, folder), table, check_exact=True)
    assert sum(worked) == SITES - len(stopped)


def test_a_killed_worker_loses_nothing(sites, table, tmp_path):
    distributed = pytest.importorskip("distributed")
    folder = PartsFolder(tmp_path / "parts")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None
    ) as cluster, distributed.Client(cluster) as client:  # fmt: skip
        nanny = next(iter(cluster.workers.values()))
        os.kill(nanny.pid, signal.SIGKILL)
        found = portfolio(sites, folder, client)
    pd.testing.assert_frame_equal(found, table, check_exact=True)


def test_totals_are_the_sums_of_the_rows_and_the_ranking_puts_the_best_pound_first(table):
    whole = totals(table)
    assert whole.sites == SITES
    assert whole.ac_kwh == pytest.approx(table["ac_kwh"].sum(), rel=1e-12)
    ranked = ranking(table)
    assert ranked["npv_gbp_per_gbp"].is_monotonic_decreasing
    some = ranking(table, budget_gbp=whole.capital_gbp / 3)
    assert 0 < some["capital_gbp"].sum() <= whole.capital_gbp / 3


def test_a_folder_of_site_files_is_a_list_too(tmp_path):
    (tmp_path / "a.toml").write_text('[site]\nname = "x"\n', encoding="utf-8")
    (tmp_path / "b.toml").write_text("[site\n", encoding="utf-8")
    listed = read_sites(tmp_path)
    assert [site.where for site in listed] == ["a.toml", "b.toml"]
    assert listed[0].fault == ""
    assert "line 1" in listed[1].fault


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "found nothing"),
        ("site.name,roof.tilt_deg\n", "no sites"),
        ("name,tilt\nx,3\n", "dotted keys"),
    ],
)
def test_a_list_that_is_none_is_refused(tmp_path, text, words):
    file = tmp_path / "list.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=words):
        read_sites(file)


def test_a_list_that_is_not_there_or_no_text_is_refused(tmp_path):
    with pytest.raises(InputError, match="no such folder or file"):
        read_sites(tmp_path / "nowhere.csv")
    file = tmp_path / "list.csv"
    file.write_bytes(b"site.name\n\xff\xfe\x00")
    with pytest.raises(InputError, match="cannot be read"):
        read_sites(file)


def test_a_row_of_another_length_is_told(tmp_path):
    file = tmp_path / "list.csv"
    file.write_text("site.name,site.latitude\nx\ny,51,3\n", encoding="utf-8")
    assert all("more or fewer values" in site.fault for site in read_sites(file))
