"""What a kWh costs in each half-hour, as the home's devices see it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """Today's prices, by which devices are steered; bills are the ledger's work.

    Parameters
    ----------
    import_gbp, export_gbp : (n,) price of each half-hour [GBP/kWh]
    gas_gbp : price of gas [GBP/kWh]
    """

    import_gbp: Array
    export_gbp: Array
    gas_gbp: float
