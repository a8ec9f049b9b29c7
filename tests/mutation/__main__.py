"""Change the code in small ways, one at a time, and see whether a test notices.

python -m tests.mutation                  60 seeded changes of pvkit/ledger and pvkit/electrical
python -m tests.mutation --count 100 --seed 2

Each change is made in a copy of the project; the tests of its folder and the outside checks run
until one fails. What no test notices is listed: it is either a gap in the tests or a change that
makes no difference.
"""

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = {"ledger": ("tests/ledger", "tests/published"),
           "electrical": ("tests/electrical", "tests/published")}  # fmt: skip
SWAPS: dict[type, type] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Lt: ast.GtE,
    ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip
OPTIONS = ["-x", "-q", "-p", "no:nbval", "-p", "no:cacheprovider", "-o",
           "addopts=--import-mode=importlib"]  # fmt: skip
LONGEST_S = 240


@dataclass(frozen=True)
class Mutant:
    """One change: where, what was there, and the whole file with it made."""

    path: str
    line: int
    what: str
    text: str


def mutants_of(path: Path) -> list[Mutant]:
    """List every small change that a module allows."""
    source = path.read_text(encoding="utf-8")
    name = str(path.relative_to(ROOT))
    found = []
    for number, node in enumerate(ast.walk(ast.parse(source))):
        for kind in _kinds(node):
            tree = ast.parse(source)
            same = list(ast.walk(tree))[number]
            what = _changed(same, kind)
            found.append(Mutant(name, node.lineno, what, ast.unparse(tree) + "\n"))  # type: ignore[attr-defined]
    return found


def _kinds(node: ast.AST) -> list[str]:
    if isinstance(node, ast.BinOp | ast.BoolOp) and type(node.op) in SWAPS:
        return ["swap"]
    if isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
        return ["swap"]
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        return ["more"]
    return []


def _changed(node: ast.AST, kind: str) -> str:
    before = ast.unparse(node)
    if isinstance(node, ast.Compare):
        node.ops[0] = SWAPS[type(node.ops[0])]()
    elif isinstance(node, ast.BinOp | ast.BoolOp):
        node.op = SWAPS[type(node.op)]()
    elif isinstance(node, ast.Constant) and kind == "more":
        node.value = node.value + 1
    return f"{before}  ->  {ast.unparse(node)}"


def survives(mutant: Mutant, copy: Path) -> bool:
    """Make the change in a copy, run the tests, put the file back; True if none failed."""
    file = copy / mutant.path
    sound = file.read_text(encoding="utf-8")
    file.write_text(mutant.text, encoding="utf-8")
    # Compiled code of the kernels that call a changed one is kept with the old one inside it.
    if mutant.path.endswith("_kernel.py"):
        shutil.rmtree(copy / "cache", ignore_errors=True)
    folder = mutant.path.split("/")[1]
    environment = os.environ | {"PYTHONPATH": str(copy), "NUMBA_CACHE_DIR": str(copy / "cache"),
                                "PYTHONDONTWRITEBYTECODE": "1"}  # fmt: skip
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", *FOLDERS[folder], *OPTIONS],
            cwd=copy, env=environment, capture_output=True, timeout=LONGEST_S, check=False,
        )  # fmt: skip
        return done.returncode == 0
    except subprocess.TimeoutExpired:
        return False
    finally:
        file.write_text(sound, encoding="utf-8")
        if mutant.path.endswith("_kernel.py"):
            shutil.rmtree(copy / "cache", ignore_errors=True)


def main() -> None:
    """Choose, change, test, and list what was not noticed."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    every = [mutant for folder in FOLDERS for path in sorted((ROOT / "pvkit" / folder).glob("*.py"))
             for mutant in mutants_of(path)]  # fmt: skip
    chosen = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    with tempfile.TemporaryDirectory() as place:
        copies = [Path(place) / str(number) for number in range(asked.workers)]
        for copy in copies:
            shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "artefacts"))

        for copy, folder in zip(copies, FOLDERS, strict=False):
            file = next((ROOT / "pvkit" / folder).glob("*.py"))
            name, text = str(file.relative_to(ROOT)), file.read_text(encoding="utf-8")
            if not survives(Mutant(name, 1, "nothing", text), copy):
                sys.exit(f"the tests of pvkit/{folder} fail before anything is changed")

        def work(number: int) -> list[Mutant]:
            mine = chosen[number :: asked.workers]
            left = []
            for mutant in mine:
                alive = survives(mutant, copies[number])
                print("survived" if alive else "killed  ", f"{mutant.path}:{mutant.line}",
                      mutant.what, flush=True)  # fmt: skip
                left += [mutant] if alive else []
            return left

        with ThreadPoolExecutor(asked.workers) as pool:
            left = [mutant for some in pool.map(work, range(asked.workers)) for mutant in some]
    print(f"\n{len(chosen) - len(left)} of {len(chosen)} changes noticed; of {len(every)} possible")


if __name__ == "__main__":
    main()
