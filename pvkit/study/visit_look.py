"""Where to look, by what the readings give away."""

from pvkit.study.visit_site import Part
from pvkit.study.visit_verdict import per_cent
from pvkit.tables import constant

OUTAGE = (
    "the inverter's log of those days, and whether it restarts by itself",
    "the isolators, the circuit breaker and the supply's voltage",
)
SHADE = (
    "new shade from the south: trees grown, a building, an aerial, a flue; low sun meets it first",
    "snow or leaves that lie on the lower edge",
)
SUMMER = (
    "over-voltage trips about noon in the inverter's log, and the inverter's own limit",
    "the inverter's vents and the heat of its place",
    "trees in leaf",
)
FADED = (
    "each string's current beside its fellows, and the optimisers' list of panels",
    "isolators, fuses and connectors of the string that falls behind",
    "dirt, lichen or leaves that came with that time",
)
STEADY = (
    "each string's current beside its fellows: one may have been out from the start",
    "dirt all over the panels",
    "shade that the survey did not see",
    "the meter's multiplier and start reading",
)
HIGH_METER = (
    "the meter: its multiplier, its start reading, and whether other generation feeds it",
    "the site file: number and rating of the panels, tilt, direction",
)
HIGH_POWER = "the column of the file: it may hold kW, which are twice the kWh of a half-hour"
FELL = (
    "what changed since the last visit: dirt, new shade, a string or a panel gone",
    "each string's current beside its fellows",
)


def same_share(missing: float, parts: tuple[Part, ...], doubt: float) -> tuple[str, ...]:
    """Name the parts whose share of the energy is about what is missing, the nearest first.

    Parameters
    ----------
    missing : share of the energy that is missing
    parts : what may fail by itself
    doubt : of the missing share, one standard deviation

    Examples
    --------
    >>> same_share(0.48, (Part("one string", 0.5), Part("one panel", 0.1)), 0.04)
    ('one string: the share missing (48 %) is about its own (50 %)',)
    """
    reach, own = max(constant("visit.part_fraction"), doubt), constant("visit.part_own_fraction")
    near = [p for p in parts if abs(p.share - missing) <= min(reach, own * p.share)]
    near.sort(key=lambda part: abs(part.share - missing))
    return tuple(
        f"{part.name}: the share missing ({per_cent(missing)}) is about its own"
        f" ({per_cent(part.share)})"
        for part in near[:2]
    )
