"""The energy workbook's figures, sentences and saved twin as HTML."""

from dataclasses import replace
from html import escape

from pvkit.home.tariff import export_prices, import_prices
from pvkit.home.value import diverter_words
from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.headlines import Headline
from pvkit.present.rounding import kwh, pence, percent, pounds
from pvkit.site.tariff import Tariff
from pvkit.study.cautions import HOT_WATER
from pvkit.study.home_year import HomeYear
from pvkit.study.household import site_prices

_INKS = (colours.DIRECT, colours.DEMAND, colours.BOUGHT, colours.EXPORT, colours.CYLINDER,
         colours.MONEY)  # fmt: skip
_CARD = "border-left:4px solid;padding:0 8px;line-height:1.3;color:var(--jp-ui-font-color1)"
_TEXT = "margin:2px 0;line-height:1.4;color:var(--jp-ui-font-color1)"


def energy_figures(year: HomeYear) -> tuple[Headline, ...]:
    """Give the six figures of a home's year."""
    battery = year.battery_grid_kwh
    return (
        Headline("Of what it makes, used at home", percent(year.used_at_home_fraction),
                 f"self-consumption, of {kwh(year.ac_kwh)}"),
        Headline("Of what it needs, not bought", percent(year.self_sufficiency_fraction),
                 f"self-sufficiency, of {kwh(year.bought_without_kwh)}"),
        Headline("Bought in a year", kwh(year.import_kwh),
                 f"{kwh(battery)} of it for the battery" if battery > 0.5 else "from the grid"),
        Headline("Sold in a year", kwh(year.export_kwh),
                 f"{kwh(year.spilled_kwh)} cut off" if year.spilled_kwh > 0.5 else "to the grid"),
        Headline("Gas not burnt in a year", kwh(year.gas_saved_kwh), "for hot water"),
        Headline("Saves in the first year", pounds(year.first_year_saving_gbp), "today's prices"),
    )  # fmt: skip


def figures_html(now: HomeYear, surveyed: HomeYear) -> str:
    """Show the six figures, each with the surveyed one where it differs."""
    pairs = zip(energy_figures(now), energy_figures(surveyed), _INKS, strict=True)
    cards = "".join(_card(head, before, ink) for head, before, ink in pairs)
    return (
        "<div role='status' aria-live='polite' "
        "style='display:grid;grid-template-columns:repeat(3,minmax(0,1fr));gap:6px'>"
        f"{cards}</div>"
    )


def _card(head: Headline, before: Headline, ink: Ink) -> str:
    note = head.note if head.figure == before.figure else f"surveyed: {before.figure}"
    return (
        f"<div style='{_CARD};border-left-color:{ink.colour}'>"
        f"<div style='font-size:.85em'>{escape(head.label)}</div>"
        f"<div style='font-size:1.35em;font-weight:600'>{head.figure}</div>"
        f"<div style='font-size:.8em'>{escape(note)}</div></div>"
    )


def change_words(surveyed: HomeYear, now: HomeYear, moved: tuple[str, ...]) -> str:
    """Say what the moved controls did together.

    Parameters
    ----------
    surveyed, now : the two years
    moved : what was changed, in words, as ``battery 8 kWh (surveyed: 5.2 kWh)``
    """
    if not moved:
        return "This is the home as surveyed. Move a control to see what it changes."
    effects = []
    if percent(now.used_at_home_fraction) != percent(surveyed.used_at_home_fraction):
        effects.append(f"{percent(now.used_at_home_fraction)} used at home instead of "
                       f"{percent(surveyed.used_at_home_fraction)}")  # fmt: skip
    bought = now.import_kwh - surveyed.import_kwh
    if abs(bought) >= 0.5:
        effects.append(f"{kwh(abs(bought))} {'more' if bought > 0 else 'less'} bought")
    saving = now.first_year_saving_gbp - surveyed.first_year_saving_gbp
    if abs(saving) >= 0.005:
        effects.append(f"saves {pounds(abs(saving))} {'more' if saving > 0 else 'less'} in the "
                       "first year")  # fmt: skip
    said = ", ".join(effects) or "nothing in the figures above moves"
    text = f"{', '.join(moved)}: {said}."
    return text[0].upper() + text[1:]


def diverter_sentence(year: HomeYear) -> str:
    """Say below which export price diverting pays, also where no diverter is fitted yet."""
    home = year.stages.home
    if home.water is None:
        return "Without a hot-water cylinder there is nothing to divert spare solar energy to."
    if home.water.diverter:
        return year.diverter_verdict
    fitted = replace(home, water=replace(home.water, diverter=True))
    return f"No diverter is fitted. {diverter_words(fitted, site_prices(year.site))}"


def price_words(tariff: Tariff) -> str:
    """Say what a kWh costs and earns over the year, lowest to highest."""
    bought, sold = import_prices(tariff), export_prices(tariff)
    names = [f"{band.name} {band.start}–{band.end}" for band in tariff.import_bands]
    bands = f" ({', '.join(dict.fromkeys(names))})" if names else ""
    return f"Bought at {_span(bought)}{bands}, sold at {_span(sold)}."


def bill_words(year: HomeYear) -> str:
    """Say what the first year's bills come to, without the system and with it."""
    cash = year.stages.cash
    without, with_system = (float(bill[1]) for bill in (cash.bill_without_gbp, cash.bill_with_gbp))
    gas = ", gas for hot water" if year.stages.home.water is not None else ""
    return (
        f"Bills of the first year (electricity, standing charge{gas}, less sales): "
        f"{pounds(without)} without the system, {pounds(with_system)} with it."
    )


def _span(prices_gbp: object) -> str:
    low, high = (float(pick) for pick in (prices_gbp.min(), prices_gbp.max()))  # type: ignore[attr-defined]
    return pence(low) if low == high else f"{pence(low).removesuffix(' p/kWh')} to {pence(high)}"


def lines_html(*texts: str) -> str:
    """Show sentences below one another."""
    return "".join(f"<p style='{_TEXT}'>{escape(text)}</p>" for text in texts if text)


def cautions_html(year: HomeYear) -> str:
    """Show the standing statement and the hot-water caution, the others folded below."""
    statement, *others = year.cautions
    hot = [text for text in others if text == HOT_WATER]
    folded = "".join(f"<li>{escape(text)}</li>" for text in others if text not in hot)
    shown = "".join(f"<p style='margin:2px 0'><b>{escape(text)}</b></p>" for text in
                    (*hot, statement))  # fmt: skip
    return (
        "<div style='font-size:.85em;line-height:1.4;color:var(--jp-ui-font-color1)'>"
        f"{shown}<details><summary>Other cautions</summary><ul style='margin:4px 0'>{folded}</ul>"
        "</details></div>"
    )


def energy_twin_html(year: HomeYear, picture: str, alt: str) -> str:
    """Show what a saved workbook shows: the figures as a table, a picture, the sentences.

    Parameters
    ----------
    year : the home's year
    picture : a ``data:`` address of the picture
    alt : what it shows, in words
    """
    rows = "".join(
        f"<tr><th scope='row' style='text-align:left'>{escape(head.label)}</th>"
        f"<td>{head.figure}</td><td>{escape(head.note)}</td></tr>"
        for head in energy_figures(year)
    )
    return (
        f"<table><caption>{escape(year.site.site.name)}</caption>{rows}</table>"
        f"{lines_html(alt, diverter_sentence(year))}"
        f"<img alt='{escape(alt, quote=True)}' src='{picture}' style='max-width:680px;width:100%'>"
        "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )
