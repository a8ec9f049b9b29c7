"""Honest rounding: figures for people, never 0 or 100 % unless it is true."""

import math

# Sums of half-hours carry noise of this size; a share this near to all is all.
_NOISE = 1e-9
_COMPASS = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip


def kwh(value: float) -> str:
    """Say an energy.

    Examples
    --------
    >>> kwh(2345.6), kwh(3.27), kwh(0.04)
    ('2,346 kWh', '3.3 kWh', 'under 0.1 kWh')
    """
    return f"{_amount(value)} kWh"


def kilograms(value: float) -> str:
    """Say a mass of carbon dioxide equivalent, in tonnes when it is large.

    Examples
    --------
    >>> kilograms(312.4), kilograms(5230), kilograms(-1480)
    ('312 kg', '5.2 t', '−1.5 t')
    """
    if abs(value) >= 1000:
        return f"{_amount(value / 1000)} t"
    return f"{_amount(value)} kg"


def pounds(value: float) -> str:
    """Say an amount of money, to the pound, or to the penny below ten pounds.

    Examples
    --------
    >>> pounds(4980), pounds(-120.4), pounds(3.456), pounds(0)
    ('£4,980', '−£120', '£3.46', '£0')
    """
    size = abs(_finite(value))
    if size < 0.005:
        return "£0" if size <= _NOISE else "under 1p"
    sign = "−" if value < 0 else ""
    return f"{sign}£{size:,.2f}" if size < 9.995 else f"{sign}£{size:,.0f}"


def pence(value_gbp: float | None) -> str:
    """Say a price per kWh in pence, or that there is none.

    Examples
    --------
    >>> pence(0.2611), pence(-0.02), pence(0), pence(None)
    ('26.1 p/kWh', '−2.0 p/kWh', '0 p/kWh', 'none')
    """
    return "none" if value_gbp is None else f"{_tenths(value_gbp * 100)} p/kWh"


def percent(fraction: float) -> str:
    """Say a share; what is not quite none or all is not rounded to it.

    Examples
    --------
    >>> percent(0.4321), percent(0.9996), percent(0.0004), percent(1.0), percent(0.0)
    ('43 %', 'over 99 %', 'under 1 %', '100 %', '0 %')
    """
    size = abs(_finite(fraction))
    if size <= _NOISE:
        return "0 %"
    if size < 0.01:
        return "under 1 %"
    if 0.99 < size < 1 - _NOISE:
        return _signed(fraction, "over 99 %")
    if 1 + _NOISE < size < 1.01:
        return _signed(fraction, "over 100 %")
    return _minus(f"{fraction * 100:.0f} %")


def change_percent(value: float) -> str:
    """Say a gain or loss that is already in per cent, with its sign and to a tenth.

    Examples
    --------
    >>> change_percent(-2.345), change_percent(4.0), change_percent(0.0), change_percent(-0.01)
    ('−2.3 %', '+4.0 %', '0 %', 'under 0.1 %')
    """
    size = abs(_finite(value))
    if size <= _NOISE:
        return "0 %"
    return "under 0.1 %" if size < 0.05 else _minus(f"{value:+.1f} %")


def whole(value: float) -> str:
    """Say a number in a column of whole numbers; nothing is 0 that is not none.

    Examples
    --------
    >>> whole(1234.5), whole(-56.2), whole(0.3), whole(0)
    ('1,234', '−56', '<1', '0')
    """
    size = abs(_finite(value))
    if size <= 0.5:
        return "0" if size <= _NOISE else "<1"
    return _minus(f"{value:,.0f}")


def change(value: float) -> str:
    """Say a gain or loss in a column of whole numbers, with its sign.

    Examples
    --------
    >>> change(31.2), change(-1204.6), change(0.2), change(0)
    ('+31', '−1,205', '<1', '0')
    """
    text = whole(value)
    return f"+{text}" if value > 0.5 else text


def bearing(azimuth_deg: float) -> str:
    """Say which way something faces: the nearest of eight compass words, and the degrees.

    Examples
    --------
    >>> bearing(178.0), bearing(230.0), bearing(359.5)
    ('south (178°)', 'south-west (230°)', 'north (359.5°)')
    """
    step = 360 / len(_COMPASS)
    word = _COMPASS[round(azimuth_deg / step) % len(_COMPASS)]
    return f"{word} ({azimuth_deg:g}°)"


def spell(count: int) -> str:
    """Say a whole number of years.

    Examples
    --------
    >>> spell(25), spell(1)
    ('25 years', '1 year')
    """
    return f"{count} year{'' if count == 1 else 's'}"


def years(value: float | None, span: int) -> str:
    """Say a payback, or that there is none in the span.

    Examples
    --------
    >>> years(11.26, 25), years(None, 25), years(1.0, 25)
    ('11.3 years', 'not within 25 years', '1 year')
    """
    if value is None:
        return f"not within {spell(span)}"
    text = _amount(value) if value < 0.05 else f"{_finite(value):.1f}".removesuffix(".0")
    return f"{text} year" if text == "1" else f"{text} years"


def rate(value: float | None) -> str:
    """Say a yearly rate of return, or that there is none.

    Examples
    --------
    >>> rate(0.0623), rate(-0.012), rate(None)
    ('6.2 % a year', '−1.2 % a year', 'none')
    """
    if value is None:
        return "none"
    return f"{_tenths(value * 100)} % a year"


def _tenths(value: float) -> str:
    size = abs(_finite(value))
    if size < 0.05:
        return "0" if size <= _NOISE else "under 0.1"
    return _minus(f"{value:.1f}")


def _amount(value: float) -> str:
    size = abs(_finite(value))
    if size < 0.05:
        return "0" if size <= _NOISE else "under 0.1"
    text = f"{value:,.1f}" if abs(value) < 9.95 else f"{value:,.0f}"
    return _minus(text.removesuffix(".0"))


def _finite(value: float) -> float:
    if not math.isfinite(value):
        message = f"a figure for a person must be finite, found {value}"
        raise ValueError(message)
    return value


def _signed(value: float, text: str) -> str:
    return f"minus {text}" if value < 0 else text


def _minus(text: str) -> str:
    return text.replace("-", "−")
