"""The page on many sites: totals and order as computed, names never become markup."""

import pytest

from pvkit.present.portfolio_page import portfolio_page
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsFolder
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking, totals
from pvkit.study.site_list import read_sites


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page")
    homes = invented_sites(6).astype(object)
    homes.loc[0, "site.name"] = "<script>alert(1)</script>"
    homes.loc[5, "roof.tilt_deg"] = 300
    homes.to_csv(folder / "homes.csv", index=False)
    return portfolio(read_sites(folder / "homes.csv"), PartsFolder(folder / "parts"))


def test_the_page_says_the_totals_the_best_and_the_faults(table):
    page = portfolio_page(table)
    assert f"£{totals(table).capital_gbp:,.0f}" in page
    assert "5 sites estimated, 1 could not be" in page
    assert "0 to 90 deg" in page
    best = ranking(table)["name"].tolist()
    plain = [name for name in best if "<" not in name]
    assert [page.index(f">{name}<") for name in plain] == sorted(
        page.index(f">{name}<") for name in plain
    )


def test_a_name_is_never_markup(table):
    assert "<script>" not in portfolio_page(table)


def test_a_list_without_one_sound_site_still_makes_a_page(table):
    page = portfolio_page(table[table["fault"] != ""])
    assert "0 sites estimated" in page
    assert "nan" not in page
