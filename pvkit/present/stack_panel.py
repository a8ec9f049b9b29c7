"""Change what causes a loss, or leave a step out, and see the stack rebuild."""

from html import escape
from typing import Any

import ipywidgets as w

from pvkit.present.live import LivePanel, chart_place, heading, two_columns
from pvkit.present.pages import sentence_html
from pvkit.present.pictures import lost_picture
from pvkit.present.rounding import kwh
from pvkit.present.rows import show_chart
from pvkit.present.screen_charts import picture_json
from pvkit.present.stack_controls import stack_controls
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.study import Study


class StackPanel(LivePanel):
    """Every loss with its cause under a control, and a tick to leave each step out.

    Parameters
    ----------
    site : a sample's name or a site file

    Examples
    --------
    >>> panel = StackPanel("south_family_home")
    >>> before = panel.answer.ac_kwh
    >>> panel.leave_out("dirt")
    >>> panel.answer.ac_kwh > before
    True
    """

    def __init__(self, site: str) -> None:
        super().__init__()
        self._study = Study(load_site(site))
        self._surveyed = self.answer = self._study.estimate()
        self.rows = self._rows(stack_controls(self._study.site))
        self._ticks = {
            step.id: w.Checkbox(description=step.name, tooltip=f"Leave out: {step.name}",
                                indent=False, layout=w.Layout(width="98%"))
            for step in self.answer.stages.output.stack[2:-1]
        }  # fmt: skip
        for tick in self._ticks.values():
            tick.observe(lambda _: self._safely(self._run), "value")
        self._words, self._figure = w.HTML(), w.HTML()
        self._chart = chart_place()
        self._draw()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table when only opened."""
        columns = w.Layout(grid_template_columns="1fr 1fr", width="100%")
        ticks = w.GridBox(list(self._ticks.values()), layout=columns)
        rows = [row.box for row in self.rows.values()]
        left = [heading("What causes it"), *rows, heading("Leave out"), ticks]
        right = [self._figure, self._message, self._words, self._chart]
        return two_columns(left, right, self._twin, self.say)

    def leave_out(self, step: str) -> None:
        """Tick one step, as a user would."""
        self._ticks[step].value = True

    def say(self) -> str:
        """Give the panel's answer in one line."""
        return f"{self.answer.site.site.name}: {self.answer.ac_kwh:,.0f} kWh a year at the meter."

    def _asked(self) -> dict[str, Any]:
        off = [step for step, tick in self._ticks.items() if tick.value]
        return super()._asked() | ({"losses.off": off} if off else {})

    def _draw(self) -> None:
        more = self.answer.ac_kwh - self._surveyed.ac_kwh
        picture = lost_picture(self.answer)
        show_chart(self._chart, picture_json(picture))
        self._figure.value = (
            "<div role='status' aria-live='polite' style='color:var(--jp-ui-font-color1)'>"
            f"<b style='font-size:1.35em'>{kwh(self.answer.ac_kwh)}</b> a year at the meter"
            f"{'' if abs(more) < 1 else f', {more:+,.0f} kWh against the survey'}</div>"
        )
        self._words.value = sentence_html(picture.answer)
        self._message.value = ""

    def _twin(self) -> str:
        rows = "".join(
            f"<tr><th scope='row' style='text-align:left'>{escape(step.name)}</th>"
            f"<td>{step.kwh:+,.0f}</td><td>{step.percent_of_previous:+.1f}</td></tr>"
            for step in self.answer.stages.output.stack
        )
        return (
            f"<table><caption>{escape(self.say())}</caption><thead><tr><th></th><th>kWh</th>"
            f"<th>% of what was left</th></tr></thead><tbody>{rows}</tbody></table>"
            "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
        )
