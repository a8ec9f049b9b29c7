"""A button that writes a page to a file, for a browser to show and print."""

from collections.abc import Callable
from html import escape
from pathlib import Path

import ipywidgets as w

from pvkit.errors import PvkitError
from pvkit.present.files import write_text
from pvkit.present.pages import error_html
from pvkit.present.twin import Twin


class PagePanel:
    """A button that writes a page.

    Parameters
    ----------
    label : on the button
    page : gives the page's HTML
    path : where it is written at first; it may be changed in the field beside the button

    Examples
    --------
    >>> PagePanel("Write the page", lambda: "<p>…</p>", "page.html").say()
    'Write the page: page.html'
    """

    def __init__(self, label: str, page: Callable[[], str], path: str | Path) -> None:
        self._page = page
        self._path = w.Text(
            value=str(path), description="File", tooltip="The file's name",
            style={"description_width": "40px"}, layout=w.Layout(width="320px"),
        )  # fmt: skip
        self._button = w.Button(description=label, layout=w.Layout(width="220px"))
        self._button.on_click(lambda _: self.write())
        self._told = w.HTML()

    @property
    def view(self) -> Twin:
        """The button for a notebook cell."""
        row = w.HBox([self._path, self._button])
        return Twin(w.VBox([row, self._told]), lambda: f"<p>{escape(self.say())}</p>", self.say)

    def say(self) -> str:
        """Say what the button would write."""
        return f"{self._button.description}: {self._path.value}"

    def write(self) -> None:
        """Write the page and say where it is."""
        path = Path(self._path.value)
        try:
            write_text(path, self._page())
        except PvkitError as error:
            self._told.value = error_html(str(error))
            return
        self._told.value = (
            "<div role='status' style='color:var(--jp-ui-font-color1)'>Written: "
            f"{escape(str(path.resolve()))}. Open it in a browser and print it.</div>"
        )
