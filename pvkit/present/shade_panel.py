"""The shade workbook's panel: move what stands in the light, see the string and the verdict."""

from typing import Any

import ipywidgets as w

from pvkit.present.live import (
    LivePanel,
    chart_place,
    heading,
    pick,
    two_columns,
    whole_number,
)
from pvkit.present.pages import sentence_html
from pvkit.present.rows import show_chart
from pvkit.present.shade_controls import shade_controls
from pvkit.present.shade_pages import shade_figures_html, shade_twin_html
from pvkit.present.shade_pictures import SHADE_PICTURES, Scene
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.moment import sunniest_moment
from pvkit.study.study import Study


class ShadePanel(LivePanel):
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
        super().__init__()
        self._study = Study(load_site(site))
        self.answer = self._study.estimate()
        # A year of shade is worked out anew: a slider acts when it is let go.
        self.rows = self._rows(shade_controls(self._study.site), eager=False)
        self._month = self._watched(whole_number("Month", month, 1, 12))
        self._hour = self._watched(whole_number("Hour, local clock", hour, 4, 21))
        self._picture = self._watched(pick("Picture", list(SHADE_PICTURES)))
        self._figures, self._words = w.HTML(), w.HTML()
        self._chart = chart_place()
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        rows = (row.box for row in self.rows.values())
        left = [*rows, heading("One moment"), self._month, self._hour]
        right = [self._figures, self._words, self._message, self._picture, self._chart]
        return two_columns(left, right, lambda: shade_twin_html(self.answer), self.say)

    def say(self) -> str:
        """Give the panel's answer in one line."""
        energy = self.answer.wiring.energy
        return (
            f"{self.answer.site.site.name}: a plain string makes {energy.string_kwh:,.0f} kWh, "
            f"optimisers {energy.optimiser_kwh:,.0f} kWh, without any shade "
            f"{energy.unshaded_kwh:,.0f} kWh. {self.answer.wiring.verdict}"
        )

    def _watched(self, field: Any) -> Any:
        field.observe(lambda _: self._safely(self._draw), "value")
        return field

    def _run(self) -> None:
        self._busy()
        super()._run()

    def _draw(self) -> None:
        moment = sunniest_moment(self.answer.stages, self._month.value, self._hour.value)
        scene = Scene(self.answer, moment, self._month.value, self._hour.value)
        self._figures.value = shade_figures_html(self.answer)
        figure, words = SHADE_PICTURES[self._picture.value](scene)
        self._words.value = sentence_html(words)
        show_chart(self._chart, figure)
        self._message.value = ""
