"""A widget with a static twin: what a saved workbook shows before anybody runs it."""

from collections.abc import Callable
from typing import Any

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


class Twin:
    """Show a widget live, and the same answer as a table and text in a saved file.

    Parameters
    ----------
    widget : what a running notebook shows
    html : gives the table (and picture) that a saved notebook shows
    text : gives the answer in one line; nbval compares it
    """

    def __init__(self, widget: Any, html: Callable[[], str], text: Callable[[], str]) -> None:
        self.widget = widget
        self._html = html
        self._text = text

    def __repr__(self) -> str:
        """Say the answer in one line."""
        return self._text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        bundle = dict(self.widget._repr_mimebundle_())
        return {**bundle, "text/html": self._html(), "text/plain": self._text()}
