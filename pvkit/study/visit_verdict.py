"""The word for a period: as expected, a little low, low, higher, or too little to tell."""

from dataclasses import dataclass
from typing import Literal

from pvkit.tables import constant

Level = Literal["as expected", "higher than expected", "too little to tell", "a little low", "low"]
AS_EXPECTED: Level = "as expected"
HIGH: Level = "higher than expected"
UNSURE: Level = "too little to tell"
LITTLE_LOW: Level = "a little low"
LOW: Level = "low"
# From what asks for nothing to what asks for most.
ORDER: tuple[Level, ...] = (AS_EXPECTED, UNSURE, HIGH, LITTLE_LOW, LOW)


@dataclass(frozen=True, slots=True)
class Limits:
    """Between which shares of the expected energy nothing is said.

    Parameters
    ----------
    attention : below it a little low
    low : below it low
    high : above it higher than expected
    """

    attention: float
    low: float
    high: float


def limits(doubt: float) -> Limits:
    """Give the limits of a period: those of the tables, or farther out where doubt reaches farther.

    Parameters
    ----------
    doubt : standard deviation of made over expected, as a share

    Examples
    --------
    >>> limits(0.04).attention, round(limits(0.07).attention, 2), limits(0.07).low
    (0.9, 0.86, 0.8)
    """
    reach = constant("visit.doubt_multiple") * doubt
    return Limits(
        attention=min(constant("visit.attention_fraction"), 1.0 - reach),
        low=min(constant("visit.low_fraction"), 1.0 - reach),
        high=max(constant("visit.high_fraction"), 1.0 + reach),
    )


def level_of(ratio: float, doubt: float) -> Level:
    """Judge what was made over what was expected.

    Parameters
    ----------
    ratio : made over expected
    doubt : its standard deviation for a sound system, as a share

    Returns
    -------
    too little to tell, where even a system that lacks a fifth could look like this one, and this
    one does not look sound by itself

    Examples
    --------
    >>> level_of(0.97, 0.05), level_of(0.86, 0.05), level_of(0.7, 0.05), level_of(0.75, 0.2)
    ('as expected', 'a little low', 'low', 'too little to tell')
    """
    between = limits(doubt)
    if ratio < between.low:
        return LOW
    if ratio < between.attention:
        return LITTLE_LOW
    if ratio > between.high:
        return HIGH
    sound = constant("visit.attention_fraction") <= ratio <= constant("visit.high_fraction")
    if not sound and between.attention < constant("visit.low_fraction"):
        return UNSURE
    return AS_EXPECTED


def worst(*levels: Level) -> Level:
    """Give the level that asks for most."""
    return max(levels, key=ORDER.index)


def per_cent(share: float) -> str:
    """Say a share.

    Examples
    --------
    >>> per_cent(0.154)
    '15 %'
    """
    return f"{100.0 * share:.0f} %"
