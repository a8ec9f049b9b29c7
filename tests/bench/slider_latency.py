"""From a slider's move to the changed picture, by the page's own clock, in a real JupyterLab.

python -m tests.bench.slider_latency

A move is one press of an arrow key. Its time runs from the key's event to the frame in which the
picture's last change is painted. A drag is forty places of the mouse within half a second; what is
shown must be that of the last place soon after the button is let go, with no queue of old ones.
"""

import statistics
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from tests.browser.jupyter import (
    WAIT_MS,
    chromium,
    chromium_path,
    copied_workbooks,
    lab_server,
    run_workbook,
)

MOVES = 20
WHERE, EARN = "Where does it go?", "What does it earn?"
# Workbook to its file, words that its figures have, and sliders with the picture they move.
BOOKS: dict[int, tuple[str, str, dict[str, str]]] = {
    1: ("1_customer_scenario.ipynb", "Makes in a year",
        {"Tilt (°)": WHERE, "Direction (° from north)": WHERE, "Yearly use (kWh)": WHERE,
         "Import price (p/kWh)": EARN, "Export price (p/kWh)": EARN}),
    2: ("2_loss_stack.ipynb", "a year at the meter",
        {"Dirt (%)": "", "D.c. cable (m)": "", "A.c. cable (m)": ""}),
    3: ("3_tilt_and_orientation.ipynb", "off best",
        {"A: tilt (°)": "", "A: faces (° from north)": "", "B: tilt (°)": "",
         "B: faces (° from north)": ""}),
}  # fmt: skip
# A picture is ready once no part of its drawing has been touched for a while; it must differ then.
WATCH = """() => {
  const lab = window.latency = {begun: 0, last: 0, changes: 0};
  const charts = () => [...(lab.cell || document).querySelectorAll('.js-plotly-plot .main-svg')];
  lab.drawn = () => charts().map(e => e.innerHTML).join('');
  let waiting = false;
  new MutationObserver(touched => {
    if (waiting || !touched.some(t => t.target.closest && t.target.closest('.js-plotly-plot')))
      return;
    waiting = true; lab.changes += 1;
    requestAnimationFrame(() => setTimeout(() => {
      waiting = false; lab.last = performance.now(); }, 0));
  }).observe(document.body, {childList: true, subtree: true, attributes: true});
  lab.start = () => {
    lab.cell = document.activeElement.closest('.jp-Cell'); lab.shown = lab.drawn();
    lab.last = 0; lab.changes = 0;
  };
  const now = () => { lab.begun = performance.now(); };
  for (const kind of ['keydown', 'mouseup', 'pointerup'])
    document.addEventListener(kind, now, true);
}"""
QUIET = "ms => latency.last > 0 && performance.now() - Math.max(latency.last, latency.begun) > ms"
QUIET_MS = 400


class Latency(NamedTuple):
    """What one slider takes.

    Parameters
    ----------
    moves_ms : of each move
    drag_pictures : changed pictures while it was dragged and after
    drag_settled_ms : from letting go to the last of them
    drag_exact : whether what is shown then is that of the slider's last place
    """

    moves_ms: tuple[float, ...]
    drag_pictures: int
    drag_settled_ms: float
    drag_exact: bool

    @property
    def median_ms(self) -> float:
        """The median of the moves."""
        return statistics.median(self.moves_ms)


@contextmanager
def pages() -> Iterator[tuple[Any, str]]:
    """Start browser and JupyterLab; give a page and the address."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
        folder = Path(place)
        copied_workbooks(folder)
        with lab_server(folder) as lab, chromium(folder / "profile") as browser:
            yield browser.new_page(), lab


def measured(page: Any, lab: str, book: int) -> dict[str, Latency]:
    """Measure the sliders of one workbook."""
    name, shown, sliders = BOOKS[book]
    run_workbook(page, lab, name)
    status = page.get_by_role("status").filter(has_text=shown)
    status.wait_for(timeout=WAIT_MS)
    page.locator("#jp-main-statusbar").get_by_text("| Idle").wait_for(timeout=WAIT_MS)
    page.wait_for_timeout(2000)
    page.evaluate(WATCH)
    found = {}
    for label, picture in sliders.items():
        if picture:
            page.get_by_label("Picture").select_option(picture)
            page.wait_for_timeout(1000)
        found[label] = _slider(page, label, status)
    return found


def _slider(page: Any, label: str, status: Any) -> Latency:
    handle = page.get_by_role("slider", name=label)
    handle.scroll_into_view_if_needed()
    page.locator(".js-plotly-plot .main-svg").first.wait_for()
    handle.focus()
    times = tuple(_move(page, "ArrowRight") for _ in range(MOVES + 1))[1:]
    pictures, settled = _drag(page, handle)
    after = _settled(page, status)
    for key in ("ArrowRight", "ArrowLeft"):
        _move(page, key)
    exact = _settled(page, status) == after
    return Latency(times, pictures, settled, exact)


def _settled(page: Any, status: Any) -> str:
    """Give the figures once they stay as they are; likely ranges come after a rest."""
    text = ""
    for _ in range(10):
        page.wait_for_timeout(1200)
        before, text = text, str(status.inner_text())
        if text == before:
            break
    return text


def _move(page: Any, key: str) -> float:
    page.evaluate("latency.start()")
    page.keyboard.press(key)
    page.wait_for_function(QUIET, arg=QUIET_MS)
    assert page.evaluate("latency.drawn() !== latency.shown"), "the picture has not changed"
    return float(page.evaluate("latency.last - latency.begun"))


def _drag(page: Any, handle: Any) -> tuple[int, float]:
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.evaluate("latency.start()")
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(40):
        page.mouse.move(x - step * 0.5, y)
    page.mouse.up()
    page.wait_for_function(QUIET, arg=2 * QUIET_MS)
    changes = int(page.evaluate("latency.changes"))
    return changes, max(float(page.evaluate("latency.last - latency.begun")), 0.0)


def latencies() -> dict[str, Latency]:
    """Measure workbooks 1, 2 and 3; nothing where there is no Chromium."""
    if chromium_path() is None:
        return {}
    found = {}
    with pages() as (page, lab):
        for book in BOOKS:
            for label, latency in measured(page, lab, book).items():
                found[f"{book}: {label}"] = latency
    return found


def table(found: dict[str, Latency]) -> str:
    """Lay the figures out for reading: each workbook's moves together, then slider by slider."""
    words = "from a move to its picture, by the page's clock (aim 150 or less)"
    lines = [f"{words:66} {'median ms':>10}"]
    for book in BOOKS:
        its = {name: one for name, one in found.items() if name.startswith(f"{book}: ")}
        pooled = statistics.median(ms for one in its.values() for ms in one.moves_ms)
        lines.append(f"  workbook {book}, all its sliders{'':39} {pooled:9.0f}")
        lines += [_row(name.removeprefix(f"{book}: "), one) for name, one in its.items()]
    return "\n".join(lines)


def _row(name: str, one: Latency) -> str:
    end = "the last place shown" if one.drag_exact else "NOT THE LAST PLACE"
    return (
        f"    {name:62} {one.median_ms:10.0f}   worst {max(one.moves_ms):.0f}; fast drag: "
        f"{one.drag_pictures} pictures, still after {one.drag_settled_ms:.0f} ms, {end}"
    )


if __name__ == "__main__":
    print(table(latencies()))
