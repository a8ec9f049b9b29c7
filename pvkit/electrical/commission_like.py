"""Like strings held beside each other: a fault in one shows before it breaks a wide tolerance."""

from collections.abc import Callable, Iterator, Sequence

from pvkit.electrical.commission_strings import StringTest
from pvkit.electrical.finding import judged, where_from
from pvkit.electrical.outcome import Outcome, outcome
from pvkit.tables import constant

_SPREAD = "visit.string_spread_fraction"
_LEAST_A, _LEAST_V = "commission.least_current_w_per_m2", "commission.least_voltage_w_per_m2"

Share = Callable[[StringTest], float | None]


def like_tests(strings: Sequence[StringTest]) -> Iterator[Outcome]:
    """Compare strings of equal make, length and plane, each set right for its light and warmth.

    Parameters
    ----------
    strings : like strings; fewer than two that can be judged give no row
    """
    for what, share in (("open-circuit volts", _volts_share), ("short-circuit amps", _amps_share)):
        found = {test.name: share(test) for test in strings}
        known = {name: value for name, value in found.items() if value}
        if len(known) > 1:
            yield _spread(what, known)


def _spread(what: str, known: dict[str, float]) -> Outcome:
    low, high = min(known, key=known.__getitem__), max(known, key=known.__getitem__)
    apart, most = known[high] / known[low] - 1, constant(_SPREAD)
    return outcome(
        f"Like strings, {what}",
        f"{high} is {100 * apart:.1f} % above {low}, of {len(known)} strings",
        f"within {100 * most:g} % of each other, each set right for its light and temperature",
        judged(apart <= most),
        where_from(_SPREAD),
    )


def _volts_share(test: StringTest) -> float | None:
    found, expected = test.record, test.expected
    if found is None or expected is None or found.voc_v is None or _dark(test, _LEAST_V):
        return None
    return found.voc_v / expected.voc_v


def _amps_share(test: StringTest) -> float | None:
    found, expected = test.record, test.expected
    if found is None or expected is None or found.isc_a is None or _dark(test, _LEAST_A):
        return None
    return found.isc_a / expected.isc_a


def _dark(test: StringTest, least: str) -> bool:
    return test.light is None or test.light < constant(least)
