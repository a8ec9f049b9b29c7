"""The money and the carbon of an estimate as plain numbers, words and lists."""

from dataclasses import asdict
from typing import Any

from pvkit.ledger.carbon import CarbonTable
from pvkit.ledger.grid_paths import LABELS
from pvkit.ledger.loan import LoanPlan
from pvkit.study.doubt import Ranges
from pvkit.study.estimate import Estimate


def ledger_facts(estimate: Estimate) -> dict[str, Any]:
    """List what the ledger says beside the plain tables; a missing figure is None."""
    carbon, paper = estimate.stages.carbon, estimate.standard
    return {
        "path_sums": [asdict(each) for each in estimate.path_sums],
        "price_lines": [asdict(line) for line in estimate.price_lines],
        "cash_nominal": estimate.cash_nominal.reset_index().to_dict("records"),
        "loan": None if estimate.loan is None else _loan(estimate.loan),
        "embodied": [asdict(part) for part in carbon.embodied],
        "carbon_payback_years": carbon.carbon_payback_years,
        "carbon_paths": [_path(table) for table in estimate.carbon_paths],
        "standard_estimate": None if paper is None else asdict(paper),
    }


def range_facts(ranges: Ranges) -> dict[str, Any]:
    """List the ranges and what moves them."""
    return asdict(ranges)


def _path(table: CarbonTable) -> dict[str, Any]:
    return {
        "path": table.path,
        "label": LABELS[table.path],
        "first_year_kg": table.first_year_kg,
        "saved_kg": table.saved_kg,
        "carbon_payback_years": table.carbon_payback_years,
    }


def _loan(plan: LoanPlan) -> dict[str, Any]:
    return {
        name: value.tolist() if hasattr(value, "tolist") else value
        for name, value in asdict(plan).items()
    }
