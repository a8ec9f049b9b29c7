"""One thing tested when a system is switched on, and whether it stands in the way of the end."""

from dataclasses import dataclass

from pvkit.verdict import CheckRow, Verdict

NOT_RECORDED = "not recorded"


@dataclass(frozen=True, slots=True)
class Outcome:
    """A row of the test report, and why the record is not complete because of it.

    Parameters
    ----------
    row : for the report
    reason : why the record cannot be called complete; "" where nothing stands in the way
    """

    row: CheckRow
    reason: str = ""


def outcome(what: str, value: str, limit: str, verdict: Verdict, source: str) -> Outcome:
    """Give a test that was made; one that failed stands in the way.

    Examples
    --------
    >>> outcome("Polarity", "reversed", "correct", "fail", "").reason
    'Polarity: reversed; allowed: correct'
    """
    row = CheckRow(what, value, limit, verdict, source)
    return Outcome(row, f"{what}: {value}; allowed: {limit}" if verdict == "fail" else "")


def missing(what: str, limit: str, source: str) -> Outcome:
    """Give a test that was not made: no record is complete without it."""
    return Outcome(CheckRow(what, NOT_RECORDED, limit, "fail", source), f"{what}: {NOT_RECORDED}")
