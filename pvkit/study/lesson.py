"""How losses stack up: what each step takes, and why percentages multiply rather than add."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from pvkit.electrical.stack import Step
from pvkit.errors import Fault, InputError
from pvkit.study.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Question:
    """One step to guess before it is shown.

    Parameters
    ----------
    id, name : of the loss stack's step
    before_kwh : what is left before the step
    answer_percent : the change over what was left, negative when lost
    after_kwh : what is left after it
    """

    id: str
    name: str
    before_kwh: float
    answer_percent: float
    after_kwh: float


def questions(answer: Estimate) -> tuple[Question, ...]:
    """List the steps between the sun on level ground and the meter, in their order."""
    return tuple(
        Question(step.id, step.name, step.remaining_kwh - step.kwh, step.percent_of_previous,
                 step.remaining_kwh)
        for step in _changes(answer)
    )  # fmt: skip


def multiplied(answer: Estimate) -> pd.DataFrame:
    """Set the sum of the percentages beside their product.

    Returns
    -------
    one row a step: ``percent``, ``added_percent`` (running sum), ``factor``, ``multiplied_percent``
    (running product less one). The last is what truly happened; the running sum is not.
    """
    steps = _changes(answer)
    percent = np.array([step.percent_of_previous for step in steps])
    factor = 1 + percent / 100
    return pd.DataFrame(
        {
            "step": [step.name for step in steps],
            "percent": percent,
            "added_percent": np.cumsum(percent),
            "factor": factor,
            "multiplied_percent": 100 * (np.cumprod(factor) - 1),
        }
    )


def in_order(answer: Estimate, order: Sequence[str]) -> pd.DataFrame:
    """Take the same shares off in another order: the kWh of a step change, the end does not.

    Parameters
    ----------
    answer : the estimate whose shares are taken
    order : every step's id between "level" and "metered", in the order wanted

    Returns
    -------
    one row a step: ``kwh`` and ``remaining_kwh`` in the new order, ``usual_kwh`` in the kit's own

    Raises
    ------
    InputError
        If a step is missing, twice, or unknown.
    """
    steps = {step.id: step for step in _changes(answer)}
    if sorted(order) != sorted(steps):
        fault = Fault(
            "order", f"found {len(order)} steps", ", ".join(steps), "name each of these once"
        )
        raise InputError(fault)
    left = answer.stages.output.stack[0].remaining_kwh
    rows = []
    for name in order:
        change = left * steps[name].percent_of_previous / 100
        left += change
        rows.append((steps[name].name, change, left, steps[name].kwh))
    return pd.DataFrame(rows, columns=["step", "kwh", "remaining_kwh", "usual_kwh"])


def _changes(answer: Estimate) -> tuple[Step, ...]:
    return answer.stages.output.stack[1:-1]
