"""Every key's declared range holds, and every default and constant says where it came from."""

import csv
import math
import tomllib
from collections.abc import Iterator
from datetime import date
from importlib import resources
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from pvkit.errors import InputError
from pvkit.site.kinds import variants
from pvkit.site.reader import build_site
from pvkit.site.survey import Site
from pvkit.site.wording import bare
from pvkit.tables import default, numbers, parts

TABLES = resources.files("pvkit.tables")
NUMBER_FILES = [f.name for f in TABLES.iterdir()
                if f.name.endswith(".toml") and not f.name.startswith("parts_")]  # fmt: skip
KINDS = {"published", "common practice", "from memory", "assumption"}

# Defaults that stand in for something a site file leaves out, and are no key themselves.
STAND_INS = {
    "costs.typical_gbp_per_kw",  # for costs.items
    "costs.inverter_replacement_gbp",  # for costs.replacements
    "costs.inverter_replacement_year",
    "losses.soiling_fraction_low_tilt",  # losses.soiling_fraction goes by tilt
}
# Left out without a default in the table: nothing is assumed, or the data sheet's own form.
NO_TABLE = {"tariff.import_bands", "tariff.export_bands", "tariff.periods",
            "array.datasheet.half_cut", "inverter.datasheet.phases",
            "obstacle", "keep_clear", "standard.planes", "hot_water.boost"}  # fmt: skip


def keys(model: type[BaseModel] = Site, above: str = "") -> Iterator[tuple[str, Any]]:
    """Give every key of the site file with its declaration; list entries without a number.

    Where a table's keys hang on its kind, the kind stands between: ``obstacle.tree.height_m``.
    """
    for name, field in model.model_fields.items():
        kind = bare(field.annotation)
        inner = bare(next(iter(get_args(kind)), kind))
        if variants(inner):
            yield f"{above}{name}", field
            for word, table in variants(inner).items():
                yield from keys(table, f"{above}{name}.{word}.")
        elif isinstance(inner, type) and issubclass(inner, BaseModel):
            yield f"{above}{name}", field
            yield from keys(inner, f"{above}{name}.")
        else:
            yield f"{above}{name}", field


KEYS = dict(keys())
KINDS_OF_OBSTACLE = variants(get_args(Site.model_fields["obstacle"].annotation)[0])


def file_key(key: str) -> str:
    """Give a key as the tables have it, without the kind of obstacle."""
    return ".".join(part for n, part in enumerate(key.split(".")) if n != 1 or not is_kind(key))


def is_kind(key: str) -> bool:
    table, _, rest = key.partition(".")
    return table == "obstacle" and rest.partition(".")[0] in KINDS_OF_OBSTACLE


FILE_KEYS = {file_key(key) for key in KEYS}
RANGED = {
    key: field.json_schema_extra
    for key, field in KEYS.items()
    if isinstance(field.json_schema_extra, dict) and "low" in field.json_schema_extra
}


def whole_site() -> dict[str, Any]:
    """Give a site file with every table in it, so that any key can be set."""
    return {
        "site": {"name": "a", "latitude": 51.0, "longitude": -1.0},
        "horizon": {"bearing_deg": [90], "elevation_deg": [5]},
        "roof": [{"name": "r", "kind": "flat", "azimuth_deg": 180, "width_m": 9, "depth_m": 6}],
        "array": [{"name": "m", "roof": "r", "count": 6,
                   "datasheet": dict(parts("modules")["half-cut-430"])}],
        "obstacle": [
            {"name": "b", "kind": "box", "roof": "r", "x_m": 0.1, "y_m": 0.1,
             "width_m": 0.5, "depth_m": 0.5, "height_m": 1.0},
            {"name": "c", "kind": "cylinder", "roof": "r", "x_m": 8.5, "y_m": 0.3,
             "diameter_m": 0.1, "height_m": 1.0},
            {"name": "w", "kind": "wall", "bearing_deg": 90, "distance_m": 20,
             "width_m": 8, "height_m": 9},
            {"name": "t", "kind": "tree", "bearing_deg": 200, "distance_m": 20,
             "width_m": 5, "height_m": 12},
            {"name": "p", "kind": "parapet", "roof": "r", "edge": "front", "height_m": 0.4},
            {"name": "n", "kind": "ridge", "roof": "r", "bearing_deg": 0, "distance_m": 12,
             "width_m": 8, "height_m": 2},
        ],
        "keep_clear": [{"name": "k", "roof": "r", "kind": "vent", "x_m": 0.1, "y_m": 5.7,
                        "width_m": 0.2, "depth_m": 0.2}],
        "inverter": {"datasheet": dict(parts("inverters")["single-phase-2500"])},
        "hot_water": {},
        "battery": {"capacity_kwh": 5.0},
        "tariff": {
            "import_gbp_per_kwh": 0.3,
            "import_bands": [
                {"name": "n", "start": "00:30", "end": "07:30", "gbp_per_kwh": 0.1}],
            "export_gbp_per_kwh": 0.1,
            "export_bands": [
                {"name": "e", "start": "11:00", "end": "14:00", "gbp_per_kwh": 0.05}],
            "periods": [
                {"name": "y", "valid_from": date(2026, 1, 1), "valid_to": date(2026, 12, 31),
                 "import_bands": [
                     {"name": "m", "start": "00:30", "end": "07:30", "gbp_per_kwh": 0.1}],
                 "export_bands": [
                     {"name": "f", "start": "11:00", "end": "14:00", "gbp_per_kwh": 0.05}]}],
        },
        "costs": {"items": [{"name": "i", "gbp": 1}],
                  "replacements": [{"name": "r", "year": 9, "gbp": 1}]},
        "standard": {"planes": [{"array": "m"}]},
    }  # fmt: skip


def faulty_keys(key: str, value: Any) -> set[str]:
    """Set one key and give the last words of the keys that are then at fault."""
    raw = whole_site()
    *tables, last = key.split(".")
    here: Any = raw
    for table in tables:
        if isinstance(here, list):
            here = next(entry for entry in here if entry["kind"] == table)
            continue
        here = here.setdefault(table, {})
        here = here[0] if isinstance(here, list) and table != "obstacle" else here
    here[last] = value
    try:
        build_site(raw)
    except InputError as error:
        return {fault.where for fault in error.faults if fault.where.endswith(f".{last}")
                and " from " in fault.allowed}  # fmt: skip
    return set()


def test_the_whole_site_is_good() -> None:
    assert isinstance(build_site(whole_site()), Site)


@pytest.mark.parametrize("key", RANGED)
def test_both_ends_of_a_range_are_in_it_and_what_lies_beyond_is_not(key: str) -> None:
    low, high = RANGED[key]["low"], RANGED[key]["high"]
    step = 1 if isinstance(low, int) else max(abs(low), abs(high)) * 1e-9
    assert not faulty_keys(key, low)
    assert not faulty_keys(key, high)
    assert faulty_keys(key, low - step)
    assert faulty_keys(key, high + step)


@pytest.mark.parametrize("key", RANGED)
@pytest.mark.parametrize(
    "value", [math.nan, math.inf, -math.inf, True, False, "1", [1], {}, 10**400]
)
def test_what_is_no_number_is_refused_wherever_a_number_stands(key: str, value: Any) -> None:
    assert faulty_keys(key, value)


@pytest.mark.parametrize("key", [key for key in RANGED if isinstance(RANGED[key]["low"], int)])
def test_a_count_is_whole(key: str) -> None:
    assert faulty_keys(key, float(RANGED[key]["low"]))


@pytest.mark.parametrize("key", RANGED)
def test_a_number_without_a_whole_range_is_no_count(key: str) -> None:
    assert (bare(KEYS[key].annotation) is int) == isinstance(RANGED[key]["low"], int)


@pytest.mark.parametrize("key", KEYS)
def test_every_key_declares_what_to_do_about_a_bad_value(key: str) -> None:
    extra = KEYS[key].json_schema_extra
    assert isinstance(extra, dict)
    assert extra["fix"]


@pytest.mark.parametrize("key", [key for key, field in KEYS.items() if not field.is_required()])
def test_what_is_left_out_takes_the_value_in_the_tables(key: str) -> None:
    value = KEYS[key].get_default(call_default_factory=True)
    if file_key(key) in numbers("defaults.toml") and value is not None:
        assert value == default(file_key(key))
    else:
        assert value is None or isinstance(value, BaseModel) or key in NO_TABLE


@pytest.mark.parametrize("key", numbers("defaults.toml"))
def test_every_default_is_for_a_key_of_the_site_file(key: str) -> None:
    assert (key in FILE_KEYS) != (key in STAND_INS)


@pytest.mark.parametrize("key", [key for key in numbers("defaults.toml") if key in FILE_KEYS])
def test_every_default_would_be_accepted_if_a_file_gave_it(key: str) -> None:
    raw = whole_site()
    table, _, name = key.partition(".")
    here = raw.setdefault(table, {})
    trees = [entry for entry in here if entry.get("kind") == "tree"] if table == "obstacle" else []
    (trees[0] if trees else here[0] if isinstance(here, list) else here)[name] = numbers(
        "defaults.toml"
    )[key].value
    assert isinstance(build_site(raw), Site)


@pytest.mark.parametrize("file", NUMBER_FILES)
def test_every_number_has_a_value_a_unit_a_source_and_a_kind(file: str) -> None:
    entries = tomllib.loads(TABLES.joinpath(file).read_text(encoding="utf-8"))
    assert entries
    for name, entry in entries.items():
        assert set(entry) == {"value", "unit", "source", "kind"}, name
        assert entry["kind"] in KINDS, name
        assert entry["unit"].strip(), name
        assert len(entry["source"].strip()) > 8, name
        if isinstance(entry["value"], float):
            assert math.isfinite(entry["value"]), name


@pytest.mark.parametrize("kind", ["modules", "inverters", "optimisers"])
def test_the_parts_lists_say_what_they_are(kind: str) -> None:
    about = tomllib.loads(TABLES.joinpath(f"parts_{kind}.toml").read_text(encoding="utf-8"))[
        "about"
    ]
    assert "no maker's part" in about


@pytest.mark.parametrize("file", [f.name for f in TABLES.iterdir() if f.name.endswith(".csv")])
def test_every_published_table_is_headed_by_its_source(file: str) -> None:
    first, *rest = TABLES.joinpath(file).read_text(encoding="utf-8").splitlines()
    assert first.startswith("# Source: ")
    rows = list(csv.reader(rest))
    assert len({len(row) for row in rows}) == 1
