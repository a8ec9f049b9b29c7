"""What every live panel of a workbook shares: controls that change a study, and errors shown."""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from pvkit.errors import PvkitError
from pvkit.present.chart import Chart
from pvkit.present.controls import Control, changes
from pvkit.present.pages import error_html, sentence_html
from pvkit.present.rows import LABEL_WIDTH, Labeller, Row
from pvkit.present.twin import Twin
from pvkit.study.estimate import Estimate
from pvkit.study.study import Study

BUSY = "Working out every half-hour of the year …"


class LivePanel:
    """Controls on the left, an answer on the right; a move changes the study and draws again.

    A panel gives itself ``_study``, ``answer`` and ``rows``, and says how to ``_draw``.
    """

    rows: dict[str, Row]
    answer: Estimate
    _study: Study

    def __init__(self) -> None:
        self._message = w.HTML()

    def set(self, key: str, value: Any) -> None:
        """Move one control, as a user would, by its dotted key and in its own unit."""
        self.rows[key].field.value = value

    def _rows(self, controls: Sequence[Control], *, eager: bool = True) -> dict[str, Row]:
        """Put controls on the screen; unless eager, a slider acts when it is let go."""
        rows = {control.key: Row(control, self._moved) for control in controls}
        for row in rows.values():
            if not eager and hasattr(row.field, "continuous_update"):
                row.field.continuous_update = False
        return rows

    def _moved(self, _: Row) -> None:
        self._safely(self._run)

    def _run(self) -> None:
        """Estimate the site as its controls stand, then draw."""
        asked = self._asked()
        self.answer = (self._study.change(asked) if asked else self._study).estimate()
        self._draw()

    def _asked(self) -> dict[str, Any]:
        """Give the named changes that the controls ask for."""
        values = {row.control: row.field.value for row in self.rows.values()}
        return changes(values, self._study.site)

    def _draw(self) -> None:
        raise NotImplementedError

    def _busy(self, words: str = BUSY) -> None:
        self._message.value = sentence_html(words)

    def _safely(self, act: Callable[[], None]) -> None:
        """Run a callback; what a person caused is shown in the panel, not lost in a log."""
        try:
            act()
        except PvkitError as error:
            self._message.value = error_html(str(error))


def two_columns(
    left: list[Any], right: list[Any], twin: Callable[[], str], say: Callable[[], str]
) -> Twin:
    """Lay out a panel for a notebook cell: live when run, a table and picture when only opened."""
    grid = w.GridBox(
        [w.VBox(left), w.VBox(right)],
        layout=w.Layout(
            grid_template_columns="minmax(390px, 2fr) minmax(0, 3fr)",
            grid_gap="8px 18px", width="100%",
        ),
    )  # fmt: skip
    return Twin(w.VBox([Labeller(), grid]), twin, say)


def heading(words: str) -> w.HTML:
    """Give the heading of a group of controls."""
    return w.HTML(f"<h3 style='margin:2px 0 0;font-size:1em'>{words}</h3>")


def pick(label: str, options: Sequence[str], tooltip: str = "") -> Any:
    """Give a list to pick one from, as wide as its column."""
    return w.Dropdown(
        options=list(options), value=options[0], description=label, tooltip=tooltip or label,
        style={"description_width": "60px"}, layout=w.Layout(width="98%"),
    )  # fmt: skip


def whole_number(label: str, value: int, low: int, high: int) -> Any:
    """Give a slider over whole numbers that changes nothing of the site."""
    return w.IntSlider(
        value=value, min=low, max=high, description=label, tooltip=label,
        style={"description_width": LABEL_WIDTH}, layout=w.Layout(width="98%"),
    )  # fmt: skip


def chart_place() -> Chart:
    """Give the place of a chart, kept tall enough that nothing jumps."""
    return Chart(layout=w.Layout(min_height="305px", width="100%"))


def text_field(label: str, hint: str, value: str = "") -> Any:
    """Give a line of text, which acts when it is left or Enter is pressed."""
    return w.Text(
        value=value, description=label, tooltip=hint, placeholder=hint, continuous_update=False,
        style={"description_width": LABEL_WIDTH}, layout=w.Layout(width="98%"),
    )  # fmt: skip


def file_row(name: Any, act: Callable[[], None]) -> w.HBox:
    """Put a button beside a file's name that writes the file."""
    name.layout = w.Layout(flex="1 1 auto", width="auto", min_width="0")
    button = w.Button(description="Write", tooltip=f"Write: {name.description}",
                      layout=w.Layout(width="70px", min_width="70px"))  # fmt: skip
    button.on_click(lambda _: act())
    return w.HBox([name, button], layout=w.Layout(width="100%"))
