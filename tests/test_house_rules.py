"""Rules of the house that a machine can check: import direction, sizes, pvlib names, README."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest
import typer

ROOT = Path(__file__).resolve().parents[1]
MODULES = sorted((ROOT / "pvkit").rglob("*.py"))
FLOW = ("site", "sky", "roof", "electrical", "home", "ledger", "study", "present", "cli")
LEAVES = ("compiled", "errors", "tables", "verdict")
LONGEST_MODULE_LINES = 250
# Physics and readers only; nothing that wraps or comes from a product or a yield service.
PVLIB_ALLOWED = {
    "atmosphere.alt2pres",
    "atmosphere.get_relative_airmass",
    "iam.martin_ruiz",
    "iam.martin_ruiz_diffuse",
    "iotools.read_epw",
    "iotools.read_tmy3",
    "irradiance.erbs",
    "irradiance.get_extra_radiation",
    "irradiance.perez",
    "pvsystem.calcparams_desoto",
    "pvsystem.max_power_point",
    "pvsystem.singlediode",
    "singlediode.bishop88",
    "singlediode.bishop88_mpp",
    "solarposition.get_solarposition",
    "solarposition.spa_python",
    "temperature.faiman",
}


def _place(path: Path) -> str:
    return path.relative_to(ROOT / "pvkit").parts[0].removesuffix(".py")


def _imported(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = [n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and n.module]
    found += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    return [name for name in found if name.startswith("pvkit.")]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_go_one_way(path):
    here = _place(path)
    if here == "__init__":
        return
    for name in _imported(path):
        there = name.split(".")[1]
        if there in LEAVES:
            continue
        assert here not in LEAVES, f"{path} is a leaf and imports {name}"
        assert FLOW.index(there) <= FLOW.index(here), f"{path} imports {name} against the flow"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_module_holds_one_idea(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE_LINES


def _pvlib_names(path: Path) -> set[str]:
    """List the pvlib functions a module reaches, however it imports them."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found, modules = set(), {"pvlib": ""}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "pvlib":
            inside = (node.module or "").removeprefix("pvlib").lstrip(".")
            for name in node.names:
                if inside:
                    found.add(f"{inside}.{name.name}")
                else:
                    modules[name.asname or name.name] = name.name
    for node in ast.walk(tree):
        dotted = ast.unparse(node) if isinstance(node, ast.Attribute) else ""
        first, _, rest = dotted.partition(".")
        if first in modules and rest:
            found.add(f"{modules[first]}.{rest}".lstrip("."))
    return {name for name in found if name.count(".") == 1}


def test_only_physics_and_readers_of_pvlib_are_used():
    used = set().union(*(_pvlib_names(path) for path in MODULES))
    assert "irradiance.perez" in used
    assert used <= PVLIB_ALLOWED, used - PVLIB_ALLOWED


def test_importing_pvkit_leaves_slow_libraries_alone():
    slow = ["pvlib", "numba", "plotly", "matplotlib", "ipywidgets", "scipy.optimize"]
    code = f"import sys, pvkit; print([m for m in {slow} if m in sys.modules])"
    printed = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert printed.stdout.strip() == "[]"


def test_every_command_has_help_with_an_example_and_stands_in_the_readme():
    from pvkit.cli import app

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    group = typer.main.get_command(app)
    for name, command in group.commands.items():
        assert "Example: pvkit " + name in (command.help or ""), name
        assert f"`pvkit {name}" in readme, name


def test_the_readmes_json_keys_are_those_of_an_estimate():
    from pvkit import estimate, load_site

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    keys = estimate(load_site("south_family_home")).facts().keys()
    listed = readme.split("## What `--json` gives")[1].split("##")[0]
    assert [key for key in keys if not re.search(rf"\b{key}\b", listed)] == []


def test_the_readmes_python_example_runs():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = readme.split("```python\n")[1].split("```")[0]
    exec(compile(block, "README.md", "exec"), {})
