"""The sheet for the structural engineer: what was found, from what, and what it does not prove."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from pvkit.present.engineer_tables import (
    FIXED_CAPTION,
    FIXED_HEAD,
    HELD_CAPTION,
    HELD_HEAD,
    Cells,
    case_rows,
    figures,
    fixed_rows,
    held_rows,
    input_row,
    tray_rows,
)
from pvkit.present.rounding import bearing
from pvkit.present.templates_folder import environment, template_text
from pvkit.present.zone_plan import zone_plan, zone_words
from pvkit.roof.ballast_rows import Plan, plans
from pvkit.roof.ballast_words import signed
from pvkit.roof.fixing_loads import FixingLoads
from pvkit.roof.hold_plan import BallastPlan
from pvkit.roof.site_wind import CHARTS
from pvkit.site.kit import Array
from pvkit.site.survey import Site
from pvkit.study.cautions import STRUCTURE

TO_CONFIRM = (
    "deck and joists with array, ballast, snow and upkeep",
    "bearing under feet or trays: insulation, membrane, screed",
    "sag, ponding and falls; outlets kept clear",
    "wind pressure and coefficients, for this very mounting system",
    "sliding, tipping and tying of rows; grip measured on the roof",
    "parapets and edges, and the building's own hold against uplift",
    "a certificate for the file, and what must be inspected later",
)


@dataclass(frozen=True, slots=True)
class Part:
    """One array on the sheet.

    Parameters
    ----------
    title, about : what it is
    drawing, zones, note : plan of its roof, the size of its zones, what stands under the numbers
    figures : name, value
    caption, head, modules : the table of modules
    cases : what other coefficients would ask; empty for fixings
    trays : one line for each row of trays
    inputs : every number with its source
    sentences : what the reader must know
    """

    title: str
    about: str
    drawing: Markup
    zones: str
    note: str
    figures: tuple[Cells, ...]
    caption: str
    head: Cells
    modules: tuple[Cells, ...]
    cases: tuple[Cells, ...]
    trays: tuple[Cells, ...]
    inputs: tuple[Cells, ...]
    sentences: tuple[str, ...]


def engineer_sheet_html(
    site: Site, *, issued: datetime.date | None = None, tried: Sequence[str] = ()
) -> str:
    """Write the sheet: each array's wind, pull, ballast or fixings, load and sources.

    Parameters
    ----------
    site : the survey
    issued : a date to print on it; without one the same survey gives the same bytes
    tried : what of the survey was tried otherwise, in words

    Returns
    -------
    a whole HTML page for A4: no script, nothing fetched, drawings inside
    """
    arrays = {array.name: array for array in site.array}
    page = environment().get_template("engineer_sheet.html.j2")
    return page.render(
        style=Markup(template_text("engineer_sheet.css")),
        name=site.site.name,
        place=_place(site),
        issued="" if issued is None else f"{issued.day} {issued:%B %Y}",
        tried=tuple(tried),
        caution=STRUCTURE,
        charts=CHARTS,
        to_confirm=TO_CONFIRM,
        parts=[_part(site, arrays[plan.array], plan) for plan in plans(site)],
    )


def _place(site: Site) -> str:
    place = site.site
    return (
        f"latitude {signed(place.latitude, 6)}°, longitude {signed(place.longitude, 6)}°, "
        f"{signed(place.altitude_m, 6)} m above the sea"
    )


def _part(site: Site, array: Array, plan: Plan) -> Part:
    roof, sheet = site.roof_of(array), site.module(array)
    held = isinstance(plan, BallastPlan)
    about = (
        f"{site.count(array)} modules of {sheet.length_m:g} m × {sheet.width_m:g} m and "
        f"{sheet.mass_kg:g} kg, tilt {site.tilt_deg(array):g}°, facing "
        f"{bearing(site.azimuth_deg(array))}, on the {roof.kind} roof “{roof.name}”"
    )
    note, notes = _notes(plan)
    return Part(
        title=f"{array.name}: {'held by ballast' if held else 'fixed to the roof'}",
        about=about,
        drawing=zone_plan(site, array, notes),
        zones=zone_words(roof),
        note=note,
        figures=figures(plan, roof),
        caption=HELD_CAPTION if held else FIXED_CAPTION,
        head=HELD_HEAD if held else FIXED_HEAD,
        modules=held_rows(plan) if isinstance(plan, BallastPlan) else fixed_rows(plan),
        cases=case_rows(plan) if isinstance(plan, BallastPlan) else (),
        trays=tray_rows(plan) if isinstance(plan, BallastPlan) else (),
        inputs=tuple(input_row(number) for number in plan.inputs),
        sentences=plan.sentences,
    )


def _notes(plan: Plan) -> tuple[str, dict[int, str]]:
    """Say what stands under each module's number on the plan."""
    if isinstance(plan, FixingLoads):
        found = {m.number: f"{m.pull_n / 1000:.1f} kN" for m in plan.modules}
        return "Pulls off the roof stand under the modules' numbers.", found
    if not plan.holdable:
        return "", {}
    found = {m.number: f"{m.blocks} blocks" for m in plan.modules}
    return "Blocks stand under the modules' numbers.", found
