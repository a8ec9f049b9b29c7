"""Where the workbooks are, in an installed package or in a checkout."""

from pathlib import Path


def workbook_files() -> tuple[Path, ...]:
    """List the workbooks in the order a job is done.

    Examples
    --------
    >>> workbook_files()[0].name
    '1_customer_scenario.ipynb'
    """
    package = Path(__file__).resolve().parents[1]
    inside = package / "workbooks"
    folder = inside if inside.is_dir() else package.parent / "workbooks"
    return tuple(sorted(folder.glob("*.ipynb")))
