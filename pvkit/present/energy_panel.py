"""The energy workbook's panel: move the household and its prices, see where every kWh goes."""

from typing import Any

import ipywidgets as w
import pandas as pd

from pvkit.present.energy_changes import energy_changes
from pvkit.present.energy_controls import ORDER, TARIFF, energy_controls, idle_keys
from pvkit.present.energy_pages import (
    bill_words,
    cautions_html,
    change_words,
    diverter_sentence,
    energy_figures,
    energy_twin_html,
    figures_html,
    lines_html,
    price_words,
)
from pvkit.present.energy_pictures import (
    DAY,
    ENERGY_PICTURES,
    SIZES,
    HomeScene,
    month_picture,
)
from pvkit.present.live import LivePanel, chart_place, heading, pick, two_columns
from pvkit.present.pages import sentence_html
from pvkit.present.rest import Rest
from pvkit.present.rows import Row, show_chart
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.battery_sizes import battery_sizes
from pvkit.study.estimate import Estimate
from pvkit.study.home_year import home_year
from pvkit.study.offers import AS_SURVEYED, offer_changes
from pvkit.study.study import Study
from pvkit.study.typical_days import DAY_KINDS

_PRICE, _CAPACITY = "tariff.import_gbp_per_kwh", "battery.capacity_kwh"
_HEADINGS = {
    "home": "The home", "hot_water": "Hot water", "battery": "Battery and car",
    "car": "Battery and car", "tariff": "Prices and the grid", "supply": "Prices and the grid",
}  # fmt: skip
_BUSY_SIZES = "Working out the year with each size of battery …"
_KEPT_SIZES = 8


class EnergyPanel(LivePanel):
    """Demand, hot water, battery, car, order and tariff under the hand, and a year of flows.

    ``year`` is the home's year as the controls stand; :meth:`estimate` adds the years after it.

    Parameters
    ----------
    site : a sample's name or a site file

    Examples
    --------
    >>> panel = EnergyPanel("bungalow_extension")
    >>> panel.set("hot_water.diverter", "none")
    >>> panel.year.cylinder_kwh
    0.0
    """

    def __init__(self, site: str) -> None:
        super().__init__()
        self._study = self._now = Study(load_site(site))
        self.year = self._surveyed = home_year(self._study)
        self.rows = self._rows(energy_controls(self._study.site))
        self._sizes: dict[str, pd.DataFrame] = {}
        self._rest = Rest(lambda: self._safely(self._draw_picture))
        self._guided = False
        self._picture = pick("Picture", list(ENERGY_PICTURES))
        self._day = pick("Day", DAY_KINDS, "The day that the picture shows")
        self._figures, self._words, self._verdict, self._cautions = (w.HTML() for _ in range(4))
        self._prices, self._said = w.HTML(), w.HTML()
        self._chart = chart_place()
        for field in (self._picture, self._day):
            field.observe(lambda _: self._safely(self._draw), "value")
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        right = [self._figures, self._said, self._message, self._picture, self._day, self._words,
                 self._chart, self._verdict, self._cautions]  # fmt: skip
        return two_columns(self._left(), right, self._twin, self.say)

    def estimate(self) -> Estimate:
        """Give the whole answer, its years and all, as the controls stand."""
        return self._now.estimate()

    def say(self) -> str:
        """Give the panel's answer in one line."""
        said = "; ".join(
            f"{head.label[0].lower()}{head.label[1:]} {head.figure}"
            for head in energy_figures(self.year)
        )
        return f"{self.year.site.site.name}: {said}."

    def finish(self) -> None:
        """Draw at once what waits until the controls have come to rest."""
        self._rest.now()

    def _left(self) -> list[Any]:
        """Lay out the controls under their headings."""
        boxes: list[Any] = []
        title = ""
        for key, row in self.rows.items():
            here = title if key == ORDER else _HEADINGS[key.partition(".")[0]]
            if here != title:
                title = here
                boxes.append(heading(title))
            boxes.append(row.box)
        return [*boxes, self._prices]

    def _moved(self, row: Row) -> None:
        if self._guided:
            return
        if row.control.key == TARIFF:
            self._guide_price(row)
        super()._moved(row)

    def _guide_price(self, tariff: Row) -> None:
        """Put the chosen tariff's own price under the price's slider."""
        price, offer = self.rows[_PRICE], tariff.field.value
        changes = offer_changes(self._study.site, offer)
        self._guided = True
        price.put(
            price.control.surveyed if offer == AS_SURVEYED else round(100 * changes[_PRICE], 4)
        )
        self._guided = False

    def _asked(self) -> dict[str, Any]:
        values = {row.control: row.field.value for row in self.rows.values()}
        return energy_changes(values, self._study.site)

    def _run(self) -> None:
        asked = self._asked()
        now = self._study.change(asked) if asked else self._study
        self.year, self._now = home_year(now), now
        self._draw()

    def _draw(self) -> None:
        moved = tuple(row.say() for row in self.rows.values() if row.changed)
        site = self.year.site
        self._hide(idle_keys(site))
        self._figures.value = figures_html(self.year, self._surveyed)
        self._said.value = lines_html(change_words(self._surveyed, self.year, moved))
        self._prices.value = lines_html(price_words(site.tariff), bill_words(self.year))
        self._verdict.value = lines_html(diverter_sentence(self.year))
        self._cautions.value = cautions_html(self.year)
        if self._picture.value == SIZES and self._sizes_key() not in self._sizes:
            self._words.value = sentence_html(_BUSY_SIZES)
            self._rest.ask()
        else:
            self._draw_picture()
        self._message.value = ""

    def _hide(self, idle: frozenset[str]) -> None:
        """Take away what would move nothing."""
        for key, row in self.rows.items():
            row.box.layout.display = "none" if key in idle else None
        self._day.layout.display = None if self._picture.value == DAY else "none"

    def _draw_picture(self) -> None:
        scene = HomeScene(self.year, self._day.value, self._size_table)
        figure, words = ENERGY_PICTURES[self._picture.value](scene)
        self._words.value = sentence_html(words)
        show_chart(self._chart, figure)

    def _sizes_key(self) -> str:
        """Name all that the sweep of sizes hangs on: every control but the size itself."""
        return repr(sorted((k, v) for k, v in self._asked().items() if k != _CAPACITY))

    def _size_table(self) -> pd.DataFrame:
        key = self._sizes_key()
        if key not in self._sizes:
            while len(self._sizes) >= _KEPT_SIZES:
                self._sizes.pop(next(iter(self._sizes)))
            self._sizes[key] = battery_sizes(self._now)
        return self._sizes[key]

    def _twin(self) -> str:
        from pvkit.present.print_charts import picture_data_uri

        picture = month_picture(self.year)
        return energy_twin_html(self.year, picture_data_uri(picture), picture.answer)
