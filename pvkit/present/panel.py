"""The scenario panel of the first workbook: controls, four figures, one picture, one sentence."""

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as w

from pvkit.errors import PvkitError
from pvkit.present.controls import GROUPS, Control, changes, controls
from pvkit.present.pages import caution_html, error_html, headline_html, sentence_html, twin_html
from pvkit.present.pictures import PICTURES, WHERE
from pvkit.present.rows import LABEL_WIDTH, Labeller, Row, show_chart
from pvkit.present.screen_charts import picture_json
from pvkit.present.twin import Twin
from pvkit.present.words import what_changed
from pvkit.site.reader import load_site
from pvkit.site.samples import sample_sites
from pvkit.study.estimate import Estimate
from pvkit.study.study import Study


class ScenarioPanel:
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
        names = [sample.name for sample in sample_sites()]
        self._site = w.Combobox(
            value=site, options=names, description="Site file", continuous_update=False,
            style={"description_width": "70px"}, layout=w.Layout(width="98%"),
            tooltip="A sample's name, or the path of a site file",
        )  # fmt: skip
        self._face = w.Dropdown(description="Roof face", style={"description_width": LABEL_WIDTH},
                                layout=w.Layout(width="100%"))  # fmt: skip
        self._question = w.Dropdown(
            options=list(PICTURES), value=WHERE, description="Picture",
            style={"description_width": "60px"}, layout=w.Layout(width="98%"),
            tooltip="The question that the picture answers",
        )  # fmt: skip
        self._figures, self._sentence, self._message = w.HTML(), w.HTML(), w.HTML()
        self._cautions = w.HTML()
        self._chart = w.Output(layout=w.Layout(min_height="305px", width="100%"))
        self._groups = w.VBox(layout=w.Layout(width="100%"))
        self.rows: dict[str, Row] = {}
        self._why = ""
        self._open()
        self._site.observe(lambda _: self._safely(self._open), "value")
        self._question.observe(lambda _: self._safely(self._draw), "value")
        self._face.observe(lambda _: self._show_face(), "value")

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        left = w.VBox([self._site, self._groups])
        right = w.VBox([self._figures, self._sentence, self._message, self._question, self._chart,
                        self._cautions])  # fmt: skip
        grid = w.GridBox(
            [left, right],
            layout=w.Layout(
                grid_template_columns="minmax(390px, 2fr) minmax(0, 3fr)",
                grid_gap="8px 18px", width="100%",
            ),
        )  # fmt: skip
        return Twin(w.VBox([Labeller(), grid]), self._twin, self.say)

    @property
    def answer(self) -> Estimate:
        """The estimate that the panel shows now."""
        return self._now

    def set(self, key: str, value: Any) -> None:
        """Move one control, as a user would, by its dotted key and in its own unit."""
        self.rows[key].field.value = value

    def say(self) -> str:
        """Give the panel's answer in one line."""
        figures = headline_html(self._now, self._surveyed, plain=True)
        return f"{self._now.site.site.name}: {figures}"

    def _twin(self) -> str:
        return twin_html(self._now, PICTURES[self._question.value](self._now))

    def _open(self) -> None:
        """Read a site and build its controls."""
        self._message.value = sentence_html("Reading the site and its year of light …")
        site = load_site(self._site.value)
        self._study = Study(site)
        self._surveyed = self._now = self._study.estimate()
        self.rows = {control.key: Row(control, self._moved) for control in controls(site)}
        self._face.options = [array.name for array in site.array]
        self._face.value = site.array[0].name
        self._show_face()
        self._why = ""
        self._draw()

    def _show_face(self) -> None:
        """Lay out the controls, the roof's for the chosen face only."""
        several = len(self._face.options) > 1
        boxes: list[Any] = []
        for group in GROUPS:
            boxes.append(w.HTML(f"<h3 style='margin:2px 0 0;font-size:1em'>{group}</h3>"))
            if group == GROUPS[0] and several:
                boxes.append(self._face)
            boxes += [
                row.box
                for row in self.rows.values()
                if row.control.group == group and row.control.array in ("", self._face.value)
            ]
        self._groups.children = boxes

    def _moved(self, row: Row) -> None:
        was = self._last.get(row.control.key, row.control.surveyed)
        self._why = _why(row.control, was, row.field.value)
        self._safely(self._run)

    def _run(self) -> None:
        values = {row.control: row.field.value for row in self.rows.values()}
        asked = changes(values, self._study.site)
        self._now = (self._study.change(asked) if asked else self._study).estimate()
        self._draw()

    def _draw(self) -> None:
        self._last: Mapping[str, Any] = {key: row.field.value for key, row in self.rows.items()}
        moved = tuple(row.say() for row in self.rows.values() if row.changed)
        self._figures.value = headline_html(self._now, self._surveyed)
        self._sentence.value = sentence_html(
            what_changed(self._surveyed, self._now, moved, self._why if moved else "")
        )
        make = PICTURES[self._question.value]
        faint = make(self._surveyed) if moved else None
        show_chart(self._chart, picture_json(make(self._now), faint))
        self._cautions.value = caution_html(self._now)
        self._message.value = ""

    def _safely(self, act: Callable[[], None]) -> None:
        """Run a callback; what a person caused is shown in the panel, not lost in a log."""
        try:
            act()
        except PvkitError as error:
            self._message.value = error_html(str(error))


def _why(control: Control, was: Any, now: Any) -> str:
    if isinstance(now, bool) or not isinstance(now, int | float):
        return control.why_more if now is not False else control.why_less
    return control.why_more if now > was else control.why_less
