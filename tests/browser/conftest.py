"""One JupyterLab and one browser for all browser tests, with nothing fetched from outside."""

import os
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.browser.jupyter import (
    ROOT,
    chromium,
    chromium_path,
    copied_workbooks,
    lab_server,
    run_workbook,
)


@pytest.fixture(scope="session")
def lab_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of workbooks that is served."""
    return copied_workbooks(tmp_path_factory.mktemp("lab"))


@pytest.fixture(scope="session")
def lab(lab_folder: Path) -> Iterator[str]:
    """Serve the copied workbooks."""
    with lab_server(lab_folder.parents[1]) as url:
        yield url


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """Start Chromium; where there is none the tests skip, except in CI."""
    if chromium_path() is None:
        message = "no Chromium on this machine: install the package 'chromium'"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    with chromium(tmp_path_factory.mktemp("chromium")) as context:
        yield context


def _run_book(lab: str, browser, name: str) -> SimpleNamespace:  # type: ignore[no-untyped-def]
    """Open a workbook in a page of its own and run all of it."""
    page = browser.new_page()
    errors: list[str] = []
    strangers: list[str] = []
    page.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
    page.on("request", lambda r: strangers.append(r.url) if _is_stranger(r.url) else None)
    run_workbook(page, lab, name)
    return SimpleNamespace(page=page, errors=errors, strangers=strangers)


@pytest.fixture
def open_book(lab: str, browser):  # type: ignore[no-untyped-def]
    """Give a function that opens a workbook, runs all of it and hands back the page."""
    opened = []

    def opener(name: str) -> SimpleNamespace:
        opened.append(_run_book(lab, browser, name))
        return opened[-1]

    yield opener
    for book in opened:
        book.page.close()


@pytest.fixture(scope="module")
def keep_book(lab: str, browser):  # type: ignore[no-untyped-def]
    """Give the same function for a page that all tests of a module share."""
    opened = []

    def opener(name: str) -> SimpleNamespace:
        opened.append(_run_book(lab, browser, name))
        return opened[-1]

    yield opener
    for book in opened:
        book.page.close()


def _is_stranger(url: str) -> bool:
    return url.startswith("http") and "//127.0.0.1:" not in url


@pytest.fixture(scope="session")
def artefacts() -> Path:
    """The folder in which screenshots are kept for a look."""
    folder = ROOT / "artefacts"
    folder.mkdir(exist_ok=True)
    return folder


SIDEWAYS = """() => { const p = document.querySelector('.jp-WindowedPanel-outer');
 return p.scrollWidth - p.clientWidth; }"""
# Labels and buttons whose words do not fit, and tables of a panel that stick out of their place.
CUT = """() => [
 ...[...document.querySelectorAll('.widget-label, .widget-label-basic, .jupyter-button')]
  .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1 && e.innerText.trim()),
 ...[...document.querySelectorAll('.widget-html table')].filter(e => { const place =
  e.closest('.widget-html').getBoundingClientRect(); return e.offsetParent &&
  e.getBoundingClientRect().right > place.right + 1; })].map(e => e.innerText)"""


@pytest.fixture
def looks_whole():  # type: ignore[no-untyped-def]
    """Give a check that nothing scrolls sideways and no label is cut, in light and in dark."""

    def check(page, place, picture: Path) -> None:  # type: ignore[no-untyped-def]
        place.scroll_into_view_if_needed()
        page.wait_for_timeout(500)
        assert page.evaluate(SIDEWAYS) <= 1
        assert page.evaluate(CUT) == []
        _theme(page, "JupyterLab Dark")
        place.scroll_into_view_if_needed()
        page.wait_for_timeout(500)
        page.screenshot(path=picture)
        assert page.evaluate(SIDEWAYS) <= 1
        _theme(page, "JupyterLab Light")

    return check


def _theme(page, name: str) -> None:  # type: ignore[no-untyped-def]
    page.get_by_role("menuitem", name="Settings", exact=True).click()
    page.locator(".lm-Menu-itemLabel").get_by_text("Theme", exact=True).hover()
    page.locator(".lm-Menu-itemLabel").get_by_text(name, exact=True).click()
    page.wait_for_timeout(1500)
