"""Re-run every workbook and store its outputs in one normal form, so that diffs stay small.

python -m tests.workbooks.refresh           write the fresh outputs
python -m tests.workbooks.refresh --check   write nothing; end with 1 if any would change
"""

import sys
from pathlib import Path
from typing import Any

import nbformat
from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient

FOLDER = Path(__file__).resolve().parents[2] / "workbooks"
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
KEPT_METADATA = ("tags", "jupyter")


class ThisPython(KernelSpecManager):
    """Run the interpreter that runs this script; no kernel need be installed."""

    def get_kernel_spec(self, kernel_name: str) -> KernelSpec:  # noqa: ARG002  (the base's signature)
        return KernelSpec(
            argv=[sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
            display_name="Python 3",
            language="python",
        )


class Kernels(AsyncKernelManager):
    """Start kernels of this interpreter only."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(kernel_spec_manager=ThisPython(), **settings)


def normalised(book: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """Number the cells 1 to n, drop timestamps and live widgets, keep their static twins."""
    book.nbformat, book.nbformat_minor = 4, 5
    book.metadata = {
        "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"},
        "language_info": {"name": "python"},
    }
    count = 0
    for number, cell in enumerate(book.cells):
        cell.id = f"cell-{number:02d}"
        cell.metadata = {k: v for k, v in cell.metadata.items() if k in KEPT_METADATA}
        if cell.cell_type == "code":
            count += 1
            cell.execution_count = count
            for output in cell.outputs:
                _normalise_output(output, count)
    return book


def _normalise_output(output: Any, count: int) -> None:
    if "execution_count" in output:
        output.execution_count = count
    if "data" in output:
        output.metadata = {}
        if len(output.data) > 1:
            output.data.pop(WIDGET_VIEW, None)


def refreshed(path: Path) -> str:
    """Run one workbook from top to bottom and give its new text."""
    book = nbformat.reads(path.read_text(encoding="utf-8"), 4)
    client = NotebookClient(
        book,
        timeout=300,
        store_widget_state=False,
        kernel_manager_class=Kernels,
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    return str(nbformat.writes(normalised(book))) + "\n"


def main(arguments: list[str]) -> int:
    check = "--check" in arguments
    stale = 0
    for path in sorted(FOLDER.glob("*.ipynb")):
        new = refreshed(path)
        changed = new != path.read_text(encoding="utf-8")
        stale += changed
        print(f"{path.name}: {'changed' if changed else 'as stored'}")
        if changed and not check:
            path.write_text(new, encoding="utf-8")
    return 1 if check and stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
