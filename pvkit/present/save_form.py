"""Keep the case that a panel's controls show as a scenario in a file."""

from collections.abc import Callable, Mapping
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as w

from pvkit.errors import Fault, InputError, PvkitError
from pvkit.present.pages import error_html
from pvkit.present.scenario_file import save_scenario
from pvkit.study.scenario_text import scenario_of

FILE = "scenarios.toml"
LONGEST_NAME = 80
_STYLE = {"description_width": "70px"}


class SaveForm:
    """A file name, a name, and a button that adds the moved controls to that file.

    Parameters
    ----------
    site : gives what ``pvkit compare`` has to be told of the site
    asked : gives the named changes that the controls ask for
    """

    def __init__(self, site: Callable[[], str], asked: Callable[[], Mapping[str, Any]]) -> None:
        self._site, self._asked = site, asked
        words = w.Layout(flex="1 1 auto", width="auto", min_width="0")
        common = {"style": _STYLE, "layout": words, "continuous_update": False}
        self.file = w.Text(value=FILE, description="File", tooltip="Scenario file", **common)
        self.name = w.Text(
            placeholder="a name for this case", description="Name", tooltip="Name of the scenario",
            **common,
        )  # fmt: skip
        self.button = w.Button(
            description="Save as scenario", layout=w.Layout(flex="0 0 auto", width="auto"),
            tooltip="Add the moved controls to the scenario file",
        )  # fmt: skip
        self.said = w.HTML()
        self.button.on_click(lambda _: self.save())
        row = w.HBox([self.name, self.button], layout=w.Layout(width="98%"))
        self.box = w.VBox([w.HBox([self.file], layout=w.Layout(width="98%")), row, self.said])

    def save(self) -> None:
        """Add the case to the file; what goes wrong is said below the button."""
        try:
            self.said.value = self._saved()
        except PvkitError as error:
            self.said.value = error_html(str(error))

    def _saved(self) -> str:
        asked, name = self._asked(), self.name.value.strip()
        path = Path(self.file.value.strip()).expanduser()
        self._check(asked, name, path)
        save_scenario(path, scenario_of(name, asked))
        told = f"pvkit compare {_quoted(self._site())} {_quoted(str(path))}"
        return (
            "<div role='status' style='color:var(--jp-ui-font-color1);line-height:1.4'>Saved "
            f"‘{escape(name)}’ in {escape(str(path.resolve()))}. To compare: "
            f"<code>{escape(told)}</code></div>"
        )

    def _check(self, asked: Mapping[str, Any], name: str, path: Path) -> None:
        faults = []
        if not asked:
            faults.append(Fault("scenario", "found nothing moved", "at least one control moved",
                                "move a control first"))  # fmt: skip
        if not 1 <= len(name) <= LONGEST_NAME:
            found = f"found {len(name)} letters" if name else "found none"
            faults.append(Fault("scenario, name", found, f"text of 1 to {LONGEST_NAME} letters",
                                "write a name beside the button"))  # fmt: skip
        if path.suffix.lower() != ".toml":
            faults.append(Fault("scenario, file", f"found '{self.file.value}'", "a name in .toml",
                                f"name it {FILE}"))  # fmt: skip
        if faults:
            raise InputError(*faults)


def _quoted(word: str) -> str:
    return f'"{word}"' if " " in word else word
