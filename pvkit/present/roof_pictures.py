"""The flat roof workbook's pictures, each with one sentence that says what it shows."""

import base64
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal

import pandas as pd

from pvkit.present.plan_drawing import roof_plan_svg
from pvkit.present.roof_charts import coefficient_chart, trade_chart
from pvkit.present.zone_plan import Numbered, zone_words, zones_drawn
from pvkit.roof.fit import lying_on, named_roof
from pvkit.roof.hold_plan import BallastPlan
from pvkit.study.roof_case import RoofCase

Under = Literal["modules", "trays"]
# Room for the roof on a screen, so that its letters are large enough beside it [mm].
SCREEN_MM = (100.0, 62.0)
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_SVG = "http://www.w3.org/2000/svg"


@dataclass(frozen=True, slots=True, eq=False)
class RoofScene:
    """What a picture of a flat roof is made from.

    Parameters
    ----------
    case : the roof as covered and held
    under : whether blocks are shown under each module or on the trays that neighbours share
    trade : gives the table of tilts and pitches, when it is asked for
    """

    case: RoofCase
    under: Under = "modules"
    trade: Callable[[], pd.DataFrame] = field(default=pd.DataFrame)


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture: a drawing or a chart, and its sentence.

    Parameters
    ----------
    words : what it shows
    svg : the drawing; empty for a chart
    chart : plotly's JSON; empty for a drawing
    """

    words: str
    svg: str = ""
    chart: dict[str, Any] = field(default_factory=dict)


def where_they_lie(scene: RoofScene) -> Shown:
    """Draw the plan: modules, what is kept clear, margins, dimensions, north."""
    case = scene.case
    kept = "nothing is kept clear but the edges"
    things = [zone.name for zone in case.site.keep_clear if zone.roof == case.roof]
    if things:
        kept = f"clear of {', '.join(things)}"
    words = f"{case.count} panels of the {case.most} that fit, {kept}; drawn to scale, in metres."
    return Shown(words, roof_plan_svg(case.site, case.roof, (), SCREEN_MM))


def what_holds_them(scene: RoofScene) -> Shown:
    """Draw the wind's zones and the blocks, under each module or on each tray."""
    case, hold = scene.case, scene.case.hold
    roof = named_roof(case.site, case.roof)
    numbered = _numbered(scene)
    svg = str(zones_drawn(case.site, roof, numbered))
    zones = f"Dark blue: corners, light blue: edges. {zone_words(roof)}"
    if not hold.holdable:
        return Shown(f"No weight holds these panels. {zones}", svg)
    plan, names = hold.plans[0], [each.array.name for each in numbered if each.letter]
    if names:
        lettered = zip(_LETTERS, names, strict=False)
        zones = f"{', '.join(f'{letter} {name}' for letter, name in lettered)}. {zones}"
    if scene.under == "trays":
        each = f"In the boxes: blocks of {plan.block_kg:g} kg on each tray, {hold.tray_blocks}"
    else:
        each = f"Under the numbers: blocks of {plan.block_kg:g} kg for each panel, {hold.blocks}"
    return Shown(f"{each} in all. {zones}", svg)


def _numbered(scene: RoofScene) -> list[Numbered]:
    case = scene.case
    arrays = {array.name: array for array in lying_on(case.site, case.roof)}
    letters = _LETTERS if len(arrays) > 1 else ""
    found = []
    for n, plan in enumerate(case.hold.plans):
        notes, trays = _blocks(plan) if scene.under == "modules" else {}, {}
        if scene.under == "trays" and plan.holdable:
            trays = {(tray.row, tray.place): str(tray.blocks) for tray in plan.trays}
        letter = letters[n % len(letters)] if letters else ""
        found.append(Numbered(arrays[plan.array], notes, trays, letter))
    return found


def _blocks(plan: BallastPlan) -> dict[int, str]:
    words = {module.number: module.blocks for module in plan.modules}
    return {n: f"{b} block{'s' if b != 1 else ''}" for n, b in words.items() if b is not None}


def how_tilt_trades(scene: RoofScene) -> Shown:
    """Chart tilts and pitches by what each kWp and each square metre of roof makes."""
    chart, words = trade_chart(scene.trade())
    return Shown(words, chart=chart)


def how_much_it_decides(scene: RoofScene) -> Shown:
    """Chart the ballast of one inner module against the coefficient."""
    chart, words = coefficient_chart(scene.case)
    return Shown(words, chart=chart)


def drawing_html(svg: str) -> str:
    """Show a drawing on white, whatever the theme, as wide as its column."""
    sizeless = re.sub(r' width="[^"]*mm"| height="[^"]*mm"', "", svg, count=2)
    fitted = re.sub(r"^<svg ([^>]*?)( style=\"[^\"]*\")?>", _fitted, sizeless, count=1)
    return f"<div style='background:#fff;padding:4px;color:#000'>{fitted}</div>"


def _fitted(tag: re.Match[str]) -> str:
    own = (tag[2] or "").partition('"')[2].rstrip('"')
    return f'<svg {tag[1]} style="display:block;width:100%;height:auto;{own}">'


def drawing_uri(svg: str) -> str:
    """Give a drawing as a ``data:`` address, for an image in a saved workbook."""
    whole = svg if "xmlns=" in svg else svg.replace("<svg ", f'<svg xmlns="{_SVG}" ', 1)
    return "data:image/svg+xml;base64," + base64.b64encode(whole.encode()).decode("ascii")


ROOF_PICTURES: dict[str, Callable[[RoofScene], Shown]] = {
    "Where do the panels lie?": where_they_lie,
    "What holds them down?": what_holds_them,
    "How do tilt and pitch trade?": how_tilt_trades,
    "How much does the coefficient decide?": how_much_it_decides,
}
