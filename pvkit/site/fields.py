"""How a site file's keys are declared: range, unit, default and the advice a bad value gets."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from pvkit.tables import default


class Section(BaseModel):
    """One table of a site file: frozen, hashable, and closed to keys it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def quantity(  # noqa: PLR0913  (a declaration reads better flat)
    unit: str, low: float, high: float, fix: str, *, key: str = "", optional: bool = False
) -> Any:
    """Declare a number with its unit, range and advice.

    Parameters
    ----------
    unit : shown beside the allowed range
    low, high : allowed range, ends included
    fix : what to do when the value is out of range
    key : dotted key of the default in ``defaults.toml``; without one the key is required
    optional : the key may be left out and is then None
    """
    extra = {"unit": unit, "fix": fix, "low": low, "high": high}
    if optional:
        return Field(default=None, ge=low, le=high, json_schema_extra=extra)
    if key:
        return Field(
            default_factory=lambda: default(key), ge=low, le=high, json_schema_extra=extra
        )
    return Field(ge=low, le=high, json_schema_extra=extra)


def choice(key: str) -> Any:
    """Declare a word, flag or list whose default stands in ``defaults.toml`` under ``key``."""
    return Field(default_factory=lambda: default(key))
