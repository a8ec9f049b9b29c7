"""Controls on the screen: labelled, with a way back to the surveyed value, and errors shown."""

from collections.abc import Callable
from typing import Any

import anywidget
import ipywidgets as w

from pvkit.present.controls import Control

LABEL_WIDTH = "156px"
PLOTLY = "application/vnd.plotly.v1+json"


class Labeller(anywidget.AnyWidget):
    """Give every slider its visible label as accessible name, and the arrow keys to lists.

    JupyterLab takes the arrow keys for going from cell to cell unless an element asks it not to.
    """

    _esm = """
    export default { render() {
      const keys = 'data-lm-suppress-shortcuts';
      const fix = () => {
        document.querySelectorAll('.widget-slider').forEach(s => {
          const label = s.querySelector('.widget-label'), handle = s.querySelector('[role=slider]');
          if (label && handle && handle.getAttribute('aria-label') !== label.textContent)
            handle.setAttribute('aria-label', label.textContent); });
        document.querySelectorAll('.jupyter-widgets select, .jupyter-widgets input').forEach(e => {
          if (!e.hasAttribute(keys)) e.setAttribute(keys, 'true'); });
      };
      fix();
      const watch = new MutationObserver(fix);
      watch.observe(document.body, {childList: true, subtree: true});
      return () => watch.disconnect();
    } }"""


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
        self.field.value = self.control.surveyed

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
    number = {} if kind is w.IntSlider else {"readout_format": ".1f" if control.step < 1 else ".0f"}
    return kind(
        value=control.surveyed, min=control.low, max=control.high, step=control.step,
        continuous_update=True, **number, **common,
    )  # fmt: skip


def show_chart(output: w.Output, figure: dict[str, Any]) -> None:
    """Put a plotly figure in place of the one before, without a flicker."""
    output.outputs = ({"output_type": "display_data", "data": {PLOTLY: figure}, "metadata": {}},)
