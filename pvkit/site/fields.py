"""How a site file's keys are declared: range, unit, default and the advice a bad value gets."""

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, Strict

from pvkit.tables import default

# A tick: TOML's own true or false, never 1, "yes" or "on".
Flag = Annotated[bool, Strict()]


class Section(BaseModel):
    """One table of a site file: frozen, hashable, and closed to keys it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def quantity(
    unit: str, low: float, high: float, fix: str, *, key: str = "", optional: bool = False
) -> Any:
    """Declare a number with its unit, range and advice.

    The range also keeps out ``nan`` and ``inf``, which TOML would let through. Text, true and
    false are no numbers, and a count is whole.

    Parameters
    ----------
    unit : shown beside the allowed range
    low, high : allowed range, ends included
    fix : what to do when the value is out of range
    key : dotted key of the default in ``defaults.toml``; without one the key is required
    optional : the key may be left out and is then None
    """
    extra: dict[str, Any] = {"unit": unit, "fix": fix, "low": low, "high": high}
    known: dict[str, Any] = {"strict": True, "ge": low, "le": high, "json_schema_extra": extra}
    if optional:
        return Field(default=None, **known)
    if key:
        return Field(default_factory=lambda: default(key), **known)
    return Field(**known)


def choice(key: str, fix: str) -> Any:
    """Declare a word or flag whose default stands in ``defaults.toml`` under ``key``."""
    return Field(default_factory=lambda: default(key), json_schema_extra={"fix": fix})


def text(most: int, fix: str, *, optional: bool = False) -> Any:
    """Declare a piece of text of up to ``most`` letters."""
    known: dict[str, Any] = {
        "strict": True,
        "min_length": 1,
        "max_length": most,
        "json_schema_extra": {"allowed": f"text in quotes, 1 to {most} letters", "fix": fix},
    }
    return Field(default=None, **known) if optional else Field(**known)


def clock(fix: str, *, key: str = "") -> Any:
    """Declare a clock time on the hour or half-hour; its default stands under ``key``."""
    extra: dict[str, Any] = {
        "allowed": "a clock time on the hour or half-hour, like '00:30'",
        "fix": fix,
    }
    known: dict[str, Any] = {"strict": True, "pattern": r"^([01]\d|2[0-3]):(00|30)$"}
    if key:
        known["default_factory"] = lambda: default(key)
    return Field(json_schema_extra=extra, **known)


def listing(allowed: str, least: int, most: int, fix: str) -> dict[str, Any]:
    """Give the arguments of a ``Field`` that holds a list of ``least`` to ``most`` entries."""
    return {
        "min_length": least,
        "max_length": most,
        "json_schema_extra": {"allowed": allowed, "fix": fix},
    }


Metres = Annotated[float, quantity("m", -200.0, 200.0, "give metres from any one corner")]
Corner = Annotated[
    tuple[Metres, Metres],
    Field(
        json_schema_extra={
            "allowed": "two numbers in metres, like [9, 5.5]",
            "fix": "give each corner as [across, up]",
        }
    ),
]


def corners(least: int, most: int, fix: str) -> Any:
    """Declare an optional list of points on a roof, each as metres across and up."""
    allowed = f"a list of {least} to {most} corners in metres, like [[0,0],[9,0],[9,5.5]]"
    return Field(default=None, **listing(allowed, least, most, fix))
