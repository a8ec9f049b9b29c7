"""The compiled functions kept on disk are those of the source as it stands."""

import ast
import hashlib
from pathlib import Path

import pytest

import pvkit.electrical

FOLDER = Path(pvkit.electrical.__file__).parent
KERNELS = sorted(FOLDER.glob("*_kernel.py"))


def built_on(path):
    """Give a digest of the kernels a kernel imports, and of those that they import."""
    text = "".join(other.read_text(encoding="utf-8") for other in sorted(imported(path)))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def imported(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [
        n.module.rsplit(".", 1)[1]
        for n in ast.walk(tree)
        if isinstance(n, ast.ImportFrom) and (n.module or "").startswith("pvkit.electrical.")
    ]
    return {FOLDER / f"{name}.py" for name in names if name.endswith("_kernel")}


# numba keeps a compiled function until its own file changes, and does not notice a change in the
# functions it calls. So each kernel carries a digest of the kernels below it, and a change below
# changes its file as well.
@pytest.mark.parametrize("path", KERNELS, ids=lambda path: path.stem)
def test_a_kernel_carries_the_digest_of_those_it_is_built_on(path):
    below = imported(path)
    if below:
        line = f'BUILT_ON = "{built_on(path)}"'
        assert line in path.read_text(encoding="utf-8"), f"{path.name}: write {line}"
