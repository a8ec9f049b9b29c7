"""The lesson's three exercises, put in words; what is right comes from the engine."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from pvkit.present.pictures import MONTH_NAMES
from pvkit.present.rounding import change_percent, kwh, pounds
from pvkit.site.reader import load_site
from pvkit.study.exercises import measured_year, planted_slip, two_offers
from pvkit.study.study import Study

SLIP, OFFERS, YEAR = "A slip in a survey", "Two offers", "A measured year"

# The slip is a compass read from its other end; what looks odd beside it is as it should be.
_SLIP_SITE = "south_family_home"
_SLIP = {"roof.south slope.azimuth_deg": 358.0}
_ODD = {
    "cables.dc_length_m": 31.0,
    "site.altitude_m": 4.0,
    "home.yearly_kwh": 9800.0,
    "losses.soiling_fraction": 0.04,
}
_LINES = {
    "roof.south slope.azimuth_deg": ("the roof faces (degrees from north)", 1.0),
    "cables.dc_length_m": ("d.c. cable from roof to inverter (m)", 1.0),
    "site.altitude_m": ("height above the sea (m)", 1.0),
    "home.yearly_kwh": ("electricity used in a year (kWh)", 1.0),
    "losses.soiling_fraction": ("dirt on the panels (%)", 100.0),
}
_OFFERS_SITE, _OPTIMISER_GBP = "chimney_and_birch", 45.0
_YEAR_SITE, _YEAR_TRUTH = "south_family_home", "a tree now stands south of the house"
_REASONS: dict[str, dict[str, Any]] = {
    "nothing: only the weather of that year": {},
    "the panels are very dirty": {"losses.soiling_fraction": 0.16},
    _YEAR_TRUTH: {
        "obstacle": [
            {"name": "conifer", "kind": "tree", "bearing_deg": 190, "distance_m": 11,
             "width_m": 9, "height_m": 14, "trunk_m": 1, "light_through_summer": 0.05,
             "light_through_winter": 0.05}
        ]
    },
    "the inverter is far too small": {"inverter.part": "single-phase-1500"},
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise with a choice to make.

    Parameters
    ----------
    name : its heading, under which it is marked
    asks : the question in words
    table : what one may look at, as HTML
    choices : what may be answered
    answer : the right one
    why : for each choice, why it is right or not
    """

    name: str
    asks: str
    table: str
    choices: tuple[str, ...]
    answer: str
    why: Mapping[str, str]


def slip_exercise() -> Exercise:
    """Find the one wrong line of a survey."""
    slip = planted_slip(Study(load_site(_SLIP_SITE)), _SLIP, _ODD)
    words = {key: _LINES[key][0] for key in slip.suspects}
    stated = {key: value * _LINES[key][1] for key, (value, _) in slip.suspects.items()}
    why = {
        words[key]: f"With {_usual(key, slip.suspects[key][1])} in that line alone, a year makes "
        f"{kwh(made)}; as the sheet stands, {kwh(slip.faulty.ac_kwh)}; as it is in truth, "
        f"{kwh(slip.sound_kwh)}."
        for key, made in slip.repaired_kwh.items()
    }
    stack = [(step.name, change_percent(step.percent_of_previous))
             for step in slip.faulty.stages.output.stack[1:-1]]  # fmt: skip
    lines = [(words[key], f"{stated[key]:,.6g}") for key in slip.suspects]
    asks = (
        f"A survey of {slip.faulty.kwp:.2f} kWp in the south of England gives only "
        f"{kwh(slip.faulty.specific_yield_kwh_per_kwp)} a year for each kWp. One line of it is "
        "wrong; the others are odd but true. Which line is wrong?"
    )
    return Exercise(
        SLIP, asks, _table(("on the sheet", ""), lines) + _table(("step", "change"), stack),
        tuple(words[key] for key in slip.suspects), words[slip.answer], why,
    )  # fmt: skip


def _usual(key: str, value: float | None) -> str:
    return "the usual value" if value is None else f"{value * _LINES[key][1]:,.6g}"


def offers_exercise() -> Exercise:
    """Say which of two offers for a shaded roof is worth more."""
    study = Study(load_site(_OFFERS_SITE))
    site = study.site
    items = [item.model_dump() for item in site.costs.items or ()]
    price = _OPTIMISER_GBP * site.count(site.array[0])
    optimised = {
        "array.main.optimisers": True,
        "costs.items": [*items, {"name": "optimisers", "gbp": price}],
    }
    offers = two_offers(study, {}, optimised)
    names = ("the plain string", "an optimiser on each panel")
    better = names[offers.answer == "second"]
    rows = [
        (name, pounds(offer.capital_gbp), kwh(offer.ac_kwh), pounds(offer.first_year_saving_gbp))
        for name, offer in zip(names, (offers.first, offers.second), strict=True)
    ]
    said = (
        f"Over the years counted and at the discount rate, the plain string is worth "
        f"{pounds(offers.first.npv_gbp)} beyond its price and the optimisers "
        f"{pounds(offers.second.npv_gbp)}: {better} by {pounds(offers.by_gbp)}."
    )
    asks = (
        "A chimney and a birch shade this roof. The second offer puts an optimiser on each panel "
        f"for {pounds(price)} more. Which is worth more to the customer over the years counted?"
    )
    heads = ("offer", "price", "makes in a year", "saves in year 1")
    return Exercise(OFFERS, asks, _table(heads, rows), names, better, dict.fromkeys(names, said))


def year_exercise() -> Exercise:
    """Say why a year's readings differ from what was expected."""
    year = measured_year(Study(load_site(_YEAR_SITE)), _REASONS, _YEAR_TRUTH)
    months = zip(MONTH_NAMES, year.expected_kwh, year.measured_kwh, strict=True)
    rows = [(name, f"{was:,.0f}", f"{read:,.0f}", f"{100 * read / was:.0f}")
            for name, was, read in months]  # fmt: skip
    why = {
        reason: f"If it were so, the twelve months would lie {kwh(off)} from the readings "
        f"(root of the mean square), December at {100 * made[11] / year.expected_kwh[11]:.0f} % "
        f"and June at {100 * made[5] / year.expected_kwh[5]:.0f} % of what was expected."
        for reason, off, made in zip(year.reasons, year.misfit_kwh, year.reason_kwh, strict=True)
    }
    asks = (
        "The meter was read each month. Each reading carries that month's weather, a few per cent "
        "either way. What explains the year best?"
    )
    heads = ("month", "expected kWh", "read kWh", "% of expected")
    return Exercise(YEAR, asks, _table(heads, rows), year.reasons, year.answer, why)


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    cell = "padding:0 8px;line-height:1.4;text-align:"
    head = "".join(f"<th scope='col' style='{cell}{'right' if n else 'left'}'>{escape(name)}</th>"
                   for n, name in enumerate(heads))  # fmt: skip
    body = "".join(
        f"<tr><th scope='row' style='{cell}left;font-weight:400'>{escape(first)}</th>"
        + "".join(f"<td style='{cell}right'>{escape(value)}</td>" for value in rest)
        + "</tr>"
        for first, *rest in rows
    )
    return (
        "<table style='font-size:.95em;display:inline-table;vertical-align:top;margin:2px 24px 2px "
        f"0;color:var(--jp-ui-font-color1)'><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table>"
    )
