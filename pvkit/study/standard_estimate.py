"""The trade's paper estimate and the government procedure, beside the kit's own, line by line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from pvkit.electrical.inputs import ArrayInputs
from pvkit.errors import InputError
from pvkit.site.kit import Array
from pvkit.site.standard import StandardPlane
from pvkit.sky.region import region_number
from pvkit.study.stages import Stages
from pvkit.study.standard_light import between_octants_kwh_per_m2, nearest_octant_kwh_per_m2
from pvkit.study.standard_reasons import Line, paper_number, reasons
from pvkit.tables import rows

STATEMENT = (
    "How much a roof makes cannot be known beforehand: sunlight differs from place to place and "
    "from year to year. The standard estimate follows a set procedure and is there for guidance; "
    "neither it nor the estimate beside it is a promise of what this system will do."
)
STAND_IN = (
    "The scheme's own table of yearly energy by zone, tilt and direction is not public. In its "
    "place stands 0.8 × the light of the published regional means; type in the table's figure and "
    "the chart's shade factor under [standard] to take theirs."
)
SHADE = (
    "Shade was read from the surveyed obstacles by a stand-in for the trade's chart. A shade "
    "factor by that chart is expected to be within 10 % for most systems."
)


@dataclass(frozen=True, slots=True)
class PlaneEstimate:
    """One array by both paper methods.

    Parameters
    ----------
    array : its name
    kwp : rated power [kWp]
    factor_kwh_per_kwp : yearly energy of a kWp without shade
    shade_factor : what shade leaves, by the chart or its stand-in
    standard_kwh : the three multiplied [kWh]
    light_kwh_per_m2 : S of the government procedure
    sky_blocked_fraction : share of the sky's light that obstacles hide
    overshading : Z of the government procedure
    procedure_kwh : 0.8 × kWp × S × Z [kWh]
    given : which of factor and shade the site file gives itself
    """

    array: str
    kwp: float
    factor_kwh_per_kwp: float
    shade_factor: float
    standard_kwh: float
    light_kwh_per_m2: float
    sky_blocked_fraction: float
    overshading: float
    procedure_kwh: float
    given: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StandardEstimate:
    """The paper estimates of a site.

    Parameters
    ----------
    planes : array by array
    standard_kwh : the trade's method [kWh]
    procedure_kwh : the government procedure [kWh]
    ours_kwh : the kit's own estimate, a year with new panels [kWh]
    from_standard, from_procedure : reasons that lead from each to ours; they add up
    statements : what must stand beside the figures
    """

    planes: tuple[PlaneEstimate, ...]
    standard_kwh: float
    procedure_kwh: float
    ours_kwh: float
    from_standard: tuple[Line, ...]
    from_procedure: tuple[Line, ...]
    statements: tuple[str, ...]


def standard_estimate(stages: Stages) -> StandardEstimate | None:
    """Estimate a site by the two paper methods and say why ours differs.

    Parameters
    ----------
    stages : a site taken through every stage

    Returns
    -------
    None outside the United Kingdom, where the published means do not reach

    Source
    ------
    kWp × factor × shade factor: the certification scheme's method (MIS 3002, appendix B, as
    quoted). 0.8 × kWp × S × Z: SAP 10.2 Appendix M.
    """
    site = stages.site
    try:
        region = region_number(site.site)
    except InputError:
        return None
    pairs = zip(site.array, stages.arrays.inputs, strict=True)
    planes = tuple(_plane(stages, array, inputs, region) for array, inputs in pairs)
    standard, procedure = (
        sum(getattr(plane, name) for plane in planes) for name in ("standard_kwh", "procedure_kwh")
    )
    factor_given, ours = any("factor" in p.given for p in planes), float(stages.output.ac_kwh.sum())
    return StandardEstimate(
        planes=planes,
        standard_kwh=standard,
        procedure_kwh=procedure,
        ours_kwh=ours,
        from_standard=tuple(reasons(stages, _unshaded(planes), standard, split=not factor_given)),
        from_procedure=tuple(reasons(stages, _procedure_unshaded(planes), procedure, split=True)),
        statements=tuple(_statements(planes, ours / standard - 1.0)),
    )


def _statements(planes: Sequence[PlaneEstimate], above: float) -> Iterator[str]:
    """Say what must stand beside the figures; ``above`` is how far ours is above the standard."""
    yield STATEMENT
    if above > paper_number("much_higher_fraction"):
        yield (
            f"Our own estimate is {100 * above:.0f} % above the standard one: take it with "
            "caution. The lines between the two say why."
        )
    if not all("factor" in plane.given for plane in planes):
        yield STAND_IN
    if not all("shade" in plane.given for plane in planes):
        yield SHADE


def _plane(stages: Stages, array: Array, inputs: ArrayInputs, region: int) -> PlaneEstimate:
    site = stages.site
    own = next((p for p in site.standard.planes if p.array == array.name), None)
    own = own or StandardPlane(array=array.name)
    plane, system = (
        (region, site.tilt_deg(array), site.azimuth_deg(array)),
        paper_number("system_factor"),
    )
    factor = own.kk_kwh_per_kwp or system * between_octants_kwh_per_m2(*plane)
    shade = own.shade_factor or _shade_factor(inputs)
    blocked, light = _sky_blocked(inputs), nearest_octant_kwh_per_m2(*plane)
    overshading = _overshading(blocked)
    given = {"factor": own.kk_kwh_per_kwp, "shade": own.shade_factor}
    return PlaneEstimate(
        array=array.name,
        kwp=inputs.kwp,
        factor_kwh_per_kwp=factor,
        shade_factor=shade,
        standard_kwh=inputs.kwp * factor * shade,
        light_kwh_per_m2=light,
        sky_blocked_fraction=blocked,
        overshading=overshading,
        procedure_kwh=system * inputs.kwp * light * overshading,
        given=tuple(name for name, value in given.items() if value is not None),
    )


def _shade_factor(inputs: ArrayInputs) -> float:
    """Stand in for the chart: each of its segments is that share of a year's direct light.

    As on paper a segment that is touched at all counts.
    """
    light = inputs.light
    whole = float(light.direct_open.sum())
    hidden = 1.0 - float(light.direct.sum()) / whole if whole > 0.0 else 0.0
    touched = ceil(round(hidden * paper_number("chart_segments"), 9))
    return 1.0 - paper_number("segment_weight") * touched


def _sky_blocked(inputs: ArrayInputs) -> float:
    whole = float(inputs.light.sky_open.sum())
    return 1.0 - float(inputs.light.sky.sum()) / whole if whole > 0.0 else 0.0


def _overshading(blocked: float) -> float:
    table = rows("sap_overshading.csv")
    found = next((row for row in table if blocked < float(row["blocked_up_to"])), table[-1])
    return float(found["factor"])


def _unshaded(planes: Sequence[PlaneEstimate]) -> float:
    return sum(plane.kwp * plane.factor_kwh_per_kwp for plane in planes)


def _procedure_unshaded(planes: Sequence[PlaneEstimate]) -> float:
    system = paper_number("system_factor")
    return sum(system * plane.kwp * plane.light_kwh_per_m2 for plane in planes)
