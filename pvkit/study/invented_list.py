"""Invent a list of homes to try a portfolio with: no real place, person or house."""

import numpy as np
import pandas as pd

# Parts that suit each other: modules, and the least inverter for so many of them.
_INVERTERS = ((6, "single-phase-2500"), (10, "single-phase-3680"), (99, "single-phase-5000"))


def invented_sites(count: int, seed: int = 1) -> pd.DataFrame:
    """Invent homes of a made-up town in the middle of England.

    Parameters
    ----------
    count : homes
    seed : the same seed invents the same homes

    Returns
    -------
    one row a home, columns as ``pvkit portfolio`` reads them

    Examples
    --------
    >>> homes = invented_sites(3)
    >>> homes["site.name"].tolist()
    ['Invented home 1', 'Invented home 2', 'Invented home 3']
    """
    draw = np.random.default_rng(seed)
    modules = draw.integers(4, 13, count)
    return pd.DataFrame(
        {
            "site.name": [f"Invented home {number + 1}" for number in range(count)],
            "site.latitude": np.round(52.5 + draw.uniform(0, 0.3, count), 4),
            "site.longitude": np.round(-1.5 + draw.uniform(0, 0.4, count), 4),
            "site.region": "Midlands",
            "roof.kind": "pitched",
            "roof.tilt_deg": np.round(draw.normal(34, 5, count).clip(18, 55)),
            "roof.azimuth_deg": np.round(draw.uniform(80, 280, count)),
            "roof.width_m": 15.5,
            "roof.depth_m": 5.0,
            "array.module": draw.choice(["half-cut-430", "half-cut-450"], count),
            "array.count": modules,
            "inverter.part": [_inverter(number) for number in modules],
            "home.yearly_kwh": np.round(draw.lognormal(np.log(2900), 0.35, count), -1).clip(900),
            "home.day": draw.choice(["out", "half", "in"], count),
            "home.occupants": draw.integers(1, 6, count),
        }
    )


def _inverter(modules: int) -> str:
    return next(part for most, part in _INVERTERS if modules <= most)
