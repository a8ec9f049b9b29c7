"""The money workbook's pictures, and how each kind is shown live and in a saved file."""

from collections.abc import Callable
from typing import Any

from pvkit.present.doubt_pictures import COMPARE, SURE, sure_picture
from pvkit.present.money_pages import smalls_html
from pvkit.present.money_pictures import (
    AVOID,
    EARN,
    OF_THE_YEAR,
    SWAY,
    avoid_picture,
    earn_picture,
    of_the_year_picture,
    sway_picture,
)
from pvkit.present.pages import image_html
from pvkit.present.picture import Picture, Smalls, Spans
from pvkit.present.screen_charts import picture_json
from pvkit.present.screen_spans import smalls_json, spans_json
from pvkit.study.estimate import Estimate

Drawn = Picture | Spans | Smalls
MONEY_PICTURES: dict[str, Callable[[Estimate], Drawn]] = {
    EARN: earn_picture,
    OF_THE_YEAR: of_the_year_picture,
    AVOID: avoid_picture,
    SURE: sure_picture,
    SWAY: sway_picture,
}
QUESTIONS = (*MONEY_PICTURES, COMPARE)
# These are drawn from thousands of cases, which takes a moment.
SLOW = (SURE, SWAY, COMPARE)


def drawn_json(picture: Drawn, faint: Picture | None = None) -> dict[str, Any]:
    """Give any of the pictures as plotly's JSON.

    Parameters
    ----------
    picture : what to draw
    faint : the same picture for the surveyed case, where it has lines
    """
    if isinstance(picture, Spans):
        return spans_json(picture)
    if isinstance(picture, Smalls):
        return smalls_json(picture)
    return picture_json(picture, faint)


def drawn_html(picture: Drawn) -> str:
    """Give any of the pictures as a saved workbook shows it."""
    return smalls_html(picture) if isinstance(picture, Smalls) else image_html(picture)
