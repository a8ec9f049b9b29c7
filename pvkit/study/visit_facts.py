"""A visit as plain numbers, words and lists, under stable keys."""

from dataclasses import asdict
from typing import Any

import numpy as np

from pvkit.study.visit_result import Visit
from pvkit.study.visit_spans import month_name
from pvkit.study.visit_words import verdict_sentence, visit_notes

FORMAT_VERSION = 1
KIND = "yearly visit"


def visit_facts(visit: Visit) -> dict[str, Any]:
    """List a visit's facts; no value is ever NaN, a missing one is None.

    Parameters
    ----------
    visit : a judged visit
    """
    day = visit.readings.file.visit
    return {
        "format_version": FORMAT_VERSION,
        "kind": KIND,
        "site": visit.site.site.name,
        "visit_date": day.date.isoformat(),
        "installed": day.installed.isoformat(),
        "by": day.by,
        "remarks": day.remarks,
        "age_years": visit.should.age_years,
        "first_day": str(visit.period.days[0]),
        "last_day": str(visit.period.days[-1]),
        "made_kwh": visit.made_kwh,
        "expected_kwh": visit.should.total_kwh,
        "usual_kwh": visit.should.usual_kwh,
        "ratio": visit.ratio,
        "doubt": asdict(visit.doubt) | {"total": visit.doubt.total},
        "light_known": visit.light_known,
        "light_source": visit.light_source,
        "performance_ratio": visit.performance_ratio,
        "expected_performance_ratio": visit.expected_performance_ratio,
        "verdict": visit.level,
        "sentence": verdict_sentence(visit),
        "look_at": list(visit.look_at),
        "spans": list(_spans(visit)),
        "light": list(_light(visit)),
        "rows": [asdict(row) for group in visit.groups for row in group.rows],
        "not_looked_at": list(visit.still_open),
        "earlier": [asdict(each) for each in visit.earlier],
        "notes": list(visit_notes(visit)),
        "cautions": list(visit.cautions),
    }


def _spans(visit: Visit) -> list[dict[str, Any]]:
    """Give each stretch of the readings: its days, made, expected."""
    period, should = visit.period, visit.should.span_kwh
    found = []
    for cover, made, expected in zip(period.cover, period.kwh, should, strict=True):
        days = period.days[cover > 0.0]
        found.append({
            "first_day": str(days[0]),
            "last_day": str(days[-1]),
            "days": float(cover.sum()),
            "made_kwh": float(made),
            "expected_kwh": float(expected),
            "ratio": float(made / expected) if expected > 0.0 else None,
        })  # fmt: skip
    return found


def _light(visit: Visit) -> list[dict[str, Any]]:
    light = visit.should.light
    real = visit.year.of_the_period
    return [
        {
            "month": str(np.datetime64(int(month), "M")),
            "name": month_name(int(month)),
            "given": bool(known),
            "over_usual": None if real else float(share),
        }
        for month, known, share in zip(visit.period.months, light.known, light.share, strict=True)
    ]
