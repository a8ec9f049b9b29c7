"""Keep a scenario in a scenario file."""

from pathlib import Path

from pvkit.errors import Fault, InputError
from pvkit.present.files import write_text
from pvkit.site.toml_file import text_of
from pvkit.study.scenario_text import scenario_text
from pvkit.study.scenarios import KIND, Scenario, load_scenarios


def save_scenario(path: Path, scenario: Scenario) -> None:
    """Add a scenario at the end of a file, or begin one.

    Parameters
    ----------
    path : the scenario file; what stands in it is kept as it is
    scenario : its name must be new to the file

    Raises
    ------
    InputError
        If the file is no scenario file, knows the name already, or cannot be written.
    """
    before = ""
    if path.exists():
        known = [each.name for each in load_scenarios(path)]
        if scenario.name in known:
            found = f"found '{scenario.name}' there already"
            raise InputError(
                Fault(path.name, found, "a new name", "give the scenario another name")
            )
        before = text_of(path, KIND).rstrip("\n") + "\n\n"
    write_text(path, before + scenario_text(scenario))
