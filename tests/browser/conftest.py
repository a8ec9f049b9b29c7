"""One JupyterLab and one browser for all browser tests, with nothing fetched from outside."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).resolve().parents[2]
QUIET_LAB = '{"fetchNews":"false","checkForUpdates":false,"doNotDisturbMode":true}'
BROWSER_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
WAIT_MS = 90_000


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_until_up(url: str, seconds: float = 60) -> None:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{url}/api/status", timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail("JupyterLab did not come up")


@pytest.fixture(scope="session")
def lab_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Copy the workbooks; JupyterLab marks a file as changed by opening it."""
    folder = tmp_path_factory.mktemp("lab") / "root" / "workbooks"
    shutil.copytree(ROOT / "workbooks", folder)
    return folder


@pytest.fixture(scope="session")
def lab(lab_folder: Path) -> Iterator[str]:
    """Serve the copied workbooks."""
    folder = lab_folder.parents[1]
    settings = folder / "settings" / "@jupyterlab" / "apputils-extension"
    settings.mkdir(parents=True)
    (settings / "notification.jupyterlab-settings").write_text(QUIET_LAB)
    places = {
        "JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "run",
        "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "spaces",
        "IPYTHONDIR": "ipython",
    }  # fmt: skip
    environment = os.environ | {name: str(folder / place) for name, place in places.items()}
    environment["PATH"] = f"{Path(sys.executable).parent}:{environment['PATH']}"
    port = _free_port()
    with (folder / "lab.log").open("w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.ip=127.0.0.1",
             f"--ServerApp.port={port}", "--ServerApp.port_retries=0", "--IdentityProvider.token=",
             f"--ServerApp.root_dir={folder / 'root'}", "--allow-root"],
            env=environment, stdout=log, stderr=log,
        )  # fmt: skip
        url = f"http://127.0.0.1:{port}"
        _wait_until_up(url)
        yield url
        server.terminate()
        server.wait(20)


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """Start Chromium; where there is none the tests skip, except in CI."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        message = "no Chromium on this machine: install the package 'chromium'"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            str(tmp_path_factory.mktemp("chromium")), executable_path=found, headless=True,
            args=BROWSER_FLAGS, viewport={"width": 1280, "height": 800},
        )  # fmt: skip
        yield context
        context.close()


def _run_book(lab: str, browser, name: str) -> SimpleNamespace:  # type: ignore[no-untyped-def]
    """Open a workbook in a page of its own and run all of it."""
    page = browser.new_page()
    errors: list[str] = []
    strangers: list[str] = []
    page.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
    page.on("request", lambda r: strangers.append(r.url) if _is_stranger(r.url) else None)
    page.goto(f"{lab}/lab/tree/workbooks/{name}?reset", wait_until="domcontentloaded")
    status = page.locator("#jp-main-statusbar").get_by_text(re.compile(r"\| Idle"))
    status.wait_for(timeout=WAIT_MS)
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(".jupyter-widgets:visible").first.wait_for(timeout=WAIT_MS)
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
