"""Numbers that wind and ballast sums read from ``wind_loads.toml``."""

from functools import cache

from pvkit.tables import Kind, Number, numbers

FILE = "wind_loads.toml"


@cache
def load_number(name: str) -> float:
    """Give one number of the table.

    Examples
    --------
    >>> load_number("factor.wind")
    1.5
    """
    return float(numbers(FILE)[name].value)


def entry(name: str, words: str) -> Number:
    """Give a number of the table under a plain name, its source and kind kept."""
    found = numbers(FILE)[name]
    return Number(words, found.value, found.unit, found.source, found.kind)


def told(words: str, value: float | str, unit: str) -> Number:
    """Give a number the site file says."""
    given: Kind = "given"
    return Number(words, value, unit, "site file", given)


def usual(key: str, words: str) -> Number:
    """Give a default of the site file under a plain name."""
    found = numbers("defaults.toml")[key]
    return Number(words, found.value, found.unit, found.source, found.kind)
