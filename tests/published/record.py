"""What the outside checks found, row by row, and the page that shows it.

python -m tests.published.record    run every outside check and write README.md anew
"""

import math
import os
import re
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

FOLDER = Path(__file__).resolve().parent
PAGE = FOLDER / "README.md"
WRITE = "PVKIT_WRITE_PUBLISHED"
KINDS = {
    "published": "a figure printed in the source",
    "recomputed": "a published formula, worked out apart from the package",
    "closed form": "geometry or algebra that anybody can redo by hand",
    "another program": "the same inputs through a program that is not ours",
    "measured": "readings of instruments",
    "from memory": "a figure remembered and not looked up",
}
# Differences smaller than this share of the figure are the arithmetic's own.
NOISE = 1e-9
MOST_DECIMALS = 10
COLUMNS = ("check", "source", "ours", "published", "difference", "kind")


@dataclass(frozen=True)
class Row:
    """One check: its worst value beside the published one.

    Parameters
    ----------
    check : what is compared, in words
    source : the document, then a semicolon and the place in it
    unit : of the values, "" for none
    kind : one of KINDS
    file : the test file it stands in
    ours, published : the two values; ``published`` is the nearer end of a band
    tolerance : how far apart they may be
    band : (lowest, highest) where the source gives a band, else None
    values : how many values were compared
    """

    check: str
    source: str
    unit: str
    kind: str
    file: str
    ours: float
    published: float
    tolerance: float
    band: tuple[float, float] | None = None
    values: int = 1

    @property
    def difference(self):
        """Ours less published, 0 where it is nothing but the arithmetic's own."""
        away = self.ours - self.published
        return 0.0 if abs(away) <= NOISE * max(abs(self.published), 1e-3) else away

    @property
    def strain(self):
        """How much of the tolerance is used."""
        return abs(self.difference) / self.tolerance if self.tolerance else abs(self.difference)

    @property
    def share(self):
        """The difference as a share of the published value."""
        return self.difference / abs(self.published) if self.published else 0.0

    @property
    def decimals(self):
        """Give one more decimal than the tolerance asks for."""
        fine = self.tolerance or NOISE * max(abs(self.published), 1.0)
        return min(max(math.ceil(-math.log10(fine) - 1e-9) + 1, 0), MOST_DECIMALS)

    @property
    def cells(self):
        """Give the row of the page, in the order of COLUMNS."""
        counted = f" ({self.values} values, the worst shown)" if self.values > 1 else ""
        exact = not self.difference and not self.band
        ours = _short(self.ours, self.decimals) if exact else f"{self.ours:.{self.decimals}f}"
        return (
            self.check + counted,
            self.source,
            f"{ours} {self.unit}".strip(),
            self._published(),
            self._difference(),
            self.kind,
        )

    def _published(self):
        ends = self.band or (self.published,)
        return " to ".join(_short(end, self.decimals) for end in ends)

    def _difference(self):
        if not self.difference:
            return "inside" if self.band else "none"
        shown = f"{self.difference:+.{self.decimals}f}"
        if float(shown) == 0.0:
            return f"under {10.0**-self.decimals:.{self.decimals}f}"
        return f"{shown} ({100 * self.share:+.2g} %)" if self.published else shown


class Recorder:
    """The rows of one run; a row of the same check and source takes further values in."""

    def __init__(self):
        self.rows = {}
        self.remarks = {}

    def add(self, row):
        key = (row.check, row.source)
        before = self.rows.get(key)
        if before is None:
            self.rows[key] = row
            return
        assert (before.unit, before.kind, before.file) == (row.unit, row.kind, row.file), key
        worst = row if row.strain > before.strain * (1 + 1e-6) else before
        self.rows[key] = replace(worst, values=before.values + row.values)


class Published:
    """What a test calls: it records the comparison and fails where it is too far off."""

    def __init__(self, recorder, file):
        self._recorder = recorder
        self._file = file

    def __call__(  # noqa: PLR0917  (in the order of the page's columns)
        self, check, source, ours, value, unit, kind, tolerance=0.0, share=0.0
    ):
        """Hold one value or many against the published ones.

        Parameters
        ----------
        tolerance, share : how far apart they may be, in the unit and as a share of the published
            value; the larger counts
        """
        ours, value = np.broadcast_arrays(np.asarray(ours, float), np.asarray(value, float))
        ours, value = ours.ravel(), value.ravel()
        allowed = np.maximum(tolerance, share * np.abs(value))
        assert len(ours) > 0
        assert np.all(np.isfinite(ours)), check
        for one in zip(ours, value, np.broadcast_to(allowed, ours.shape), strict=True):
            self._add(check, source, unit, kind, tuple(float(number) for number in one))
        assert ours.tolist() == [
            pytest.approx(one, abs=max(far, 0.0), rel=1e-12)
            for one, far in zip(value, np.broadcast_to(allowed, ours.shape), strict=True)
        ], check

    def between(self, check, source, ours, lowest, highest, unit, kind):  # noqa: PLR0917  (the same)
        """Hold one value or many against a band."""
        ours = np.atleast_1d(np.asarray(ours, float)).ravel()
        assert len(ours) > 0
        assert lowest <= highest
        for one in ours:
            end = float(np.clip(one, lowest, highest))
            numbers = (float(one), end, (highest - lowest) / 20)
            self._add(check, source, unit, kind, numbers, (float(lowest), float(highest)))
        assert np.all((ours >= lowest) & (ours <= highest)), (check, ours)

    def remark(self, title, text):
        """Put a paragraph under the table."""
        self._recorder.remarks[title] = text

    def _add(self, check, source, unit, kind, numbers, band=None):
        assert kind in KINDS, kind
        assert "|" not in check + source + unit
        assert ";" in source, "a source is a document; and a place in it"
        self._recorder.add(Row(check, source, unit, kind, self._file, *numbers, band))


def page(recorder):
    """Give the page's text."""
    rows = list(recorder.rows.values())
    table = ["| " + " | ".join(COLUMNS) + " |", "|" + " --- |" * len(COLUMNS)]
    table += ["| " + " | ".join(row.cells) + " |" for row in rows]
    remarks = [f"## {title}\n\n{text}" for title, text in recorder.remarks.items()]
    return "\n\n".join([_head(rows), "\n".join(table), *remarks]) + "\n"


def stored():
    """Read the rows of the page as it is kept: check and source to the six cells."""
    lines = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line[:2] == "| "]
    rows = [tuple(cell.strip() for cell in line.strip("|").split("|")) for line in lines[2:]]
    return {(re.sub(r" \(\d+ values.*", "", row[0]), row[1]): row for row in rows}


def stale(row, cells):
    """Say whether a kept row no longer tells what this run found, to the rounding shown."""
    fresh = row.cells
    same = (0, 1, 5) if row.values > 1 else (0, 1, 3, 5)  # of many, another may be as bad
    if any(fresh[at] != cells[at] for at in same):
        return True
    steps = 2 * 10.0**-row.decimals
    if row.values > 1:
        return abs(_first(fresh[4]) - _first(cells[4])) > steps
    return abs(_first(fresh[2]) - _first(cells[2])) > steps


def _head(rows):
    documents = {row.source.split(";")[0].replace(" (secondary copy)", "") for row in rows}
    kinds = "\n".join(_of_kind(kind, [row for row in rows if row.kind == kind]) for kind in KINDS)
    return (
        "# Outside checks\n\n"
        "Made by `python -m tests.published.record` out of a test run, never typed; a test fails"
        " when a row no longer says what the run finds.\n\n"
        f"{len(rows)} checks of {sum(row.values for row in rows)} values against"
        f" {len(documents)} sources. *Difference* is ours less published. Where a check has many"
        " values, the row shows the one that uses most of the tolerance in its test.\n\n" + kinds
    )


def _of_kind(kind, rows):
    meaning = f"- **{kind}**: {KINDS[kind]}; {len(rows)} check{'' if len(rows) == 1 else 's'}"
    exact = [row for row in rows if row.difference and row.published]
    if not exact:
        return meaning
    worst = max(exact, key=lambda row: abs(row.share))
    return f"{meaning}, largest difference {100 * worst.share:+.2g} % ({worst.check})"


def _short(value, decimals):
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _first(cell):
    found = re.match(r"[-+]?[\d.]+", cell)
    return float(found[0]) if found else 0.0


def main():
    """Run the folder's checks with the page to be written."""
    os.environ[WRITE] = "1"
    options = ["-q", "-p", "no:cacheprovider", "-o", "addopts=--import-mode=importlib"]
    return pytest.main([str(FOLDER), *options])


if __name__ == "__main__":
    sys.exit(main())
