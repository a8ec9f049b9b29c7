"""The tilt and direction workbook's figures as HTML."""

from collections.abc import Sequence
from html import escape

from pvkit.present.plane_pictures import Plane
from pvkit.present.rounding import change, percent, pounds, whole
from pvkit.study.plane_worth import PlaneWorth

_HEAD = "padding:0 5px;line-height:1.2;text-align:right;vertical-align:bottom"
_CELL = "padding:0 5px;line-height:1.45;text-align:right;white-space:nowrap"
_LEFT = "padding:0 5px;line-height:1.45;text-align:left;font-weight:400;white-space:nowrap"
_HEADS = ("", "kWh a year", "off best", "used at home", "£ in year 1", "off best")


def plane_figures_html(
    planes: Sequence[Plane], worths: Sequence[PlaneWorth], best: tuple[Plane, PlaneWorth]
) -> str:
    """Show planes beside the one that makes most.

    Parameters
    ----------
    planes, worths : what is compared
    best : the plane of the map that makes most, and its worth
    """
    head = "".join(f"<th scope='col' style='{_HEAD}'>{name}</th>" for name in _HEADS)
    both = [*zip(planes, worths, strict=True), best]
    rows = "".join(_row(plane, worth, best[1]) for plane, worth in both)
    return (
        "<div role='status' aria-live='polite' "
        "style='color:var(--jp-ui-font-color1);font-size:.95em;line-height:1.4'>"
        f"<table style='width:100%;font-size:.95em'><thead><tr>{head}</tr></thead>"
        f"<tbody>{rows}</tbody></table></div>"
    )


def _row(plane: Plane, worth: PlaneWorth, best: PlaneWorth) -> str:
    cells = (
        whole(worth.ac_kwh),
        _off(worth.ac_kwh - best.ac_kwh),
        percent(worth.used_at_home_fraction),
        pounds(worth.saving_gbp),
        _off(worth.saving_gbp - best.saving_gbp),
    )
    shown = "".join(f"<td style='{_CELL}'><b>{cell}</b></td>" for cell in cells)
    name = escape(f"{plane.name}: {plane.say().replace(' facing', ',')}")
    return f"<tr><th scope='row' style='{_LEFT}'>{name}</th>{shown}</tr>"


def _off(difference: float) -> str:
    return "–" if abs(difference) < 1e-6 else change(difference)


def plane_twin_html(name: str, figures: str) -> str:
    """Show what a saved workbook shows: the same table, and how to bring the panel to life."""
    return (
        f"<p>{escape(name)}</p>{figures}<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )
