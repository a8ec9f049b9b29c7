"""Why two estimates of one site differ: one cause at a time, and the causes add up."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.study.stages import Stages
from pvkit.tables import numbers


@dataclass(frozen=True, slots=True)
class Line:
    """One reason why two estimates differ.

    Parameters
    ----------
    reason : in plain words, with both figures
    kwh : what it adds to the first estimate [kWh]
    """

    reason: str
    kwh: float


def paper_number(name: str) -> float:
    """Give one of the numbers of the paper methods."""
    return float(numbers("standard_estimate.toml")[name].value)


def reasons(stages: Stages, unshaded: float, first: float, *, split: bool) -> Iterator[Line]:
    """Go from a paper estimate to ours, one cause at a time: light, losses, shade.

    Parameters
    ----------
    unshaded : the paper estimate before shade [kWh]
    first : the paper estimate [kWh]
    split : light and losses are known apart
    """
    stack = {step.id: step for step in stages.output.stack}
    light, after_shade = stack["plane"].remaining_kwh, stack["hidden_sky"].remaining_kwh
    metered, system = stack["metered"].remaining_kwh, paper_number("system_factor")
    kept = after_shade / light if light > 0.0 else 0.0
    ratio = metered / after_shade if after_shade > 0.0 else 0.0
    shade, kwp = first / unshaded, stages.site.kwp()
    if split:
        theirs = unshaded / system
        yield Line(
            f"light on the panels, half-hour by half-hour {light / kwp:,.0f} kWh/m² in place of "
            f"{theirs / kwp:,.0f} from monthly means",
            (light - theirs) * system * shade,
        )
        yield Line(
            f"losses from panel to meter worked out for these parts: {ratio:.3f} is left in place "
            f"of {system:g}",
            light * (ratio - system) * shade,
        )
    else:
        yield Line(
            f"light and losses together, {light * ratio / kwp:,.0f} kWh for each kWp in place of "
            f"the table's {unshaded / kwp:,.0f}",
            (light * ratio - unshaded) * shade,
        )
    yield Line(
        f"shade from the survey, {kept:.3f} of the light is left in place of a factor of "
        f"{shade:.3f}",
        light * ratio * (kept - shade),
    )
