"""The scenario panel of the first workbook: controls, four figures, one picture, one sentence."""

from collections.abc import Mapping
from typing import Any

import ipywidgets as w

from pvkit.present.controls import GROUPS, changed_because, controls
from pvkit.present.headlines import likely
from pvkit.present.live import LivePanel, chart_place, heading, pick, two_columns
from pvkit.present.pages import caution_html, headline_html, sentence_html, twin_html
from pvkit.present.pictures import PICTURES, WHERE
from pvkit.present.rest import Rest
from pvkit.present.rows import LABEL_WIDTH, Row, show_chart
from pvkit.present.save_form import SaveForm
from pvkit.present.screen_charts import picture_json
from pvkit.present.standard_pages import standard_html
from pvkit.present.twin import Twin
from pvkit.present.words import what_changed
from pvkit.site.reader import load_site
from pvkit.site.samples import sample_sites
from pvkit.study.study import Study


class ScenarioPanel(LivePanel):
    """Pick a site, move its controls, see the answer.

    Parameters
    ----------
    site : a sample's name or a site file to start with

    Examples
    --------
    >>> panel = ScenarioPanel("bungalow_extension")
    >>> panel.set("array.main.count", 4)
    >>> panel.answer.stages.site.count(panel.answer.site.array[0])
    4
    """

    def __init__(self, site: str) -> None:
        super().__init__()
        names = [sample.name for sample in sample_sites()]
        self._site = w.Combobox(
            value=site, options=names, description="Site file", continuous_update=False,
            style={"description_width": "70px"}, layout=w.Layout(width="98%"),
            tooltip="A sample's name, or the path of a site file",
        )  # fmt: skip
        self._face = w.Dropdown(description="Roof face", style={"description_width": LABEL_WIDTH},
                                layout=w.Layout(width="100%"))  # fmt: skip
        self._question = pick("Picture", list(PICTURES), "The question that the picture answers")
        self._question.value = WHERE
        self._figures, self._sentence, self._cautions = w.HTML(), w.HTML(), w.HTML()
        self._chart = chart_place()
        self._standard = w.HTML()
        self._groups = w.VBox(layout=w.Layout(width="100%"))
        self.saving = SaveForm(lambda: self._site.value, self._asked)
        self._rest = Rest(lambda: self._safely(self._work_out_ranges))
        self._likely: dict[str, tuple[str, ...]] = {}
        self._why = ""
        self._open()
        self._site.observe(lambda _: self._safely(self._open), "value")
        self._question.observe(lambda _: self._safely(self._draw), "value")
        self._face.observe(lambda _: self._show_face(), "value")

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        left = [self._site, self._groups, heading("Keep this case"), self.saving.box]
        right = [self._figures, self._sentence, self._message, self._question, self._chart,
                 self._standard, self._cautions]  # fmt: skip
        return two_columns(left, right, self._twin, self.say)

    def say(self) -> str:
        """Give the panel's answer in one line."""
        figures = headline_html(self.answer, self._surveyed, plain=True)
        return f"{self.answer.site.site.name}: {figures}"

    def settle(self) -> None:
        """Work out what waits for a rest: the likely range of each figure."""
        self._rest.now()

    def _twin(self) -> str:
        self.settle()
        picture = PICTURES[self._question.value](self.answer)
        return twin_html(self.answer, picture, self._likely[self._case])

    def _open(self) -> None:
        """Read a site and build its controls."""
        self._busy("Reading the site and its year of light …")
        site = load_site(self._site.value)
        self._study, self._likely = Study(site), {}
        self._surveyed = self.answer = self._study.estimate()
        self.rows = self._rows(controls(site))
        self._face.options = [array.name for array in site.array]
        self._face.value = site.array[0].name
        self._show_face()
        self._why = ""
        self._draw()
        self.settle()

    def _show_face(self) -> None:
        """Lay out the controls, the roof's for the chosen face only."""
        several = len(self._face.options) > 1
        boxes: list[Any] = []
        for group in GROUPS:
            boxes.append(heading(group))
            if group == GROUPS[0] and several:
                boxes.append(self._face)
            boxes += [
                row.box
                for row in self.rows.values()
                if row.control.group == group and row.control.array in ("", self._face.value)
            ]
        self._groups.children = boxes

    def _moved(self, row: Row) -> None:
        was = self._last.get(row.control.key)
        self._why = changed_because(row.control, was, row.field.value)
        self._safely(self._run)

    def _draw(self) -> None:
        self._case = repr(sorted(self._asked().items()))
        self._last: Mapping[str, Any] = {key: row.field.value for key, row in self.rows.items()}
        moved = tuple(row.say() for row in self.rows.values() if row.changed)
        # The picture goes first: it takes the page longest.
        make = PICTURES[self._question.value]
        faint = make(self._surveyed) if moved else None
        show_chart(self._chart, picture_json(make(self.answer), faint))
        self._show_figures()
        self._sentence.value = sentence_html(
            what_changed(self._surveyed, self.answer, moved, self._why if moved else "")
        )
        self._standard.value = standard_html(self.answer.standard)
        self._cautions.value = caution_html(self.answer)
        self._message.value = ""

    def _show_figures(self) -> None:
        """Show the figures; ranges take a moment, so they wait until nobody moves anything."""
        known = self._likely.get(self._case)
        self._figures.value = headline_html(self.answer, self._surveyed, likely=known)
        if known is None:
            self._rest.ask()

    def _work_out_ranges(self) -> None:
        self._likely[self._case] = likely(self.answer)
        self._show_figures()
