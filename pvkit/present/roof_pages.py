"""The flat roof workbook's figures and words as HTML: what fits, makes, weighs; whom to ask."""

from collections.abc import Iterator
from html import escape

from pvkit.present.headlines import Headline
from pvkit.present.rounding import kwh
from pvkit.roof.ballast_words import ASK, signed
from pvkit.roof.hold_plan import BallastPlan
from pvkit.study.cautions import ELECTRICAL, STATEMENT, STRUCTURE
from pvkit.study.roof_case import RoofCase

_INK = ("#0072B2", "#E69F00", "#009E73", "#D55E00")
_CARD = (
    "border-left:4px solid {ink};padding:0 8px;flex:1 1 40%;min-width:150px;line-height:1.3;"
    "color:var(--jp-ui-font-color1)"
)
NOTHING = "–"


def roof_headlines(case: RoofCase) -> tuple[Headline, Headline, Headline, Headline]:
    """Give how many fit, what they make, what holds them and what the roof must carry."""
    return (_fits(case.most, case), _makes(case), _ballast(case), _weight(case))


def _fits(most: int, case: RoofCase | None) -> Headline:
    shown = "" if case is None else f"shown: {case.count}, {case.kwp:.2f} kWp"
    return Headline("Fit on this roof", f"{most} panel{'s' if most != 1 else ''}", shown)


def _makes(case: RoofCase) -> Headline:
    if case.energy is None or case.kwh_per_m2 is None:
        return Headline("Makes in a year", "not worked out", "the wiring does not suit: see below")
    each = f"{case.kwh_per_m2:.1f} kWh for each m² of roof"
    return Headline("Makes in a year", kwh(case.energy.ac_kwh), each)


def _ballast(case: RoofCase) -> Headline:
    hold = case.hold
    if hold.ballast_kg is None:
        return Headline("Ballast in all", "no weight holds it", "fix it to the building")
    how = f"{hold.blocks} blocks of {hold.plans[0].block_kg:g} kg; {hold.worst.governs} decides"
    return Headline("Ballast in all", f"{hold.ballast_kg:,.0f} kg", how)


def _weight(case: RoofCase) -> Headline:
    load, label = case.hold.load, "Under the heaviest panel"
    if load is None:
        return Headline(label, NOTHING, "")
    allowed = load.allowance_kn_per_m2
    note = f"{load.local_kn_per_m2:.2f} kN/m²; "
    if allowed is None:
        note += "no allowance given"
    elif load.exceeds:
        note += f"OVER the {allowed:.2f} allowed"
    else:
        note += f"allowance {allowed:.2f} kN/m²"
    return Headline(label, f"{load.local_kg_per_m2:.0f} kg/m²", note)


def figures_html(case: RoofCase, surveyed: RoofCase) -> str:
    """Show the four figures, each with the surveyed one where it differs, and whom to ask."""
    pairs = zip(roof_headlines(case), roof_headlines(surveyed), _INK, strict=True)
    return _status([_card(head, before, ink) for head, before, ink in pairs])


def unknown_html(most: int | None) -> str:
    """Show that a case cannot be shown: no figure of an earlier one may stay on the screen."""
    told = Headline("Fit on this roof", NOTHING, "") if most is None else _fits(most, None)
    others = ("Makes in a year", "Ballast in all", "Under the heaviest panel")
    heads = [told, *(Headline(label, NOTHING, "") for label in others)]
    return _status([_card(head, head, ink) for head, ink in zip(heads, _INK, strict=True)])


def _status(cards: list[str]) -> str:
    return (
        "<div role='status' aria-live='polite'>"
        f"<div style='display:flex;flex-wrap:wrap;gap:4px 6px'>{''.join(cards)}</div>"
        "<p style='margin:6px 0 0;padding:3px 8px;border:2px solid #D55E00;font-weight:600;"
        f"line-height:1.35;color:var(--jp-ui-font-color1)'>{escape(ASK)}</p></div>"
    )


def _card(head: Headline, before: Headline, ink: str) -> str:
    was = "" if head.figure == before.figure else f"<br>surveyed: {escape(before.figure)}"
    return (
        f"<div style='{_CARD.format(ink=ink)}'>"
        f"<div style='font-size:.85em'>{escape(head.label)}</div>"
        f"<div style='font-size:1.3em;font-weight:600'>{escape(head.figure)}</div>"
        f"<div style='font-size:.8em'>{escape(head.note)}{was}</div></div>"
    )


def moved_words(case: RoofCase, surveyed: RoofCase, moved: tuple[str, ...]) -> str:
    """Say what the moved controls changed, and which coefficient it all hangs on."""
    effects = list(_effects(case, surveyed)) or ["nothing in the figures above moves"]
    head = f"{', '.join(moved)}: {', '.join(effects)}. " if moved else "The roof as surveyed. "
    return f"{head[:1].upper()}{head[1:]}{taken_words(case.hold.worst)}"


def taken_words(plan: BallastPlan) -> str:
    """Say which coefficient was taken, from what, and that it decides."""
    c = plan.coefficient
    origin = c.source if c.kind == "given" else f"{c.words}, {c.kind}"
    return f"The net pressure coefficient decides everything: {signed(c.value)} ({origin})."


def _effects(case: RoofCase, surveyed: RoofCase) -> Iterator[str]:
    if case.energy is not None and surveyed.energy is not None:
        more = case.energy.ac_kwh - surveyed.energy.ac_kwh
        if abs(more) >= 0.5:
            yield f"{_amount(more, 'kWh')} a year"
    mass, before = case.hold.ballast_kg, surveyed.hold.ballast_kg
    if mass is None or before is None:
        yield "no weight holds it" if mass is None else "weight holds it again"
        return
    if abs(mass - before) >= 0.5:
        yield f"{_amount(mass - before, 'kg')} of ballast"
    load, old = case.hold.load, surveyed.hold.load
    if load is not None and old is not None:
        heavier = load.local_kg_per_m2 - old.local_kg_per_m2
        if abs(heavier) >= 0.5:
            yield f"{_amount(heavier, 'kg/m²')} under the heaviest panel"


def _amount(change: float, unit: str) -> str:
    return f"{abs(change):,.0f} {unit} {'more' if change > 0 else 'less'}"


def caption_html(words: str) -> str:
    """Show what a picture shows, in a block of steady height."""
    return (
        "<p style='min-height:2.8em;margin:2px 0;line-height:1.4;font-size:.95em;"
        f"color:var(--jp-ui-font-color1)'>{escape(words)}</p>"
    )


def roof_cautions_html(case: RoofCase) -> str:
    """Show the cautions, with all that each array's ballast plan says folded below them."""
    several = len(case.hold.plans) > 1
    said = [
        f"{plan.array}: {sentence}" if several else sentence
        for plan in case.hold.plans
        for sentence in plan.sentences
    ]
    items = "".join(f"<li>{escape(text)}</li>" for text in dict.fromkeys(said))
    others = "".join(f"<li>{escape(text)}</li>" for text in (STATEMENT, ELECTRICAL))
    return (
        "<div style='font-size:.85em;line-height:1.4;color:var(--jp-ui-font-color1)'>"
        f"<b>{escape(STRUCTURE)}</b><details><summary>What the sum says, and other cautions "
        f"</summary><ul style='margin:4px 0'>{items}{others}</ul></details></div>"
    )


def roof_twin_html(case: RoofCase, words: str, image: str) -> str:
    """Show what a saved workbook shows: the figures as a table and the plan as an image."""
    rows = "".join(
        f"<tr><th scope='row'>{escape(head.label)}</th><td>{escape(head.figure)}</td>"
        f"<td>{escape(head.note)}</td></tr>"
        for head in roof_headlines(case)
    )
    return (
        f"<table><caption>{escape(case.site.site.name)}</caption>{rows}</table>"
        f"<p><b>{escape(ASK)}</b> {escape(taken_words(case.hold.worst))}</p>"
        f"<img alt='{escape(words, quote=True)}' src='{image}' style='max-width:680px;width:100%'>"
        "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )


def roof_line(case: RoofCase) -> str:
    """Give a case in one line."""
    told = "; ".join(
        f"{head.label.lower()} {head.figure} ({head.note})" for head in roof_headlines(case)
    )
    return f"{case.site.site.name}: {told}. {ASK}"
