"""A smart meter's file in the place of the built-in home: how it is read and what it changes."""

from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd

from pvkit.errors import InputError
from pvkit.home.meter import meter_notes
from pvkit.home.meter_spread import even_use_fraction, spread_note
from pvkit.study.home_year import HomeYear, home_year
from pvkit.study.study import Study

BUILT_IN = "built-in home"


def meter_words(study: Study, changes: Mapping[str, Any]) -> str:
    """Say how a meter file is read, or why it is refused, point by point.

    Parameters
    ----------
    study : the site
    changes : names the file and says how to read it, as ``{"home.meter_file": "readings.csv"}``

    Returns
    -------
    text; the faults with their dates where the file is refused, else what was guessed, left out,
    filled or made up, and what the minutes within a half-hour change
    """
    try:
        year = home_year(study.change(changes))
    except InputError as error:
        return f"Refused:\n{error}"
    return "Read:\n" + "\n".join(f"- {point}" for point in _points(year))


def _points(year: HomeYear) -> Iterator[str]:
    flows = year.stages.year
    yield from meter_notes(year.site.home)
    yield spread_note(flows.solar_kwh, flows.demand_kwh, flows.direct_kwh)


def meter_table(study: Study, files: Mapping[str, Mapping[str, Any]]) -> pd.DataFrame:
    """Set a home's year with its meter's half-hours beside the built-in one.

    Parameters
    ----------
    study : the site
    files : name to changes, as for :func:`meter_words`

    Returns
    -------
    a row for the built-in home and for each file: what the home uses, the share of the solar used
    as it is made with the minutes that were borrowed (``direct_fraction``) and if use and sunshine
    were even within each half-hour (``direct_if_even_fraction``), then the whole answer
    """
    cases = {BUILT_IN: study} | {name: study.change(asked) for name, asked in files.items()}
    rows = {name: _row(home_year(case)) for name, case in cases.items()}
    return pd.DataFrame.from_dict(rows, orient="index").rename_axis("demand from")


def _row(year: HomeYear) -> dict[str, float]:
    flows = year.stages.year
    made = float(flows.solar_kwh.sum())
    return {
        "demand_kwh": year.demand_kwh,
        "direct_fraction": year.direct_kwh / made if made > 0.0 else 0.0,
        "direct_if_even_fraction": even_use_fraction(flows.solar_kwh, flows.demand_kwh),
        "used_at_home_fraction": year.used_at_home_fraction,
        "import_kwh": year.import_kwh,
        "first_year_saving_gbp": year.first_year_saving_gbp,
    }
