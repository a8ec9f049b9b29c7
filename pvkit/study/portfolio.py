"""Estimate thousands of sites: in parts, on Dask workers, with nothing done twice."""

import hashlib
import json
import time
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import pandas as pd

from pvkit.errors import PvkitError
from pvkit.site.reader import build_site
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate
from pvkit.study.parts_folder import Parts
from pvkit.study.site_list import Listed
from pvkit.study.stages import run_stages
from pvkit.study.store import Store
from pvkit.study.sweep import Progress, Watch
from pvkit.tables import constant

SITES_A_PART = 40
FIGURES = (
    "kwp", "ac_kwh", "specific_yield_kwh_per_kwp", "used_at_home_fraction", "capital_gbp",
    "first_year_saving_gbp", "simple_payback_years", "npv_gbp", "carbon_saved_kgco2e",
)  # fmt: skip
COLUMNS = ("number", "where", "name", *FIGURES, "npv_gbp_per_gbp", "fault")


class Part(NamedTuple):
    """Some sites of a list that are worked on together, and a digest of all they say."""

    sites: tuple[Listed, ...]
    digest: str


def portfolio(
    sites: Sequence[Listed],
    parts: Parts,
    client: Any = None,
    watch: Watch | None = None,
    *,
    sites_a_part: int = SITES_A_PART,
) -> pd.DataFrame:
    """Estimate every site of a list.

    Parameters
    ----------
    sites : from :func:`pvkit.study.site_list.read_sites`
    parts : where finished parts are kept; those found there are not worked on again
    client : a Dask client; None works in this process
    watch : called as parts come in; what it returns as False stops, and what is done stays
    sites_a_part : sites that are worked on together, sharing sun and sky

    Returns
    -------
    one row a site in the list's order, the figures missing and ``fault`` filled where a site
    cannot be estimated

    Notes
    -----
    The sun and the built-in year are worked out for the middle of a square of
    ``portfolio.place_step_deg`` and shared by all its sites. Each site's figures depend on that
    site alone, so that order, parts and workers change nothing.
    """
    every = list(_parts(sites, sites_a_part))
    waiting = [part for part in every if not parts.has(part.digest)]
    _run(waiting, len(every), parts, client, watch)
    found = [parts.read(part.digest) for part in every if parts.has(part.digest)]
    if not found:
        return pd.DataFrame(columns=list(COLUMNS))
    table = pd.concat(found, ignore_index=True)
    return table.sort_values("number", ignore_index=True)


def _parts(sites: Sequence[Listed], size: int) -> Iterator[Part]:
    """Cut the list into parts of neighbours, so that a part shares its sun and sky."""
    ordered = sorted(sites, key=lambda site: (_square(site.raw), site.number))
    for start in range(0, len(ordered), size):
        some = tuple(ordered[start : start + size])
        text = json.dumps([_version(), *some], sort_keys=True, default=str)
        yield Part(some, hashlib.sha256(text.encode()).hexdigest()[:20])


def _version() -> str:
    from pvkit import __version__

    return __version__


def _run(
    waiting: Sequence[Part],
    total: int,
    parts: Parts,
    client: Any,
    watch: Watch | None,
) -> None:
    start, done = time.perf_counter(), total - len(waiting)
    first = done
    if watch is not None and watch(Progress(done, total, None)) is False:
        return
    for digest, table in _finished(waiting, client):
        parts.write(digest, table)
        done += 1
        spent = time.perf_counter() - start
        left = spent / (done - first) * (total - done)
        if watch is not None and watch(Progress(done, total, left)) is False:
            return


def _finished(waiting: Sequence[Part], client: Any) -> Iterator[tuple[str, pd.DataFrame]]:
    """Give the parts as they are done, with or without a cluster."""
    if client is None:
        for part in waiting:
            yield part.digest, part_table(part)
        return
    from distributed import as_completed

    futures = {
        client.submit(part_table, part, key=f"sites-{part.digest}", retries=3): part
        for part in waiting
    }
    try:
        for future in as_completed(futures):  # type: ignore[no-untyped-call]
            yield futures[future].digest, future.result()
    finally:
        client.cancel(list(futures))


def part_table(part: Part) -> pd.DataFrame:
    """Estimate the sites of one part; what goes wrong with one is told in its row."""
    from pvkit.roof.threads import one_thread

    store = Store()
    with one_thread():
        rows = [_row(site, store) for site in part.sites]
    table = pd.DataFrame(rows, columns=list(COLUMNS))
    return table.astype(dict.fromkeys((*FIGURES, "npv_gbp_per_gbp"), "float64"))


def _row(listed: Listed, store: Store) -> list[Any]:
    name = str(listed.raw.get("site", {}).get("name", ""))
    head = [listed.number, listed.where, name]
    try:
        if listed.fault:
            return [*head, *_nothing(), listed.fault]
        site = _in_square(build_site(listed.raw, listed.where))
        estimate = Estimate(run_stages(site, store))
    except PvkitError as error:
        return [*head, *_nothing(), str(error)]
    figures = [getattr(estimate, figure) for figure in FIGURES]
    worth = estimate.npv_gbp / estimate.capital_gbp if estimate.capital_gbp else None
    return [*head, *figures, worth, ""]


def _nothing() -> list[None]:
    return [None] * (len(FIGURES) + 1)


def _in_square(site: Site) -> Site:
    """Move a site to the middle of its square, so that neighbours share their sun."""
    latitude, longitude = (_middle(at) for at in (site.site.latitude, site.site.longitude))
    place = site.site.model_copy(update={"latitude": latitude, "longitude": longitude})
    return site.model_copy(update={"site": place})


def _square(raw: dict[str, Any]) -> tuple[float, float]:
    place = raw.get("site", {})
    try:
        return _middle(float(place["latitude"])), _middle(float(place["longitude"]))
    except (KeyError, TypeError, ValueError):
        return 0.0, 0.0


def _middle(degrees: float) -> float:
    step = constant("portfolio.place_step_deg")
    return round((degrees // step + 0.5) * step, 6)
