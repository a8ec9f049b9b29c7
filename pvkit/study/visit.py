"""The yearly visit: what the system made against what it should have made, and what was seen."""

from collections.abc import Sequence
from dataclasses import replace

from pvkit.electrical.finding import where_from
from pvkit.errors import Fault, InputError
from pvkit.site.survey import Site
from pvkit.site.visit_readings import VisitReadings, day_number
from pvkit.study.store import Store
from pvkit.study.visit_checklist import checklist_rows
from pvkit.study.visit_doubt import Doubt, doubt_of
from pvkit.study.visit_earlier import Earlier, against_earlier
from pvkit.study.visit_expected import Expected, expected, period_light
from pvkit.study.visit_look import HIGH_METER, HIGH_POWER, STEADY, same_share
from pvkit.study.visit_pattern import Pattern, patterns
from pvkit.study.visit_period import Period, period_of
from pvkit.study.visit_result import Visit, light_source
from pvkit.study.visit_site import SiteYear, site_year
from pvkit.study.visit_spans import span_table
from pvkit.study.visit_verdict import (
    AS_EXPECTED,
    HIGH,
    LITTLE_LOW,
    LOW,
    Level,
    level_of,
    limits,
    per_cent,
    worst,
)
from pvkit.study.visit_weather import refuse_other_days
from pvkit.tables import constant
from pvkit.verdict import CheckGroup, CheckRow, Verdict

_VERDICTS: dict[Level, Verdict] = {AS_EXPECTED: "pass", LITTLE_LOW: "fail", LOW: "fail"}


def visit(
    site: Site,
    readings: VisitReadings,
    *,
    earlier: Sequence[Earlier] = (),
    store: Store | None = None,
) -> Visit:
    """Judge a visit.

    Parameters
    ----------
    site : a checked survey
    readings : from :func:`pvkit.site.visit_readings.load_visit`
    earlier : the site's earlier visits, from its history
    store : remembered results

    Raises
    ------
    InputError
        If the readings cannot be those of this site, or the weather cannot be used.
    """
    kept = Store() if store is None else store
    return judge(site, site_year(site, kept, readings.weather), readings, earlier)


def judge(
    site: Site, year: SiteYear, readings: VisitReadings, earlier: Sequence[Earlier] = ()
) -> Visit:
    """Judge a visit by a year of the site that is already known.

    Parameters
    ----------
    site : a checked survey
    year : its year, under the period's own weather if the readings bring it
    readings, earlier : as in :func:`visit`
    """
    period = period_of(readings, year)
    if readings.weather is not None:
        refuse_other_days(readings.weather, period)
    light = period_light(year, period, readings.light)
    installed = day_number(readings.file.visit.installed)
    should = expected(year, period, light, site.finance, installed)
    _refuse_unit(readings, period, should)
    doubt = doubt_of(year, period, should)
    ratio = float(period.kwh.sum()) / should.total_kwh
    whole = level_of(ratio, doubt.whole.total)
    found = [*patterns(span_table(period, should, doubt), period)]
    source = light_source(readings) if should.light_known else ""
    fell = against_earlier(ratio, doubt.whole, source, earlier)
    found += [fell] if fell is not None else []
    level = worst(whole, *(pattern.level for pattern in found))
    half_hours = readings.half_hours is not None
    look_at = _look_at(whole, ratio, doubt.whole, found, year, half_hours=half_hours)
    judged = Visit(
        site, readings, year, period, should, doubt.whole, level, look_at, (), tuple(earlier)
    )
    made = (*_energy_rows(judged, whole), *(pattern.row for pattern in found))
    looked = checklist_rows(site, readings.file)
    groups = (CheckGroup("What it made", made), CheckGroup("What was looked at", looked))
    return replace(judged, groups=groups)


def _refuse_unit(readings: VisitReadings, period: Period, should: Expected) -> None:
    if should.total_kwh <= 0.0:
        found = "found days on which this site makes nothing"
        raise InputError(Fault(readings.where, found, "days with some sun", "check the dates"))
    ratio = float(period.kwh.sum()) / should.total_kwh
    most = constant("visit.unit_ratio")
    if 1.0 / (100.0 * most) < ratio < most or ratio == 0.0:
        return
    fix = "check the unit, and that the readings are of this site"
    if 1000.0 / most < ratio < 1000.0 * most:
        fix = "these look like Wh: divide by 1,000"
    elif ratio < 0.01:
        fix = "these look like MWh: multiply by 1,000"
    raise InputError(
        Fault(readings.where, f"found {period.kwh.sum():,.5g} kWh, {ratio:,.3g} times of what the"
              " site should make", f"about {should.total_kwh:,.0f} kWh", fix)
    )  # fmt: skip


def _look_at(
    whole: Level,
    ratio: float,
    doubt: Doubt,
    found: list[Pattern],
    year: SiteYear,
    *,
    half_hours: bool,
) -> tuple[str, ...]:
    """List where to look: what the months give away first, then what a steady lack suggests."""
    listed: list[str] = []
    for pattern in found:
        listed += same_share(pattern.missing, year.parts, doubt.light) if pattern.missing else ()
        listed += pattern.look_at
    if whole in (LITTLE_LOW, LOW) and not listed:
        listed += (*same_share(1.0 - ratio, year.parts, doubt.total), *STEADY)
    if whole == HIGH:
        # kW in place of kWh doubles a half-hour's energy; so much more has so much more doubt.
        twice = abs(ratio - 2.0) < 2.0 * constant("visit.doubt_multiple") * doubt.total
        listed += [HIGH_POWER] if half_hours and twice else []
        listed += HIGH_METER
    return tuple(dict.fromkeys(listed))


def _energy_rows(judged: Visit, whole: Level) -> tuple[CheckRow, ...]:
    between = limits(judged.doubt.total)
    verdict = _VERDICTS.get(whole, "ask")
    value = (f"{judged.made_kwh:,.0f} of {judged.should.total_kwh:,.0f} kWh,"
             f" {100.0 * judged.ratio:.1f} %")  # fmt: skip
    reach = constant("visit.doubt_multiple") * judged.doubt.total
    limit = (f"{100.0 * between.attention:.1f} % to {100.0 * between.high:.1f} %"
             f" (doubt ± {per_cent(reach)})")  # fmt: skip
    source = where_from("visit.attention_fraction", "visit.doubt_multiple")
    rows = [CheckRow("Made against what it should have made", value, limit, verdict, source)]
    if judged.performance_ratio is not None:
        should = judged.expected_performance_ratio
        rows.append(CheckRow(
            "Performance ratio (IEC 61724-1)", f"{judged.performance_ratio:.2f}",
            f"{between.attention * should:.2f} to {between.high * should:.2f}, expected"
            f" {should:.2f}", verdict, source,
        ))  # fmt: skip
    return tuple(rows)
