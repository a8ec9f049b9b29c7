"""The flat roof's workbook in a real JupyterLab."""

import pytest

pytestmark = pytest.mark.browser
BOOK = "5_flat_roof_layout_and_ballast.ipynb"
PUT = """theme => fetch('/lab/api/settings/@jupyterlab/apputils-extension:themes', {method: 'PUT',
 headers: {'X-XSRFToken': (document.cookie.match(/_xsrf=([^;]*)/) || [])[1] || ''},
 body: JSON.stringify({raw: JSON.stringify({theme: theme})})}).then(r => r.status)"""


def test_look(open_book, artefacts):
    book = open_book(BOOK)
    for mode in ("light", "dark"):
        page = book.page
        first = page.get_by_role("status").filter(has_text="Fit on this roof").first
        first.wait_for(timeout=90_000)
        page.wait_for_timeout(6000)
        page.get_by_label("Controls").scroll_into_view_if_needed()
        page.evaluate("() => document.querySelector('.jp-WindowedPanel-outer').scrollBy(0, 330)")
        page.wait_for_timeout(1500)
        for n in range(4):
            page.get_by_label("Picture").select_option(index=n)
            page.wait_for_timeout(3500)
            page.screenshot(path=artefacts / f"workbook_5_{mode}{n}.png")
        page.get_by_label("Controls").select_option(index=1)
        page.wait_for_timeout(1000)
        page.get_by_label("Coefficient from").select_option("a figure of my own, below")
        page.wait_for_timeout(1000)
        page.screenshot(path=artefacts / f"workbook_5_{mode}4.png")
        page.get_by_label("Coefficient from").select_option("caution, by how the rows are held")
        page.wait_for_timeout(1000)
        page.screenshot(path=artefacts / f"workbook_5_{mode}5.png")
        page.get_by_label("Controls").select_option(index=2)
        page.wait_for_timeout(1000)
        page.screenshot(path=artefacts / f"workbook_5_{mode}6.png")
        print(book.errors, book.strangers)
        if mode == "light":
            print(page.evaluate(PUT, "JupyterLab Dark"))
            book = open_book(BOOK)
