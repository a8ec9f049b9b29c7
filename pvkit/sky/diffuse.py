"""How much of the light on level ground comes from the sky, how much straight from the sun."""

import numpy as np

from pvkit.sky.sun import Above, Array

# Erbs, Klein & Duffie (1982), Solar Energy 28, 293-302, eq. (1), hourly: between the two bounds
# a polynomial in clearness, below the first a straight line, above the second a constant.
ERBS_BOUNDS = (0.22, 0.80)
ERBS_LOW = (1.0, -0.09)
ERBS_MIDDLE = (0.9511, -0.1604, 4.388, -16.638, 12.336)
ERBS_HIGH = 0.165


def erbs_fraction(clearness: Array) -> Array:
    """Give the share of the light on level ground that comes from the sky.

    Parameters
    ----------
    clearness : light on level ground over that above the air [-]

    Source
    ------
    Erbs, Klein & Duffie (1982), *Solar Energy* 28, 293-302, eq. (1).

    Examples
    --------
    >>> erbs_fraction(np.array([0.1, 0.5, 0.9])).round(3)
    array([0.991, 0.659, 0.165])
    """
    low, high = ERBS_BOUNDS
    k = np.asarray(clearness, np.float64)
    middle = np.polynomial.polynomial.polyval(k, ERBS_MIDDLE)
    below = np.polynomial.polynomial.polyval(k, ERBS_LOW)
    return np.where(k <= low, below, np.where(k <= high, middle, ERBS_HIGH))


def split_global(ghi: Array, sun: Above) -> tuple[Array, Array]:
    """Split the light on level ground into sunlight facing the sun and light of the sky.

    Near the horizon the split may ask for more sunlight than there is above the air; what is
    too much is counted as light of the sky, so that the parts still add up to ``ghi``.

    Parameters
    ----------
    ghi : (steps,) light on level ground [W m⁻²]
    sun : what the sun offers above the air in the same steps

    Returns
    -------
    ``dni`` and ``dhi``, (steps,) means over the step [W m⁻²]
    """
    lit = sun.horizontal > 0.0
    clearness = np.minimum(np.divide(ghi, sun.horizontal, out=np.zeros_like(ghi), where=lit), 1.0)
    level = np.where(lit, (1.0 - erbs_fraction(clearness)) * ghi, 0.0)
    level = np.minimum(level, sun.horizontal)
    facing = np.divide(level, sun.cos_zenith, out=np.zeros_like(ghi), where=lit)
    return facing * sun.up_fraction, ghi - level
