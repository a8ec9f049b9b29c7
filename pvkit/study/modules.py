"""Panel by panel: what each makes and what stands in its light."""

from collections.abc import Iterator

import numpy as np
import pandas as pd

from pvkit.electrical.inputs import ArrayInputs
from pvkit.study.stages import Stages


def module_table(stages: Stages) -> pd.DataFrame:
    """List every module with its year.

    Parameters
    ----------
    stages : a site taken through every stage

    Returns
    -------
    one row per module: ``array, number, kwh`` (d.c., each at its own best), ``beam_lost_percent``
    (of the sun's direct light in the plane) and ``sky_lost_percent`` (of the sky's)
    """
    pairs = zip(stages.arrays.inputs, stages.arrays.powers, strict=True)
    found = [row for inputs, power in pairs for row in _rows(inputs, power.module_kwh)]
    return pd.DataFrame(found)


def _rows(inputs: ArrayInputs, module_kwh: np.ndarray) -> Iterator[dict[str, object]]:
    seen = inputs.sections
    beam = sky = np.zeros(inputs.count)
    if seen is not None:
        direct = seen.direct_share.mean(axis=2, dtype=np.float64)
        beam = 1.0 - seen.light.direct_open @ direct / seen.light.direct_open.sum()
        by_season = np.bincount(seen.season, weights=seen.light.sky_open)
        left = seen.sky_share.mean(axis=2)[: len(by_season)]
        sky = 1.0 - by_season @ left / by_season.sum()
    for number in range(inputs.count):
        yield {
            "array": inputs.name,
            "number": number + 1,
            "kwh": float(module_kwh[number]),
            "beam_lost_percent": max(0.0, 100 * float(beam[number])),
            "sky_lost_percent": max(0.0, 100 * float(sky[number])),
        }
