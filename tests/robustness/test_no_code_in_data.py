"""What a person brings is data, never code: nothing in the kit runs text or unpacks objects."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "pvkit"
MODULES = sorted(PACKAGE.rglob("*.py"))
# Names that run text, or modules that run programs or make objects of bytes.
NEVER_CALLED = {"eval", "exec", "compile", "__import__", "breakpoint", "input"}
NEVER_IMPORTED = {
    "pickle", "cPickle", "dill", "cloudpickle", "joblib", "marshal", "shelve", "yaml", "code",
    "codeop", "subprocess", "pty", "runpy", "ctypes", "cffi",
}  # fmt: skip
NEVER_ASKED = {
    "read_pickle", "to_pickle", "load_module", "literal_eval", "system", "popen", "from_string",
}  # fmt: skip


def found_in(tree: ast.AST) -> list[str]:
    """List what a module does that it never should."""
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [a.name for a in node.names if a.name.split(".")[0] in NEVER_IMPORTED]
        elif isinstance(node, ast.ImportFrom):
            found += [node.module or ""] * ((node.module or "").split(".")[0] in NEVER_IMPORTED)
        elif isinstance(node, ast.Name) and node.id in NEVER_CALLED:
            found.append(node.id)
        elif isinstance(node, ast.Attribute) and node.attr in NEVER_ASKED:
            found.append(ast.unparse(node))
        elif isinstance(node, ast.keyword) and node.arg == "allow_pickle":
            found.append("allow_pickle")
        elif isinstance(node, ast.keyword) and node.arg == "shell":
            found.append("shell")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_module_runs_text_or_unpacks_objects(path):
    assert found_in(ast.parse(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "code",
    ["eval(text)", "import pickle", "from yaml import load", "pd.read_pickle(file)",
     "np.load(file, allow_pickle=True)", "run(words, shell=True)", "run = exec",
     "environment.from_string(text)"],
)  # fmt: skip
def test_the_search_finds_each_kind(code):
    assert found_in(ast.parse(code))


def test_templates_come_from_the_package_and_escape_everything():
    from pvkit.present.templates_folder import environment

    assert environment().autoescape is True
    marks = [path for path in MODULES if "Markup(" in path.read_text(encoding="utf-8")]
    assert marks
    templates = (PACKAGE / "present" / "templates").glob("*.j2")
    assert not [path.name for path in templates if "|safe" in path.read_text().replace(" ", "")]
