"""A chart on the screen that is redrawn in place, so that it keeps up with a slider."""

from functools import cache
from typing import Any

import anywidget
import traitlets

PLOTLY = "application/vnd.plotly.v1+json"

_SCRIPT = """
const needed = 'chart library please';

// One copy of the library serves the page; the kernel sends it when the first chart asks.
function library(model) {
  if (!window.pvkitLibrary) window.pvkitLibrary = new Promise(done => {
    model.on('msg:custom', (message, buffers) => {
      if (message !== needed) return;
      const hidden = window.define;
      window.define = undefined;
      const script = document.createElement('script');
      script.onload = () => { window.define = hidden; done(window.Plotly); };
      script.src = URL.createObjectURL(new Blob([buffers[0]], {type: 'text/javascript'}));
      document.head.append(script);
    });
    model.send(needed);
  });
  return window.pvkitLibrary;
}

// A trace that says the same as before is handed over as the same object, and not worked out anew.
function kept(traces, before) {
  return traces.map((trace, n) => {
    const text = JSON.stringify(trace);
    return before[n] && before[n].text === text ? before[n] : {text, trace};
  });
}

export default {
  async render({model, el}) {
    let before = [], drawn = false, newer = false, wide = 0;
    const plotly = await library(model);
    const draw = () => {
      const figure = model.get('figure');
      if (!figure.data) { plotly.purge(el); before = []; return; }
      before = kept(figure.data, before);
      wide = el.clientWidth;
      const config = {displaylogo: false, ...figure.config};
      plotly.react(el, before.map(one => one.trace), figure.layout, config);
    };
    // The first figure of a frame is drawn at once, of any that follow within it the last alone.
    const next = () => {
      if (newer) { newer = false; requestAnimationFrame(next); draw(); } else { drawn = false; }
    };
    model.on('change:figure', () => {
      if (drawn) { newer = true; return; }
      drawn = true;
      requestAnimationFrame(next);
      draw();
    });
    const fit = new ResizeObserver(() => {
      if (before.length && el.clientWidth && el.clientWidth !== wide) draw();
    });
    fit.observe(el);
    draw();
    return () => { fit.disconnect(); plotly.purge(el); };
  }
};
"""


@cache
def _library() -> bytes:
    from plotly.offline import get_plotlyjs

    return str(get_plotlyjs()).encode()


class Chart(anywidget.AnyWidget):
    """The place of a chart.

    Parameters
    ----------
    figure : plotly's JSON; empty for none

    Examples
    --------
    >>> chart = Chart()
    >>> chart.figure = {"data": [], "layout": {"height": 200}}
    >>> chart.outputs[0]["data"][PLOTLY]["layout"]
    {'height': 200}
    """

    _esm = _SCRIPT
    figure = traitlets.Dict().tag(sync=True)

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.on_msg(lambda _, message, __: self.send(message, [_library()]))

    @property
    def outputs(self) -> tuple[dict[str, Any], ...]:
        """What is shown, in the form of a notebook's outputs; none clears the chart."""
        if not self.figure:
            return ()
        return ({"output_type": "display_data", "data": {PLOTLY: self.figure}, "metadata": {}},)

    @outputs.setter
    def outputs(self, shown: tuple[dict[str, Any], ...]) -> None:
        self.figure = shown[0]["data"][PLOTLY] if shown else {}
