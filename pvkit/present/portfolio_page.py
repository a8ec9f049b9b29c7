"""One page on a list of many sites: what it comes to, which first, and what could not be done."""

from dataclasses import dataclass

import jinja2
import numpy as np
import pandas as pd
from markupsafe import Markup

from pvkit.present.templates_folder import environment, template_text
from pvkit.study.portfolio_totals import ranking, totals

_BEST_SHOWN, _FAULTS_SHOWN = 15, 40
_WIDTH, _HEIGHT, _LEFT, _BOTTOM = 640.0, 240.0, 70.0, 34.0


@dataclass(frozen=True, slots=True)
class _Curve:
    """A line for the page: its points, and the ends of both axes in words."""

    points: str
    spent: str
    worth: str
    most: str


def portfolio_page(table: pd.DataFrame) -> str:
    """Write the page of results.

    Parameters
    ----------
    table : from :func:`pvkit.study.portfolio.portfolio`

    Returns
    -------
    a whole HTML page: no script, nothing fetched
    """
    ranked, faulty = ranking(table), table[table["fault"] != ""]
    page: jinja2.Template = environment().get_template("portfolio.html.j2")
    return page.render(
        style=Markup(template_text("report.css")),
        totals=totals(table),
        best=list(ranked.head(_BEST_SHOWN).itertuples()),
        curve=None if ranked.empty else _curve(ranked),
        faults=list(faulty["fault"].head(_FAULTS_SHOWN)),
        more_faults=max(len(faulty) - _FAULTS_SHOWN, 0),
        size=(_WIDTH, _HEIGHT, _LEFT, _BOTTOM),
    )


def _curve(ranked: pd.DataFrame) -> _Curve:
    """Draw what is earned against what is spent, the best sites first."""
    spent = np.concatenate(([0.0], ranked["spent_gbp"].to_numpy()))
    worth = np.concatenate(([0.0], ranked["npv_gbp"].cumsum().to_numpy()))
    low, high = min(float(worth.min()), 0.0), max(float(worth.max()), 1.0)
    at = np.unique(np.linspace(0, len(spent) - 1, 200).astype(int))
    x = _LEFT + spent[at] / max(float(spent[-1]), 1.0) * (_WIDTH - _LEFT - 8)
    y = 10 + (high - worth[at]) / (high - low) * (_HEIGHT - _BOTTOM - 10)
    points = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True))
    most = int(worth.argmax())
    return _Curve(
        points,
        f"£{spent[-1]:,.0f}",
        f"£{high:,.0f}",
        f"The worth grows up to the first {most:,} sites, £{spent[most]:,.0f} spent; every site "
        "after those costs more than it gives back."
        if most < len(ranked)
        else "Every site gives back more than it costs over the years counted.",
    )
