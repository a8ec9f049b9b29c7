"""Start a JupyterLab and a browser on this machine, and open a workbook in them."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
QUIET_LAB = '{"fetchNews":"false","checkForUpdates":false,"doNotDisturbMode":true}'
BROWSER_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
WAIT_MS = 90_000


def chromium_path() -> str | None:
    """Find the browser; None where there is none."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def copied_workbooks(folder: Path) -> Path:
    """Copy the workbooks; JupyterLab marks a file as changed by opening it."""
    copy = folder / "root" / "workbooks"
    shutil.copytree(ROOT / "workbooks", copy)
    return copy


@contextmanager
def lab_server(folder: Path) -> Iterator[str]:
    """Serve ``folder/root`` with settings of its own; give the address."""
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
        try:
            url = f"http://127.0.0.1:{port}"
            _wait_until_up(url)
            yield url
        finally:
            server.terminate()
            server.wait(20)


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
    message = "JupyterLab did not come up"
    raise TimeoutError(message)


@contextmanager
def chromium(folder: Path) -> Iterator[Any]:
    """Start the browser with a profile of its own."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            str(folder), executable_path=chromium_path(), headless=True, args=BROWSER_FLAGS,
            viewport={"width": 1280, "height": 800},
        )  # fmt: skip
        yield context
        context.close()


def run_workbook(page: Any, lab: str, name: str) -> None:
    """Open a workbook in a page and run all of it."""
    page.goto(f"{lab}/lab/tree/workbooks/{name}?reset", wait_until="domcontentloaded")
    status = page.locator("#jp-main-statusbar").get_by_text(re.compile(r"\| Idle"))
    status.wait_for(timeout=WAIT_MS)
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(".jupyter-widgets:visible").first.wait_for(timeout=WAIT_MS)
