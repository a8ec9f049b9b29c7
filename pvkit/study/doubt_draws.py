"""The cases drawn: the same for every site, so that differences between sites are no noise."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvkit.study.doubt_sizes import Name, shared

Array = NDArray[np.float64]

ONCE: tuple[Name, ...] = ("model", "habits", "demand", "shade", "degradation", "soiling")
PRICES: tuple[Name, ...] = ("import_price", "export_price", "gas_price")
MOST_YEARS = 60
# The sequence is most even in its first numbers: they go to what moves most answers most.
_FIRST_YEAR, _MEAN_SUN = 4, 5
_COLUMNS = {"model": 0, "habits": 6, "demand": 10, "shade": 12, "degradation": 11, "soiling": 13}
_DRIFT, _LEVEL, _SUN = (1, 2, 3), (7, 8, 9), 14


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Standard normal scores of every case.

    Parameters
    ----------
    once : (cases,) for each doubt that holds for the whole span
    sun : (cases, years) for each year, one apart from another
    level, drift : (cases, 3) for import, export and gas price, correlated
    """

    once: dict[Name, Array]
    sun: Array
    level: Array
    drift: Array

    @property
    def count(self) -> int:
        """Number of cases."""
        return len(self.sun)


@lru_cache(maxsize=4)
def draws(count: int, seed: int, years: int) -> Draws:
    """Draw cases from a scrambled Sobol sequence.

    Parameters
    ----------
    count : number of cases; the first so many of the next power of two
    seed : of the scrambling
    years : span

    Returns
    -------
    scores; the caller must not write to them

    Source
    ------
    Sobol (1967) with Owen's scrambling, as in ``scipy.stats.qmc``; scores by the inverse of the
    normal distribution; correlation of the prices by the Cholesky factor of their matrix.
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    sequence = qmc.Sobol(_SUN + MOST_YEARS, scramble=True, rng=np.random.default_rng(seed))
    even = sequence.random_base2(int(np.ceil(np.log2(max(count, 2)))))[:count]
    scores = ndtri(np.clip(even, 1e-12, 1.0 - 1e-12))
    prices = np.linalg.cholesky(price_correlation()).T
    return Draws(
        once={name: scores[:, _COLUMNS[name]].copy() for name in ONCE},
        sun=_years(scores, years),
        level=scores[:, _LEVEL] @ prices,
        drift=scores[:, _DRIFT] @ prices,
    )


def _years(scores: Array, years: int) -> Array:
    """Give each year its score: the first year, then the mean of the later ones, come first.

    The later years are turned (a Householder reflection keeps them independent and standard
    normal) so that one early number of the sequence moves them all alike.
    """
    later = years - 1
    turned = np.column_stack((scores[:, _MEAN_SUN], scores[:, _SUN : _SUN + max(later - 1, 0)]))
    sun = np.empty((len(scores), years))
    sun[:, 0] = scores[:, _FIRST_YEAR]
    if later > 0:
        axis = np.full(later, 1.0 / np.sqrt(later))
        axis[0] -= 1.0
        length = float(axis @ axis)
        reflected = np.outer(turned @ axis, axis) * (2.0 / length) if length > 0.0 else 0.0
        sun[:, 1:] = turned - reflected
    return sun


def price_correlation() -> Array:
    """Give how import, export and gas price go together, (3, 3)."""
    import_export = shared("correlation.import_export")
    import_gas = shared("correlation.import_gas")
    export_gas = shared("correlation.export_gas")
    return np.array(
        [
            [1.0, import_export, import_gas],
            [import_export, 1.0, export_gas],
            [import_gas, export_gas, 1.0],
        ]
    )
