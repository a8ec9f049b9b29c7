"""The shade workbook's panel: move what stands in the light, see the string and the verdict."""

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from pvkit.errors import PvkitError
from pvkit.present.controls import changes
from pvkit.present.pages import error_html, sentence_html
from pvkit.present.rows import LABEL_WIDTH, Labeller, Row, show_chart
from pvkit.present.shade_controls import shade_controls
from pvkit.present.shade_pages import shade_figures_html, shade_twin_html
from pvkit.present.shade_pictures import SHADE_PICTURES, Scene
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.moment import sunniest_moment
from pvkit.study.study import Study

_BUSY = "Working out every half-hour of the year …"


class ShadePanel:
    """Pick a site, move chimney and panels, choose an hour, see what shade costs.

    Parameters
    ----------
    site : a sample's name or a site file
    month, hour : what the pictures of one moment show first, local clock

    Examples
    --------
    >>> panel = ShadePanel("chimney_and_birch")
    >>> panel.say().startswith("Sample: tiled roof with a chimney and a birch: a plain string")
    True
    """

    def __init__(self, site: str, month: int = 3, hour: int = 15) -> None:
        self._study = Study(load_site(site))
        self.answer = self._study.estimate()
        found = shade_controls(self._study.site)
        self.rows = {control.key: Row(control, self._moved) for control in found}
        for row in self.rows.values():
            if hasattr(row.field, "continuous_update"):
                row.field.continuous_update = False  # a year of shade is worked out anew
        self._month = self._slider("Month", month, 1, 12)
        self._hour = self._slider("Hour, local clock", hour, 4, 21)
        self._picture = w.Dropdown(
            options=list(SHADE_PICTURES), value=next(iter(SHADE_PICTURES)), description="Picture",
            style={"description_width": "60px"}, layout=w.Layout(width="98%"),
        )  # fmt: skip
        self._picture.observe(lambda _: self._safely(self._draw), "value")
        self._figures, self._words, self._message = w.HTML(), w.HTML(), w.HTML()
        self._chart = w.Output(layout=w.Layout(min_height="305px", width="100%"))
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        heading = w.HTML("<h3 style='margin:2px 0 0;font-size:1em'>One moment</h3>")
        left = w.VBox([*(row.box for row in self.rows.values()), heading, self._month, self._hour])
        right = w.VBox([self._figures, self._words, self._message, self._picture, self._chart])
        grid = w.GridBox(
            [left, right],
            layout=w.Layout(grid_template_columns="minmax(390px, 2fr) minmax(0, 3fr)",
                            grid_gap="8px 18px", width="100%"),
        )  # fmt: skip
        return Twin(w.VBox([Labeller(), grid]), lambda: shade_twin_html(self.answer), self.say)

    def set(self, key: str, value: Any) -> None:
        """Move one control, as a user would, by its dotted key."""
        self.rows[key].field.value = value

    def say(self) -> str:
        """Give the panel's answer in one line."""
        energy = self.answer.wiring.energy
        return (
            f"{self.answer.site.site.name}: a plain string makes {energy.string_kwh:,.0f} kWh, "
            f"optimisers {energy.optimiser_kwh:,.0f} kWh, without any shade "
            f"{energy.unshaded_kwh:,.0f} kWh. {self.answer.wiring.verdict}"
        )

    def _slider(self, label: str, value: int, low: int, high: int) -> Any:
        slider = w.IntSlider(
            value=value, min=low, max=high, description=label, tooltip=label,
            style={"description_width": LABEL_WIDTH}, layout=w.Layout(width="98%"),
        )  # fmt: skip
        slider.observe(lambda _: self._safely(self._draw), "value")
        return slider

    def _moved(self, _: Row) -> None:
        self._safely(self._run)

    def _run(self) -> None:
        self._message.value = sentence_html(_BUSY)
        values = {row.control: row.field.value for row in self.rows.values()}
        asked = changes(values, self._study.site)
        self.answer = (self._study.change(asked) if asked else self._study).estimate()
        self._draw()

    def _draw(self) -> None:
        moment = sunniest_moment(self.answer.stages, self._month.value, self._hour.value)
        scene = Scene(self.answer, moment, self._month.value, self._hour.value)
        self._figures.value = shade_figures_html(self.answer)
        figure, words = SHADE_PICTURES[self._picture.value](scene)
        self._words.value = sentence_html(words)
        show_chart(self._chart, figure)
        self._message.value = ""

    def _safely(self, act: Callable[[], None]) -> None:
        """Run a callback; what a person caused is shown in the panel, not lost in a log."""
        try:
            act()
        except PvkitError as error:
            self._message.value = error_html(str(error))
