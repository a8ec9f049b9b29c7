"""The recorder that outside checks report to, and the page made from it."""

import os

import pytest

from tests.published.record import FOLDER, PAGE, WRITE, Published, Recorder, page

PAGE_TEST = "test_page.py"
RECORDER = pytest.StashKey()
LEFT_OUT = pytest.StashKey()


def pytest_configure(config):
    config.stash[RECORDER] = Recorder()
    config.stash[LEFT_OUT] = []


@pytest.fixture
def published(request):
    """Hold a value against a published one, and put the pair on the page."""
    return Published(request.config.stash[RECORDER], request.path.name)


@pytest.fixture
def recorder(pytestconfig):
    return pytestconfig.stash[RECORDER]


@pytest.fixture
def whole_run(request):
    """Skip where only some of the folder's checks were run."""
    config = request.config
    run = {item.path for item in request.session.items}
    part = any("::" in argument for argument in config.args) or config.stash[LEFT_OUT]
    if part or not run >= set(FOLDER.glob("test_*.py")):
        pytest.skip("only some of the outside checks were run")
    if WRITE in os.environ:
        pytest.skip("the page is being written")


def pytest_deselected(items):
    for item in items:
        if item.path.parent == FOLDER:
            item.config.stash[LEFT_OUT].append(item)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items):
    """Put the tests of the page after the last check it shows."""
    of_page = [item for item in items if item.path.parent == FOLDER and item.path.name == PAGE_TEST]
    if of_page:
        rest = [item for item in items if item not in of_page]
        last = max((at for at, item in enumerate(rest) if item.path.parent == FOLDER), default=-1)
        items[:] = rest[: last + 1] + of_page + rest[last + 1 :]


def pytest_sessionfinish(session, exitstatus):
    if WRITE in os.environ and exitstatus == 0:
        PAGE.write_text(page(session.config.stash[RECORDER]), encoding="utf-8")
