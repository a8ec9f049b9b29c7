"""The money workbook's panel: prices, loan, years, grid and doubts under controls."""

from pathlib import Path
from typing import Any

import ipywidgets as w

from pvkit.present.controls import changed_because
from pvkit.present.doubt_pictures import COMPARE, compare_picture
from pvkit.present.live import LivePanel, chart_place, heading, pick, two_columns
from pvkit.present.money_controls import (
    counted_doubts,
    doubt_changes,
    money_changes,
    money_controls,
)
from pvkit.present.money_pages import (
    comparison_html,
    loan_words,
    money_headlines,
    money_likely,
)
from pvkit.present.money_views import MONEY_PICTURES, QUESTIONS, SLOW, drawn_html, drawn_json
from pvkit.present.pages import cards_html, caution_html, figures_twin_html, sentence_html
from pvkit.present.picture import Picture, Smalls, Spans
from pvkit.present.range_words import range_sentence
from pvkit.present.rest import Rest
from pvkit.present.rows import Row, show_chart
from pvkit.present.save_form import SaveForm
from pvkit.present.twin import Twin
from pvkit.present.words import what_changed
from pvkit.site.reader import load_site
from pvkit.study.comparison import Comparison, compare
from pvkit.study.doubt_sizes import WORDS
from pvkit.study.scenario_text import scenario_of
from pvkit.study.scenarios import load_scenarios
from pvkit.study.study import Study

NOW = "as the controls stand"
CASES = "Drawing thousands of cases to see how sure this is …"
DOUBTS = "Doubts that are counted"
NEWER = "the brighter light of recent records"


class MoneyPanel(LivePanel):
    """Move prices, loan, rates, grid and doubts; see what it earns, avoids, and how sure that is.

    Parameters
    ----------
    site : a sample's name or a site file
    scenarios : a scenario file whose cases are set beside this one

    Examples
    --------
    >>> panel = MoneyPanel("south_family_home")
    >>> before = panel.answer.npv_gbp
    >>> panel.set("tariff.export_gbp_per_kwh", 20.0)
    >>> panel.answer.npv_gbp > before
    True
    """

    def __init__(self, site: str, scenarios: str | Path | None = None) -> None:
        super().__init__()
        self._named, self._study = str(site), Study(load_site(site))
        self._others = () if scenarios is None else load_scenarios(scenarios)
        self._surveyed = self.answer = self._study.estimate()
        self._headings = money_controls(self._study.site)
        self.rows = self._rows([c for group in self._headings.values() for c in group])
        self.doubts = {name: self._tick(WORDS[name], on)
                       for name, on in counted_doubts(self._study.site).items()}  # fmt: skip
        self.newer = self._tick(NEWER, self._study.site.doubt.newer_light)
        self.picture = pick("Picture", QUESTIONS, "The question that the picture answers")
        self.picture.observe(lambda _: self._safely(self._draw), "value")
        self._figures, self._sentence, self._sure = w.HTML(), w.HTML(), w.HTML()
        self._chart, self._table, self._cautions = chart_place(), w.HTML(), w.HTML()
        self.saving = SaveForm(lambda: self._named, self._asked)
        self._rest = Rest(lambda: self._safely(self._work_out))
        self._known: dict[str, tuple[str, ...]] = {}
        self._file_cases: Comparison | None = None
        self._why = ""
        self._draw()
        self.settle()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table and picture when only opened."""
        left: list[Any] = []
        for words, group in self._headings.items():
            left += [heading(words), *(self.rows[control.key].box for control in group)]
        left += [*self._folded(), heading("Keep this case"), self.saving.box]
        right = [self._figures, self._message, self._sentence, self.picture, self._chart,
                 self._table, self._sure, self._cautions]  # fmt: skip
        return two_columns(left, right, self._twin, self.say)

    def say(self) -> str:
        """Give the panel's answer in one line."""
        figures = "; ".join(
            f"{head.label.lower()} {head.figure}" for head in money_headlines(self.answer)
        )
        return f"{self.answer.site.site.name}: {figures}. {range_sentence(self.answer)}"

    def settle(self) -> None:
        """Work out what waits for a rest: ranges, and the pictures drawn from them."""
        self._rest.now()

    def _folded(self) -> tuple[Any, Any]:
        """Give the ticks of the doubts, out of the way until a button shows them."""
        ticks = [*self.doubts.values()]
        ticks += [self.newer] if self._study.site.weather.source == "region" else []
        grid = w.GridBox(
            ticks, layout=w.Layout(grid_template_columns="1fr 1fr", width="100%", display="none")
        )
        button = w.ToggleButton(description=DOUBTS, tooltip=DOUBTS,
                                layout=w.Layout(width="auto"))  # fmt: skip
        button.observe(
            lambda change: setattr(grid.layout, "display", "grid" if change["new"] else "none"),
            "value",
        )
        return button, grid

    def _tick(self, words: str, on: bool) -> Any:
        tick = w.Checkbox(value=on, description=words, tooltip=words, indent=False,
                          layout=w.Layout(width="98%"))  # fmt: skip
        tick.observe(lambda _: self._safely(self._run), "value")
        return tick

    def _asked(self) -> dict[str, Any]:
        site = self._study.site
        values = {row.control: row.field.value for row in self.rows.values()}
        counted = {name: tick.value for name, tick in self.doubts.items()}
        found = money_changes(values, site) | doubt_changes(counted, site)
        moved = self.newer.value != site.doubt.newer_light
        return found | ({"doubt.newer_light": self.newer.value} if moved else {})

    def _moved(self, row: Row) -> None:
        self._why = changed_because(row.control, self._last.get(row.control.key), row.field.value)
        self._safely(self._run)

    def _draw(self) -> None:
        self._last = {key: row.field.value for key, row in self.rows.items()}
        self._case = repr(sorted(self._asked().items(), key=str))
        moved = tuple(row.say() for row in self.rows.values() if row.changed)
        changed = what_changed(self._surveyed, self.answer, moved, self._why if moved else "")
        self._sentence.value = sentence_html(changed + loan_words(self.answer))
        self._cautions.value = caution_html(self.answer)
        self._message.value = ""
        self._show_figures()
        if self.picture.value in SLOW:
            self._sure.value = sentence_html(CASES)
            self._rest.ask()
        else:
            self._show(MONEY_PICTURES[self.picture.value](self.answer))

    def _show_figures(self) -> None:
        known = self._known.get(self._case)
        pairs = zip(money_headlines(self.answer), money_headlines(self._surveyed), strict=True)
        self._figures.value = cards_html(list(pairs), known)
        self._sure.value = sentence_html(CASES if known is None else range_sentence(self.answer))
        if known is None:
            self._rest.ask()

    def _work_out(self) -> None:
        """Draw the cases, then show all that rests on them."""
        self._known[self._case] = money_likely(self.answer)
        self._show_figures()
        question = self.picture.value
        if question == COMPARE:
            self._compare()
        elif question in SLOW:
            self._show(MONEY_PICTURES[question](self.answer))

    def _show(self, picture: Picture | Spans | Smalls) -> None:
        moved = self.answer is not self._surveyed and isinstance(picture, Picture)
        faint = MONEY_PICTURES[self.picture.value](self._surveyed) if moved else None
        show_chart(self._chart, drawn_json(picture, faint if isinstance(faint, Picture) else None))
        self._table.value = ""

    def _compare(self) -> None:
        found = self.comparison()
        show_chart(self._chart, drawn_json(compare_picture(found)))
        self._table.value = comparison_html(found)

    def comparison(self) -> Comparison:
        """Set the surveyed case, that of the controls and those of the file side by side."""
        if self._file_cases is None:
            self._file_cases = compare(self._study, self._others)
        known, asked = self._file_cases, self._asked()
        if not asked:
            return known
        now = compare(self._study, [scenario_of(NOW, asked)])
        columns = (known.columns[0], now.columns[1], *known.columns[1:])
        return Comparison(columns, (*now.notes, *known.notes))

    def _twin(self) -> str:
        self.settle()
        found = money_headlines(self.answer)
        table = figures_twin_html(self.answer, found, money_likely(self.answer))
        question = self.picture.value
        if question == COMPARE:
            return table + drawn_html(compare_picture(self.comparison()))
        return table + drawn_html(MONEY_PICTURES[question](self.answer))
