"""Three exercises whose answers the engine works out: a slip, two offers, a measured year."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pvkit.study.estimate import Estimate
from pvkit.study.study import Study

Array = NDArray[np.float64]
Changes = Mapping[str, Any]


@dataclass(frozen=True, slots=True, eq=False)
class Slip:
    """A site with one mistake in it.

    Parameters
    ----------
    faulty : the estimate with the mistake
    suspects : dotted key to the value that stands there and the usual one; of the mistake the
        usual one is what is true
    repaired_kwh : what a year makes with the usual value under each key alone
    answer : the key whose usual value, alone, gives the sound survey's yield back
    sound_kwh : what the sound survey makes
    off_percent : by how much the mistake moves the yearly energy
    """

    faulty: Estimate
    suspects: Mapping[str, tuple[Any, Any]]
    repaired_kwh: Mapping[str, float]
    answer: str
    sound_kwh: float
    off_percent: float


def planted_slip(study: Study, slip: Changes, decoys: Changes) -> Slip:
    """Plant a mistake among keys that are as they should be, and find it by putting each right.

    Parameters
    ----------
    study : of the site with its usual values
    slip : one key and its wrong value
    decoys : keys whose values look odd and are right

    Returns
    -------
    the exercise; its answer comes from the engine: the one key whose repair restores the yield
    """
    sound = study.change(decoys)
    sound_kwh = sound.estimate().ac_kwh
    faulty = sound.change(slip)
    usual = {key: _value(study, key) for key in (*slip, *decoys)}
    suspects = {key: (_value(faulty, key), value) for key, value in usual.items()}
    repaired = {key: faulty.change({key: value}).estimate().ac_kwh for key, value in usual.items()}
    faulty_kwh = faulty.estimate().ac_kwh
    return Slip(
        faulty.estimate(),
        dict(sorted(suspects.items())),
        repaired,
        min(repaired, key=lambda key: abs(repaired[key] - sound_kwh)),
        sound_kwh,
        100 * (faulty_kwh / sound_kwh - 1),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Offers:
    """Two offers for one home.

    Parameters
    ----------
    first, second : their estimates
    answer : "first" or "second", by net present value
    by_gbp : how much more the better one is worth
    """

    first: Estimate
    second: Estimate
    answer: str
    by_gbp: float


def two_offers(study: Study, first: Changes, second: Changes) -> Offers:
    """Estimate two offers and say which is worth more over the years counted."""
    one, two = study.change(first).estimate(), study.change(second).estimate()
    more = two.npv_gbp - one.npv_gbp
    return Offers(one, two, "second" if more > 0 else "first", abs(more))


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredYear:
    """A year of monthly readings that differs from the estimate for one reason.

    Parameters
    ----------
    expected_kwh, measured_kwh : (12,)
    reasons : words of each candidate
    reason_kwh : (12,) months that each candidate would give
    misfit_kwh : root mean square between each candidate's months and the measured ones
    answer : the reason that fits best
    """

    expected_kwh: Array
    measured_kwh: Array
    reasons: tuple[str, ...]
    reason_kwh: tuple[Array, ...]
    misfit_kwh: tuple[float, ...]
    answer: str


def measured_year(
    study: Study, reasons: Mapping[str, Changes], truth: str, seed: int = 1
) -> MeasuredYear:
    """Make a year's readings with one hidden reason and find the reason that fits them.

    Parameters
    ----------
    study : of the site as estimated
    reasons : words to the changes that such a fault makes
    truth : the reason that is at work in the readings
    seed : of the month-to-month weather, 3 % either way, that the readings have on top

    Returns
    -------
    the exercise; the answer is the candidate whose months the engine finds nearest
    """
    months = {words: _months(study.change(changes)) for words, changes in reasons.items()}
    weather = np.random.default_rng(seed).normal(1.0, _WEATHER, 12)
    measured = months[truth] * weather
    misfit = {
        words: float(np.sqrt(np.mean((made - measured) ** 2))) for words, made in months.items()
    }
    return MeasuredYear(
        _months(study),
        measured,
        tuple(misfit),
        tuple(months.values()),
        tuple(misfit.values()),
        min(misfit, key=lambda words: misfit[words]),
    )


_WEATHER = 0.03


def _months(study: Study) -> Array:
    return study.estimate().monthly["solar_kwh"].to_numpy()


def _value(study: Study, key: str) -> Any:
    """Give what stands under a dotted key, list entries by name."""
    here: Any = study.site
    for part in key.split("."):
        if isinstance(here, tuple):
            here = next(entry for entry in here if entry.name == part)
        else:
            here = getattr(here, part)
    return here
