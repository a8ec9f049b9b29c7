"""Published numbers and defaults, each with its value, unit, source and kind.

``defaults.toml`` holds what a site file may leave out (its keys are the site file's own dotted
keys); ``constants.toml`` holds what the physics needs and a site file does not say;
``limits.toml`` holds what judges an input and leaves the estimate alone; the CSV files are
published tables, the first line of each naming its source; ``parts_*.toml`` are generic parts.
"""

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal, cast

Kind = Literal["published", "common practice", "from memory", "assumption", "given"]
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True, slots=True)
class Number:
    """A value that came from somewhere.

    Parameters
    ----------
    name : dotted key
    value : the number or word itself
    unit : its unit, ``-`` where it has none
    source : document, edition and table, or the reason for the choice
    kind : published, common practice, from memory, assumption, or given (by the site file)
    """

    name: str
    value: Any
    unit: str
    source: str
    kind: Kind


def _text(file: str) -> str:
    return resources.files(__name__).joinpath(file).read_text(encoding="utf-8")


@cache
def numbers(file: str) -> dict[str, Number]:
    """Read every number of one TOML table file, by dotted name.

    Examples
    --------
    >>> numbers("defaults.toml")["finance.discount_rate"].value
    0.035
    """
    return {name: Number(name, **entry) for name, entry in tomllib.loads(_text(file)).items()}


def default(key: str) -> Any:
    """Give the value used when a site file leaves ``key`` out."""
    value = numbers("defaults.toml")[key].value
    return tuple(value) if isinstance(value, list) else value


def constant(name: str) -> float:
    """Give one physical or household constant, or one limit that judges an input.

    Examples
    --------
    >>> constant("water.kwh_per_litre_kelvin")
    0.001163
    """
    file = "constants.toml" if name in numbers("constants.toml") else "limits.toml"
    return cast(float, numbers(file)[name].value)


@cache
def rows(file: str) -> tuple[dict[str, str], ...]:
    """Read a published CSV table, its source line left off, as one dict of text per row.

    Examples
    --------
    >>> rows("sap_u3_irradiance_w_per_m2.csv")[6]["jun"]
    '208'
    """
    return tuple(csv.DictReader(_text(file).splitlines()[1:]))


@cache
def source_of(file: str) -> str:
    """Give the source line that heads a published CSV table."""
    return _text(file).splitlines()[0].removeprefix("# Source: ")


@cache
def parts(kind: Literal["modules", "inverters", "optimisers"]) -> dict[str, dict[str, Any]]:
    """Read the generic parts of one kind, by name.

    Examples
    --------
    >>> parts("modules")["half-cut-430"]["cells_in_series"]
    54
    """
    found = tomllib.loads(_text(f"parts_{kind}.toml"))
    return {name: entry for name, entry in found.items() if name != "about"}
