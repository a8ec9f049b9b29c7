"""Many roofs on the screen: what all of them come to, what a budget buys, which to do first."""

from html import escape
from typing import Any

import numpy as np
import pandas as pd

from pvkit.present import colours
from pvkit.present.rounding import kilograms, kwh, pounds
from pvkit.present.screen_scenes import Line, Mark, curves_json
from pvkit.study.portfolio_totals import Totals, ranking, totals

_CELL = "padding:0 8px;line-height:1.4;text-align:right"
_LEFT = "padding:0 8px;line-height:1.4;text-align:left;font-weight:400"
_SHOWN, _FAULTS_SHOWN = 8, 3


def totals_html(table: pd.DataFrame, budget_gbp: float) -> str:
    """Set all sites beside those that the budget buys, the best first.

    Parameters
    ----------
    table : from :func:`pvkit.study.portfolio.portfolio`
    budget_gbp : what may be spent
    """
    every, bought = totals(table), totals(ranking(table, budget_gbp))
    rows = "".join(
        f"<tr><th scope='row' style='{_LEFT}'>{name}</th><td style='{_CELL}'>{whole}</td>"
        f"<td style='{_CELL}'><b>{part}</b></td></tr>"
        for (name, whole), (_, part) in zip(_lines(every), _lines(bought), strict=True)
    )
    head = "".join(f"<th scope='col' style='{_CELL}'>{name}</th>"
                   for name in ("", "all", f"for {pounds(budget_gbp)}"))  # fmt: skip
    return (
        "<div role='status' aria-live='polite' style='color:var(--jp-ui-font-color1)'>"
        f"<table style='width:100%;font-size:.95em'><thead><tr>{head}</tr></thead>"
        f"<tbody>{rows}</tbody></table></div>"
    )


def _lines(sums: Totals) -> tuple[tuple[str, str], ...]:
    return (
        ("homes", f"{sums.sites - sums.faulty:,}"),
        ("cost", pounds(sums.capital_gbp)),
        ("make in a year", kwh(sums.ac_kwh)),
        ("save in the first year", pounds(sums.first_year_saving_gbp)),
        ("worth beyond their price", pounds(sums.npv_gbp)),
        ("carbon avoided", kilograms(sums.carbon_saved_kgco2e)),
    )


def ranking_html(table: pd.DataFrame, budget_gbp: float) -> str:
    """List the first of those the budget buys, and what could not be estimated."""
    first = ranking(table, budget_gbp).head(_SHOWN)
    columns = (first[name].tolist() for name in ("name", "capital_gbp", "npv_gbp_per_gbp"))
    rows = "".join(
        f"<tr><th scope='row' style='{_LEFT}'>{place}. {escape(name)}</th>"
        f"<td style='{_CELL}'>{pounds(cost)}</td><td style='{_CELL}'>{pounds(back)}</td></tr>"
        for place, (name, cost, back) in enumerate(zip(*columns, strict=True), start=1)
    )
    heads = ("do these first", "costs", "gives back for each £1")
    head = "".join(f"<th scope='col' style='{_CELL if n else _LEFT}'>{name}</th>"
                   for n, name in enumerate(heads))  # fmt: skip
    return (
        "<div style='color:var(--jp-ui-font-color1)'><table style='width:100%;font-size:.9em'>"
        f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>{_faults_html(table)}</div>"
    )


def _faults_html(table: pd.DataFrame) -> str:
    faults = table.loc[table["fault"] != "", "fault"]
    if faults.empty:
        return ""
    items = "".join(f"<li>{escape(fault)}</li>" for fault in faults.head(_FAULTS_SHOWN))
    return (
        f"<details style='font-size:.9em'><summary>Not estimated: {len(faults):,}</summary>"
        f"<ul style='margin:2px 0'>{items}</ul></details>"
    )


def spent_picture(table: pd.DataFrame, budget_gbp: float) -> tuple[dict[str, Any], str]:
    """Draw what is worth beyond its price against what is spent, the best sites first."""
    ranked = ranking(table)
    spent = np.concatenate(([0.0], ranked["spent_gbp"].to_numpy())) / 1000
    worth = np.concatenate(([0.0], ranked["npv_gbp"].cumsum().to_numpy())) / 1000
    bought = len(ranking(table, budget_gbp))
    shown = np.unique(np.append(np.linspace(0, len(ranked), 200).astype(int), bought))
    line = Line("worth", spent[shown].round(2).tolist(), worth[shown].round(2).tolist(),
                colours.MONEY)  # fmt: skip
    mark = Mark("the budget", round(float(spent[bought]), 2), round(float(worth[bought]), 2))
    titles = ("£ thousand spent, the best homes first", "£ thousand beyond the price")
    most = int(worth.argmax())
    words = f"{bought:,} homes for the budget, worth {pounds(worth[bought] * 1000)} beyond it."
    if most < len(ranked):
        words += (
            f" Beyond the first {most:,}, {pounds(spent[most] * 1000)} spent, a home costs more "
            "than it gives back over the years counted."
        )
    words += _never_repaid(table)
    figure = curves_json((line,), (mark,), titles)
    figure["layout"] |= {"showlegend": False, "margin": figure["layout"]["margin"] | {"t": 12}}
    return figure, words


def _never_repaid(table: pd.DataFrame) -> str:
    """Say on how many homes the making gives off more than is avoided: why all may avoid less."""
    count = int((table.loc[table["fault"] == "", "carbon_saved_kgco2e"] < 0).sum())
    if not count:
        return ""
    homes = "one home" if count == 1 else f"{count:,} homes"
    return (
        f" On {homes} of the list, making the system gives off more carbon than it avoids over "
        "the years counted; leaving them out avoids more in all."
    )
