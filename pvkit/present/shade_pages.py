"""The shade workbook's figures as HTML: string against optimisers, and the verdict."""

from html import escape

from pvkit.present.rounding import pounds
from pvkit.present.wiring_rows import wiring_rows
from pvkit.study.estimate import Estimate

_CELL = "white-space:nowrap;padding:0 6px;line-height:1.45;text-align:right"


def shade_figures_html(answer: Estimate) -> str:
    """Show the table of wirings, what an optimiser may cost, and the verdict."""
    cells = "".join(
        f"<tr><th scope='row' style='{_CELL};text-align:left;font-weight:400'>{escape(name)}</th>"
        f"<td style='{_CELL}'><b>{value}</b></td><td style='{_CELL}'>{more}</td></tr>"
        for name, value, more in wiring_rows(answer)
    )
    wiring = answer.wiring
    return (
        "<div role='status' aria-live='polite' "
        "style='color:var(--jp-ui-font-color1);font-size:.95em;line-height:1.4'>"
        "<table style='width:100%;font-size:.95em'><caption style='text-align:left'>"
        f"Metered in a year, and against a plain string</caption>{cells}</table>"
        f"<p style='margin:2px 0;line-height:1.4'>An optimiser just pays at <b>"
        f"{pounds(wiring.break_even_gbp_per_module)}</b> for each panel.</p>"
        f"<p style='margin:2px 0;line-height:1.4'><b>{escape(wiring.verdict)}</b></p></div>"
    )


def shade_twin_html(answer: Estimate) -> str:
    """Show what a saved workbook shows: the same table, and how to bring the panel to life."""
    return (
        f"<p>{escape(answer.site.site.name)}</p>{shade_figures_html(answer)}"
        "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )
