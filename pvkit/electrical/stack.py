"""The loss stack: every step from the sun on level ground to the meter, and that it closes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

# In the fixed order: id, plain words, IEC 61724-1 term (terms from memory). The array yield is
# what reaches the inverter, so everything before it is capture loss and all after it balance of
# system.
CAPTURE, BALANCE = "array capture loss", "balance-of-system loss"
STEPS = (
    ("level", "sun on level ground", "global horizontal irradiation"),
    ("plane", "gained by tilt and direction", "reference yield"),
    ("hidden_beam", "hidden by obstacles, direct sun", CAPTURE),
    ("hidden_sky", "hidden sky", CAPTURE),
    ("reflected", "reflected off the glass", CAPTURE),
    ("dirt", "dirt", CAPTURE),
    ("weak_light", "weak light", CAPTURE),
    ("warm_cells", "warm cells", CAPTURE),
    ("uneven_light", "uneven light between panels", CAPTURE),
    ("dc_cables", "d.c. cables", CAPTURE),
    ("optimisers", "optimisers", CAPTURE),
    ("inverter_conversion", "inverter conversion", BALANCE),
    ("inverter_limit", "inverter limit", BALANCE),
    ("ac_cables", "a.c. cables", BALANCE),
    ("out_of_service", "time out of service", BALANCE),
    ("metered", "metered a.c.", "final yield"),
)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the loss stack.

    Parameters
    ----------
    id : short name, as in ``losses.off``
    name : plain words
    iec_term : IEC 61724-1 term, of the energy left after the step or of the loss
    kwh : energy there for the first and the last, else the change, negative when lost
    percent_of_previous : the change over what was left before; the last over the first
    remaining_kwh : what is left after the step
    """

    id: str
    name: str
    iec_term: str
    kwh: float
    percent_of_previous: float
    remaining_kwh: float


def loss_stack(remaining_kwh: Sequence[float], off: Sequence[str] = ()) -> tuple[Step, ...]:
    """Write down the steps from the energy that is left after each.

    Parameters
    ----------
    remaining_kwh : sun on level ground, then what is left after each step to the meter
    off : steps switched off, which leave to the last digit what was there

    Returns
    -------
    the steps with the ends at both sides; the first and all changes add up to the last

    Examples
    --------
    >>> stack = loss_stack([1000.0, 1100.0] + 13 * [900.0])
    >>> stack[2].name, stack[2].kwh, round(stack[2].percent_of_previous, 1)
    ('hidden by obstacles, direct sun', -200.0, -18.2)
    >>> stack[-1].remaining_kwh
    900.0
    """
    left = _left(remaining_kwh, off)
    level, metered = left[0], left[-1]
    changes = [
        Step(*words, after - before, _percent(after - before, before), after)
        for words, (before, after) in zip(STEPS[1:-1], pairwise(left), strict=True)
    ]
    return (
        Step(*STEPS[0], level, 100.0, level),
        *changes,
        Step(*STEPS[-1], metered, _percent(metered, level), metered),
    )


def _left(remaining_kwh: Sequence[float], off: Sequence[str]) -> list[float]:
    left: list[float] = []
    for (step, *_), kwh in zip(STEPS[:-1], remaining_kwh, strict=True):
        left.append(left[-1] if step in off else kwh)
    return left


def _percent(part: float, whole: float) -> float:
    return 100.0 * part / whole if whole else 0.0
