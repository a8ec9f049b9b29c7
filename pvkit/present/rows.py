"""Controls on the screen: labelled, with a way back to the surveyed value, and errors shown."""

from collections.abc import Callable
from typing import Any

import anywidget
import ipywidgets as w

from pvkit.present.chart import PLOTLY as PLOTLY
from pvkit.present.chart import Chart
from pvkit.present.controls import Control

LABEL_WIDTH = "156px"
_FINE = 1e-3  # of a step: finer than any value that is put


class Labeller(anywidget.AnyWidget):
    """Give every slider its visible label as accessible name, and other controls their keys.

    The notebook would take arrows, Enter and Space of lists, buttons and ticks for its own.
    """

    _esm = """
    const keys = ['.jupyter-widgets select', '.jupyter-widgets [type=checkbox]',
      '.jupyter-widgets [type=radio]', 'button.jupyter-widgets'].join();
    const fix = () => {
      document.querySelectorAll('.widget-slider').forEach(s => {
        const label = s.querySelector('.widget-label'), handle = s.querySelector('[role=slider]');
        if (label && handle && handle.getAttribute('aria-label') !== label.textContent)
          handle.setAttribute('aria-label', label.textContent); });
    };
    const own = e => {
      if (e.target.matches(keys)) e.target.dataset.lmSuppressShortcuts = 'true'; };
    // One watch serves the page, and looks a few times a second at most.
    export default { render() {
      fix();
      if (window.pvkitLabels) return;
      document.addEventListener('focusin', own);
      let waiting = false;
      window.pvkitLabels = new MutationObserver(() => {
        if (!waiting) { waiting = true; setTimeout(() => { waiting = false; fix(); }, 200); } });
      window.pvkitLabels.observe(document.body, {childList: true, subtree: true});
    } }"""
    # A list's arrow is drawn dark, and would not be seen in the dark theme.
    _css = """
    body[data-jp-theme-light="false"] { --jp-widgets-dropdown-arrow:
      url("data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 18 18'%3E\
%3Cpath d='M5 6 9 10 13 6 14 7 9 12 4 7Z' fill='%23ddd'/%3E%3C/svg%3E"); }"""


class Row:
    """One control on the screen, with a button that goes back to the surveyed value."""

    def __init__(self, control: Control, moved: Callable[["Row"], None]) -> None:
        self.control = control
        self.field = _field(control)
        self._back = w.Button(
            description="↺",
            tooltip=f"Back to the surveyed {control.say(control.surveyed)}",
            layout=w.Layout(width="34px", min_width="34px"),
            disabled=True,
        )
        self._back.on_click(lambda _: self.reset())
        self._moved = moved
        self.field.observe(lambda _: self._on_move(), "value")
        self.box = w.HBox([self.field, self._back], layout=w.Layout(width="100%"))

    def _on_move(self) -> None:
        self._back.disabled = not self.changed
        self._moved(self)

    @property
    def changed(self) -> bool:
        """Whether the control stands elsewhere than surveyed."""
        return self.control.moved(self.field.value)

    def reset(self) -> None:
        """Go back to the surveyed value."""
        self.put(self.control.surveyed)

    def put(self, value: Any) -> None:
        """Set a value that need not lie on the slider's steps.

        The browser moves what lies off the steps it knows, so it is told of a fine step first,
        then of the value, and last of the steps on which that lies.
        """
        field = self.field
        fits = not isinstance(field, w.FloatSlider) or self.control.grid(value) == (
            field.min, field.step)  # fmt: skip
        if fits:
            field.value = value
            return
        field.step = self.control.step * _FINE
        field.value = value
        low, step = self.control.grid(value)
        with field.hold_sync():
            field.min, field.step, field.readout_format = low, step, _readout(step)

    def say(self) -> str:
        """Say where it stands and where it was surveyed."""
        now = self.control.say(self.field.value)
        return f"{now} (surveyed: {self.control.figure(self.control.surveyed)})"


def _field(control: Control) -> Any:
    style = {"description_width": LABEL_WIDTH}
    layout = w.Layout(flex="1 1 auto", width="auto", min_width="0")
    common = {
        "description": control.label,
        "tooltip": control.label,
        "style": style,
        "layout": layout,
    }
    if isinstance(control.surveyed, bool):
        return w.Checkbox(value=control.surveyed, indent=False, **common)
    if control.choices:
        options = [(words, key) for key, words in control.choices]
        return w.Dropdown(options=options, value=control.surveyed, **common)
    kind = w.IntSlider if isinstance(control.surveyed, int) else w.FloatSlider
    low, step = (control.low, control.step) if kind is w.IntSlider else control.grid(
        control.surveyed)  # fmt: skip
    number = {} if kind is w.IntSlider else {"readout_format": _readout(step)}
    return kind(
        value=control.surveyed, min=low, max=control.high, step=step, continuous_update=True,
        **number, **common,
    )  # fmt: skip


def _readout(step: float) -> str:
    """Give as many decimals as a slider's step asks for: none, one, two or three."""
    return ".0f" if step >= 1 else ".1f" if step >= 0.1 else ".2f" if step >= 0.05 else ".3f"


def show_chart(chart: Chart, figure: dict[str, Any]) -> None:
    """Put a plotly figure in place of the one before, without a flicker."""
    chart.figure = figure
