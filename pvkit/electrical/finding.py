"""One thing looked at in an electrical design: its row on the check sheet, and where it stops."""

from collections.abc import Mapping
from dataclasses import dataclass

from pvkit.errors import Fault
from pvkit.tables import numbers
from pvkit.verdict import CheckRow, Verdict

DATA_SHEET = "the part's data sheet (given in the site file, else an assumption)"
COPPER = "copper as in BS EN 60228 (published)"


@dataclass(frozen=True, slots=True)
class Finding:
    """A row of the check sheet, and the fault that keeps an estimate from being made.

    Sheet and estimate share the computation, so that neither can pass what the other refuses.

    Parameters
    ----------
    row : for the check sheet
    fault : for the estimate; None where the design may be wrong but a year of it can be counted
    """

    row: CheckRow
    fault: Fault | None = None


def where_from(*names: str) -> str:
    """Say where limits and constants came from, each with its kind.

    Examples
    --------
    >>> where_from("supply.highest_v")[-21:]
    'terminals (published)'
    """
    tables = (numbers("limits.toml"), numbers("constants.toml"), numbers("defaults.toml"))
    found = [next(table[name] for table in tables if name in table) for name in names]
    return "; ".join(f"{number.source} ({number.kind})" for number in found)


def line_source(line: Mapping[str, str]) -> str:
    """Say where a line of a published table came from, for tables with a source to each line."""
    return f"{line['source']} ({line['kind']})"


def judged(good: bool, otherwise: Verdict = "fail") -> Verdict:
    """Give ``pass`` for what keeps its limit, else ``fail`` or the word given."""
    return "pass" if good else otherwise
