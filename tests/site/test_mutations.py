"""Whatever is done to a survey, it either loads or is refused in the one plain form."""

import tomllib
from copy import deepcopy
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pvkit.errors import Fault, InputError
from pvkit.site.reader import build_site
from pvkit.site.reader import given as given_by
from pvkit.site.survey import Site

GOOD = tomllib.loads(Path(__file__).with_name("good_site.toml").read_text(encoding="utf-8"))
CONTEST = settings(
    max_examples=400,
    deadline=timedelta(seconds=2),  # a reader that hangs fails
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)

plain = st.one_of(
    st.none(), st.booleans(), st.integers(), st.integers(min_value=10**300), st.floats(),
    st.text(max_size=20), st.dates(), st.binary(max_size=4), st.just(date),
    st.sampled_from(["flat", "top", "main", "half-cut-430", "00:30", "", "nan", "1e5", -0.0, 0, 1]),
)  # fmt: skip
junk = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=8,
)


def places(value: Any) -> list[tuple[Any, Any]]:
    """List every table or list of a survey with each key or position in it."""
    if isinstance(value, dict):
        keys: list[Any] = list(value)
    elif isinstance(value, list):
        keys = list(range(len(value)))
    else:
        return []
    return [(value, key) for key in keys] + [p for key in keys for p in places(value[key])]


def spoil(raw: dict[str, Any], draw: st.DataObject) -> None:
    holder, key = draw.draw(st.sampled_from(places(raw)))
    match draw.draw(st.sampled_from(["delete", "replace", "copy", "add"])):
        case "delete":
            del holder[key]
        case "replace":
            holder[key] = draw.draw(junk)
        case "copy":  # a sound value of another key
            other, there = draw.draw(st.sampled_from(places(GOOD)))
            holder[key] = deepcopy(other[there])
        case "add" if isinstance(holder, dict):
            holder[draw.draw(st.text(max_size=12))] = draw.draw(junk)
        case "add":
            holder.append(draw.draw(junk))


def assert_plain(error: InputError) -> None:
    assert error.faults
    for fault in error.faults:
        assert isinstance(fault, Fault)
        assert fault.where.startswith("site")
        assert all((fault.found, fault.allowed, fault.fix))
        assert len(str(fault)) < 3000
    assert str(error)


@CONTEST
@given(st.integers(1, 5), st.data())
def test_a_spoilt_survey_is_a_site_or_an_input_error(spoilings: int, draw: st.DataObject) -> None:
    raw = deepcopy(GOOD)
    for _ in range(spoilings):
        if places(raw):
            spoil(raw, draw)
    try:
        site = build_site(raw)
    except InputError as error:
        assert_plain(error)
    else:
        assert isinstance(site, Site)
        assert isinstance(hash(site), int)
        assert 0 < site.kwp() < 1e6
        assert build_site(given_by(site)) == site


@CONTEST
@given(st.dictionaries(st.sampled_from([*GOOD, "other"]), junk, max_size=8))
def test_a_survey_of_rubbish_is_an_input_error(raw: dict[str, Any]) -> None:
    try:
        build_site(raw)
    except InputError as error:
        assert_plain(error)
    else:
        raise AssertionError(raw)
