"""The workbook of many roofs: estimate a list, see its totals, move the budget."""

from html import escape
from threading import Thread

import ipywidgets as w
import pandas as pd

from pvkit.errors import PvkitError
from pvkit.present.live import chart_place, heading, two_columns, whole_number
from pvkit.present.pages import error_html, sentence_html
from pvkit.present.portfolio_board import ranking_html, spent_picture, totals_html
from pvkit.present.portfolio_page import portfolio_page
from pvkit.present.progress import ProgressBar
from pvkit.present.rows import LABEL_WIDTH, show_chart
from pvkit.present.twin import Twin
from pvkit.study.parts_folder import PartsAtHand
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking, totals
from pvkit.study.site_list import table_sites
from pvkit.study.sweep import Progress

_MONEY_STEP = 1000.0
# Few enough that Stop acts within a second, many enough to share their sun.
_SITES_A_PART = 10


class PortfolioPanel:
    """Estimate the first homes of a list; stopped and started again it goes on where it was.

    Parameters
    ----------
    homes : one home a row, columns are dotted keys of a site file
    count : how many are estimated at first

    Examples
    --------
    >>> from pvkit.study.invented_list import invented_sites
    >>> panel = PortfolioPanel(invented_sites(4), count=2)
    >>> len(panel.run())
    2
    """

    def __init__(self, homes: pd.DataFrame, count: int = 40) -> None:
        self._sites = table_sites(homes)
        self._parts = PartsAtHand()
        self.table = pd.DataFrame()
        self.bar = ProgressBar("homes")
        most = len(self._sites)
        self._count = whole_number("Homes", min(count, most), min(2, most), most)
        self._go = w.Button(description="Estimate these homes", layout=w.Layout(width="200px"))
        self._go.on_click(lambda _: self.start())
        self._budget = w.FloatSlider(
            value=0.0, min=0.0, max=_MONEY_STEP, step=_MONEY_STEP, description="Budget (£)",
            tooltip="Budget (£)", readout_format=",.0f", disabled=True,
            style={"description_width": LABEL_WIDTH}, layout=w.Layout(width="98%"),
        )  # fmt: skip
        self._budget.observe(lambda _: self._draw(), "value")
        self._totals, self._first, self._message, self._words = (w.HTML() for _ in range(4))
        self._chart = chart_place()

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, tables when only opened."""
        left = [heading("The list"), self._count, self._go, self.bar.view.widget,
                heading("The budget"), self._budget, self._first]  # fmt: skip
        right = [self._message, self._totals, self._words, self._chart]
        return two_columns(left, right, self._twin, self.say)

    def run(self) -> pd.DataFrame:
        """Estimate the homes and wait for them.

        Returns
        -------
        one row a home, as from :func:`pvkit.study.portfolio.portfolio`
        """
        self._go.disabled = True
        try:
            self.table = self._estimated()
            self._message.value = ""
            self._new_budget()
        except PvkitError as error:
            self._message.value = error_html(str(error))
        finally:
            self._go.disabled = False
        return self.table

    def start(self) -> Thread:
        """Estimate the homes beside whatever else the page does, so that Stop can be pressed."""
        thread = Thread(target=self.run, daemon=True)
        thread.start()
        return thread

    def spend(self, budget_gbp: float) -> None:
        """Move the budget, as a user would."""
        self._budget.value = budget_gbp

    def page(self) -> str:
        """Give the page of results."""
        return portfolio_page(self.table)

    def say(self) -> str:
        """Give the panel's answer in one line."""
        if self.table.empty:
            return f"{len(self._sites):,} homes listed, none estimated yet."
        bought = ranking(self.table, self._budget.value)
        sums = totals(bought)
        return (
            f"{len(bought):,} of {len(self.table):,} homes for £{self._budget.value:,.0f}: "
            f"{sums.ac_kwh:,.0f} kWh a year, £{sums.first_year_saving_gbp:,.0f} saved in the first "
            f"year, worth £{sums.npv_gbp:,.0f} beyond their price."
        )

    def _estimated(self) -> pd.DataFrame:
        sites = self._sites[: self._count.value]

        def watch(now: Progress) -> bool:
            done = min(now.done * _SITES_A_PART, len(sites))
            return self.bar.watch(Progress(done, len(sites), now.seconds_left))

        return portfolio(sites, self._parts, watch=watch, sites_a_part=_SITES_A_PART)

    def _new_budget(self) -> None:
        """Let the budget run up to what all homes cost, and begin at half of it."""
        most = max(totals(self.table).capital_gbp if len(self.table) else 0.0, _MONEY_STEP)
        self._budget.max = -(-most // _MONEY_STEP) * _MONEY_STEP
        self._budget.disabled = self.table.empty
        self._budget.value = round(most / 2 / _MONEY_STEP) * _MONEY_STEP
        self._draw()

    def _draw(self) -> None:
        if self.table.empty:
            return
        budget = self._budget.value
        self._totals.value = totals_html(self.table, budget)
        self._first.value = ranking_html(self.table, budget)
        figure, words = spent_picture(self.table, budget)
        self._words.value = sentence_html(words)
        show_chart(self._chart, figure)

    def _twin(self) -> str:
        if self.table.empty:
            return f"<p>{escape(self.say())}</p>"
        budget = self._budget.value
        return (
            f"{totals_html(self.table, budget)}{ranking_html(self.table, budget)}"
            "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
        )
