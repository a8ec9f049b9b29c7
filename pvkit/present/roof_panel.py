"""The flat roof's panel: cover it, see what the wind asks of it, and whom to ask."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as w
import pandas as pd

from pvkit.errors import Fault, InputError, PvkitError
from pvkit.present.live import (
    LivePanel,
    chart_place,
    file_row,
    heading,
    pick,
    text_field,
    two_columns,
)
from pvkit.present.pages import error_html, saved_html, sentence_html
from pvkit.present.roof_controls import (
    MEASURED,
    OWN,
    asked_covering,
    hold_controls,
    holding_keys,
    layout_controls,
    wind_controls,
)
from pvkit.present.roof_files import write_engineer_sheet, write_plan
from pvkit.present.roof_pages import (
    caption_html,
    figures_html,
    moved_words,
    roof_cautions_html,
    roof_line,
    roof_twin_html,
    unknown_html,
)
from pvkit.present.roof_pictures import (
    ROOF_PICTURES,
    RoofScene,
    Shown,
    Under,
    drawing_html,
    drawing_uri,
)
from pvkit.present.rows import LABEL_WIDTH, Row, show_chart
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.site.survey import Site
from pvkit.study.covering import Covering, first_flat_roof, with_margin
from pvkit.study.layout_choice import layout_choices
from pvkit.study.roof_case import RoofCase, most_that_fit, roof_case
from pvkit.study.study import Study

SEARCHING = "Looking for room on the roof and working out its year …"
TRADING = "Filling the roof in a dozen ways and working out the year of each …"
_UNDER: dict[str, Under] = {
    "under each panel": "modules",
    "on trays shared by two": "trays",
}


class FlatRoofPanel(LivePanel):
    """Cover a flat roof and hold it down: figures for a structural engineer, never a proof.

    Parameters
    ----------
    site : a sample's name or a site file
    roof : which flat roof; the first with an array if left out

    Examples
    --------
    >>> panel = FlatRoofPanel("flat_roof_garage")
    >>> panel.set("coefficient", "cautious")
    >>> panel.case.hold.plans[0].coefficient.value, panel.case.count
    (-0.5, 10)
    """

    def __init__(self, site: str, roof: str = "") -> None:
        super().__init__()
        self._study = Study(load_site(site))
        self.roof = roof or first_flat_roof(self._study.site)
        self.case: RoofCase | None = roof_case(self._study, self.roof)
        self._surveyed: RoofCase = self.case
        surveyed = (self._study.site, self.roof)
        # A search takes about half a second: a slider of the layout acts when it is let go.
        self._layout = self._rows(layout_controls(*surveyed), eager=False)
        self._wind = self._rows(wind_controls(*surveyed))
        self._hold = self._rows(hold_controls(*surveyed))
        self.rows = self._layout | self._wind | self._hold
        self._figures, self._words, self._cautions = w.HTML(), w.HTML(), w.HTML()
        self._caption, self._drawing, self._chart = w.HTML(), w.HTML(), chart_place()
        self._source = self._watched(text_field("Its source", "The report that names the figure"))
        self._under = self._watched(_list("Blocks lie", _UNDER))
        self._question = self._watched(pick("Picture", list(ROOF_PICTURES)))
        self._sheet = text_field("Engineer's sheet", "A name in .html or .pdf", "engineer.html")
        self._plan = text_field("Plan to scale", "A name in .svg", "roof_plan.svg")
        self._boxes, self._shown_group = self._groups(), w.VBox(layout=w.Layout(width="100%"))
        self._group = pick("Controls", list(self._boxes))
        self._group.observe(lambda _: self._show_group(), "value")
        self._show_group()
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and the plan when only opened."""
        right = [self._figures, self._words, self._message, self._question, self._caption,
                 self._drawing, self._chart, self._cautions]  # fmt: skip
        return two_columns([self._group, self._shown_group], right, self._twin, self.say)

    def _groups(self) -> dict[str, list[Any]]:
        """Give the controls by group; one group is shown, so that the figures stay in sight."""
        wind = [row.box for row in self._wind.values()]
        hold = [row.box for row in self._hold.values()]
        held = [*hold[:2], self._source, *hold[2:], self._under]
        files = [(self._sheet, self.write_sheet), (self._plan, self.write_plan)]
        return {
            "How the panels lie": [row.box for row in self._layout.values()],
            "Wind, and what holds them": [
                heading("The wind"), *wind, heading("What holds them"), *held
            ],
            "On paper, as it stands": [file_row(name, act) for name, act in files],
        }  # fmt: skip

    def _show_group(self) -> None:
        self._shown_group.children = self._boxes[self._group.value]

    def say(self) -> str:
        """Give the panel's answer in one line."""
        return roof_line(self.case or self._surveyed)

    def write_sheet(self) -> None:
        """Write the engineer's sheet of the case as it stands; the panel says where."""
        self._safely(
            lambda: self._write(
                self._sheet.value,
                lambda site, file: write_engineer_sheet(site, file, self._moves()),
            )
        )

    def write_plan(self) -> None:
        """Write the plan of the case as it stands; the panel says where."""
        self._safely(lambda: self._write(self._plan.value, write_plan))

    def _write(self, name: str, write: Callable[[Site, Path], None]) -> None:
        if self.case is None:
            allowed, fix = "a roof that takes what is asked for", "put the controls right first"
            raise InputError(Fault("file", "found no case to write", allowed, fix))
        file = Path(name.strip())
        write(self.case.site, file)
        self._message.value = saved_html(f"Written: {file.resolve()}.")

    def _moved(self, row: Row) -> None:
        if row.control.key in self._layout:
            self._busy(SEARCHING)
        self._safely(self._run)

    def _run(self) -> None:
        values = {key: row.field.value for key, row in self.rows.items()}
        asked = asked_covering(values)
        moved = any(row.changed for row in self._layout.values())
        self._grey_out(values)
        try:
            keys = holding_keys(self._study.site, self.roof, values, self._source.value)
            self.case = roof_case(self._study, self.roof, asked if moved else None, keys)
        except PvkitError:
            self.case = None
            self._figures.value = unknown_html(self._most(asked))
            self._words.value = self._caption.value = self._drawing.value = ""
            self._chart.outputs = ()
            raise
        self._draw()

    def _most(self, asked: Covering) -> int | None:
        """Say how many would fit where more were asked for; None if that is not known."""
        try:
            return most_that_fit(self._study, self.roof, asked)
        except PvkitError:
            return None

    def _grey_out(self, values: dict[str, Any]) -> None:
        """Grey out what nothing hangs on as the other controls stand."""
        rows = values["arrangement"] == "rows"
        self._layout["spacing"].field.disabled = not rows
        self._layout["limit_deg"].field.disabled = not rows or values["spacing"] != "limit"
        self._layout["count"].field.disabled = values["how_many"] != "count"
        own = values["coefficient"] == OWN
        self._hold["own_coefficient"].field.disabled = self._source.disabled = not own
        self._hold["friction"].field.disabled = values["surface"] != MEASURED
        self._hold["wet"].field.disabled = values["surface"] == MEASURED

    def _draw(self) -> None:
        if self.case is None:
            return
        self._grey_out({key: row.field.value for key, row in self.rows.items()})
        self._figures.value = figures_html(self.case, self._surveyed)
        shown = self._shown()
        self._words.value = sentence_html(moved_words(self.case, self._surveyed, self._moves()))
        self._caption.value = caption_html(shown.words)
        self._drawing.value = drawing_html(shown.svg) if shown.svg else ""
        self._drawing.layout.display = "" if shown.svg else "none"
        self._chart.layout.display = "none" if shown.svg else ""
        if shown.chart:
            show_chart(self._chart, shown.chart)
        self._cautions.value = roof_cautions_html(self.case)
        self._message.value = error_html(self.case.refused) if self.case.refused else ""

    def _moves(self) -> tuple[str, ...]:
        """Say which controls stand elsewhere than surveyed, and where."""
        live = [row for row in self.rows.values() if not row.field.disabled]
        return tuple(row.say() for row in live if row.changed)

    def _shown(self) -> Shown:
        assert self.case is not None
        scene = RoofScene(self.case, _UNDER[self._under.value], self._trade)
        return ROOF_PICTURES[self._question.value](scene)

    def _trade(self) -> pd.DataFrame:
        """Give the table of tilts and pitches for the facing and margin as the controls stand."""
        facing = float(self._layout["surface_azimuth"].field.value)
        margin = round(float(self._layout["margin_m"].field.value), 3)
        key = (self._study.site, self.roof, facing, margin)
        return self._study.store.get("trade", key, lambda: self._traded(facing, margin))

    def _traded(self, facing: float, margin_m: float) -> pd.DataFrame:
        self._busy(TRADING)
        study = Study(with_margin(self._study.site, self.roof, margin_m), store=self._study.store)
        return layout_choices(study, self.roof, facing_deg=facing)

    def _twin(self) -> str:
        case = self.case or self._surveyed
        shown = ROOF_PICTURES["Where do the panels lie?"](RoofScene(case))
        return roof_twin_html(case, shown.words, drawing_uri(shown.svg))

    def _watched(self, field: Any) -> Any:
        field.observe(lambda _: self._safely(self._run), "value")
        return field


def _list(label: str, options: dict[str, Under]) -> Any:
    field = pick(label, list(options))
    field.style = {"description_width": LABEL_WIDTH}
    return field
