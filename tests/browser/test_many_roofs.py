"""The workbook of many roofs in a real JupyterLab: budget, stop and go on, page of results."""

import re

import pytest

from pvkit.present.rounding import pounds
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsAtHand
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking
from pvkit.study.site_list import table_sites

pytestmark = pytest.mark.browser
BOOK = "9_many_roofs.ipynb"
BAD, COUNT, LISTED = 3, 30, 200


@pytest.fixture(scope="module")
def table():
    homes = invented_sites(LISTED).astype(object)
    homes.loc[BAD, "roof.tilt_deg"] = 300
    return portfolio(table_sites(homes)[:COUNT], PartsAtHand())


@pytest.fixture
def page(open_book):
    book = open_book(BOOK)
    _totals(book.page).wait_for(timeout=90_000)
    yield book.page
    assert book.errors == []
    assert book.strangers == []


def _totals(page):
    return page.get_by_role("status").filter(has_text="worth beyond their price")


def _row(page, name: str) -> list[str]:
    row = _totals(page).locator("tr", has=page.get_by_role("rowheader", name=name, exact=True))
    return row.locator("td").all_text_contents()


def test_the_budget_buys_what_the_ranking_says(page, table, artefacts):
    page.screenshot(path=artefacts / "workbook_9.png")
    handle = page.get_by_role("slider", name="Budget (£)")
    for key in ("PageUp", "Home", "End", "PageDown"):
        handle.focus()
        page.keyboard.press(key)
        page.wait_for_timeout(500)
        shown = page.locator(".widget-slider", has_text="Budget (£)").locator(".widget-readout")
        budget = float(shown.inner_text().replace(",", ""))
        bought = ranking(table, budget)
        assert _row(page, "homes") == [f"{COUNT - 1}", f"{len(bought)}"], key
        assert _row(page, "cost")[1] == pounds(bought["capital_gbp"].sum())
        assert _row(page, "save in the first year")[1] == pounds(
            bought["first_year_saving_gbp"].sum()
        )


def test_stop_keeps_what_is_done_and_the_button_goes_on(page, artefacts):
    handle = page.get_by_role("slider", name="Homes")
    handle.focus()
    page.keyboard.press("End")
    page.get_by_role("button", name="Estimate these homes").click()
    going = page.get_by_role("status").filter(has_text=f"of {LISTED} homes, about")
    going.wait_for(timeout=60_000)
    page.screenshot(path=artefacts / "workbook_9_running.png")
    page.get_by_role("button", name="Stop").click()
    stopped = page.get_by_role("status").filter(has_text="Stopped:")
    stopped.wait_for(timeout=20_000)
    done = int(re.search(r"Stopped: (\d+) of", stopped.inner_text())[1])
    assert 0 < done < LISTED
    page.wait_for_timeout(500)
    assert _row(page, "homes")[0] in (f"{done - 1}", f"{done}")  # one row of the list is spoilt
    page.get_by_role("button", name="Estimate these homes").click()
    page.get_by_role("status").filter(has_text=f"{LISTED} of {LISTED} homes done.").wait_for(
        timeout=120_000
    )
    page.wait_for_timeout(500)
    assert _row(page, "homes")[0] == f"{LISTED - 1}"


def test_the_page_of_results_is_written(page, lab_folder):
    page.get_by_role("button", name="Write the page of results").click()
    page.get_by_role("status").filter(has_text="Written:").wait_for()
    assert "Many roofs: results" in (lab_folder / "many_roofs.html").read_text(encoding="utf-8")


def test_nothing_scrolls_sideways_or_is_cut_in_either_theme(page, artefacts, looks_whole):
    looks_whole(page, _totals(page), artefacts / "workbook_9_dark.png")
