"""A visit in sentences: the verdict, and what the reader should know of it."""

from collections.abc import Iterator

from pvkit.study.visit_doubt import yearly_spread
from pvkit.study.visit_expected import newer_light
from pvkit.study.visit_result import Visit
from pvkit.study.visit_spans import month_name
from pvkit.study.visit_verdict import AS_EXPECTED, UNSURE, limits, per_cent
from pvkit.tables import constant


def verdict_sentence(visit: Visit) -> str:
    """Say the verdict and what it rests on.

    Parameters
    ----------
    visit : a judged visit
    """
    figures = figures_sentence(visit)
    return f"{visit.level.capitalize()}: {figures[0].lower()}{figures[1:]}"


def figures_sentence(visit: Visit) -> str:
    """Say what the verdict rests on, where the verdict itself stands beside it.

    Parameters
    ----------
    visit : a judged visit
    """
    days = visit.period.days
    doubt = constant("visit.doubt_multiple") * visit.doubt.total
    wide = limits(visit.doubt.total).attention < constant("visit.low_fraction")
    hides = wide and visit.level in (AS_EXPECTED, UNSURE)
    but = "; so short a time, or unknown light, could hide a lack of a fifth" if hides else ""
    return (
        f"It made {visit.made_kwh:,.0f} kWh of the"
        f" {visit.should.total_kwh:,.0f} kWh it should have made from {_day(days[0])} to"
        f" {_day(days[-1])}, {per_cent(visit.ratio)} (doubt ± {per_cent(doubt)}){but}."
    )


def _day(day: object) -> str:
    year, month, number = str(day).split("-")
    name = month_name(12 * (int(year) - 1970) + int(month) - 1)
    return f"{int(number)} {name}"


def visit_notes(visit: Visit) -> tuple[str, ...]:
    """Say what the verdict takes for granted.

    Parameters
    ----------
    visit : a judged visit
    """
    return tuple(_notes(visit))


def _notes(visit: Visit) -> Iterator[str]:
    yield from visit.readings.notes
    yield from visit.period.notes
    yield from visit.year.notes
    yield (
        f"What it should have made: the site's estimate over these very days, {visit.year.label};"
        f" aged {visit.should.age_years:.1f} years at {_ageing(visit)}."
    )
    yield _light(visit)
    parts = visit.doubt
    yield (
        f"The doubt (two standard deviations) is put together from the light ± {_two(parts.light)},"
        f" the estimate ± {_two(parts.model)}, ageing ± {_two(parts.ageing)} and the meter"
        f" ± {_two(parts.meter)}."
    )
    if visit.readings.file.meter:
        yield "Meter readings are taken as made at midday."


def _ageing(visit: Visit) -> str:
    finance = visit.site.finance
    return (
        f"{100 * finance.degradation_first_year:.1f} % in the first year and"
        f" {100 * finance.degradation_per_year:.1f} % a year after"
    )


def _two(share: float) -> str:
    return f"{100 * constant('visit.doubt_multiple') * share:.1f} %"


def _light(visit: Visit) -> str:
    known, months = visit.should.light.known, visit.period.months
    if known.all():
        return (
            f"Light: {visit.light_source}. Energy follows it as this site's own estimate does; in"
            " winter on a steep roof it grows faster than the light on level ground."
        )
    usual = "the light of the site's own weather file"
    if visit.year.regional:
        usual = (
            f"that of the published regional means, {per_cent(newer_light())} brighter as newer"
            " readings say,"
        )
    missing = ", ".join(month_name(int(m)) for m in months[~known])
    whose = f"The light of {missing}" if known.any() else "The light of the period"
    if visit.light_known:
        return f"Light: {visit.light_source}. {whose} was not given: {usual} stands in for it."
    return (
        f"{whose} was not given: {usual} stands in for it, and years differ by"
        f" {100 * yearly_spread():.1f} % (one standard deviation). Give each month's light on level"
        " ground for a sharper verdict."
    )
