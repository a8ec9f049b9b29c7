"""The compiled functions kept on disk are those of the source as it stands."""

import ast
import hashlib
from pathlib import Path

import numba
import pytest

from pvkit.compiled import compiled

ROOT = Path(__file__).resolve().parents[1]
KERNELS = sorted((ROOT / "pvkit").rglob("*_kernel.py"))


def built_on(path):
    """Give a digest of the kernels a kernel imports, and of those that they import."""
    text = "".join(other.read_text(encoding="utf-8") for other in sorted(imported(path)))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def imported(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pvkit."):
            names.add(node.module)
            names |= {f"{node.module}.{name.name}" for name in node.names}
    return {ROOT / f"{name.replace('.', '/')}.py" for name in names if name.endswith("_kernel")}


# numba keeps a compiled function until its own file changes, and does not notice a change in the
# functions it calls. So each kernel carries a digest of the kernels below it, and a change below
# changes its file as well.
@pytest.mark.parametrize("path", KERNELS, ids=lambda path: f"{path.parent.name}.{path.stem}")
def test_a_kernel_carries_the_digest_of_those_it_is_built_on(path):
    below = imported(path)
    if below:
        line = f'BUILT_ON = "{built_on(path)}"'
        assert line in path.read_text(encoding="utf-8"), f"{path.name}: write {line}"


def test_a_place_that_cannot_be_written_to_only_costs_the_kept_code(monkeypatch):
    real = numba.njit

    def nowhere_to_keep(*function, cache=False, **options):
        if cache:
            message = "cannot cache function: no locator available"
            raise RuntimeError(message)
        return real(*function, **options)

    monkeypatch.setattr(numba, "njit", nowhere_to_keep)
    double = compiled(lambda value: 2.0 * value)
    assert double(21.0) == 42.0
