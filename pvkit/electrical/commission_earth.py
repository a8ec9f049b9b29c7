"""Insulation of each string to earth, and continuity of the frames' bonding."""

from collections.abc import Iterator

from pvkit.electrical.commission_strings import StringTest
from pvkit.electrical.finding import judged, where_from
from pvkit.electrical.outcome import Outcome, missing, outcome
from pvkit.electrical.record_file import EarthRecord, StringRecord
from pvkit.tables import constant, rows, source_of
from pvkit.verdict import Verdict

TABLE = "en62446_insulation.csv"
WHAT = "Insulation to earth"
_HIGH, _LOW = "commission.earth_ohm", "commission.earth_low_ohm"


def insulation_line(rated_voc_v: float) -> dict[str, str]:
    """Give the line of the insulation table for a string.

    Parameters
    ----------
    rated_voc_v : the string's open-circuit volts at 1000 W/m², 25 °C

    Source
    ------
    BS EN 62446-1; the table's own line names each value's copy.

    Examples
    --------
    >>> line = insulation_line(228.6)
    >>> line["test_v"], line["least_mohm"]
    ('500', '1.0')
    """
    system_v = _system_v(rated_voc_v)
    return next(line for line in rows(TABLE) if system_v <= float(line["up_to_v"]))


def _system_v(rated_voc_v: float) -> float:
    return rated_voc_v * constant("commission.system_volts_factor")


def insulation_tests(test: StringTest) -> Iterator[Outcome]:
    """Judge one string's insulation by the lower of + and - to earth, or by both joined.

    Parameters
    ----------
    test : the string and its record
    """
    found = test.record
    if found is None:
        return
    rated_v = test.modules * test.plan.module.voc_v
    line = insulation_line(rated_v)
    test_v, least = float(line["test_v"]), float(line["least_mohm"])
    limit = f"at least {least:g} MΩ at {test_v:g} V (system voltage {_system_v(rated_v):.0f} V)"
    source = f"{source_of(TABLE)} ({line['kind']})"
    readings, used_v = _readings(found), found.insulation_test_v
    words = ", ".join(f"{pole} {mohm:g} MΩ" for pole, mohm in readings.items())
    if readings and min(readings.values()) < least:
        yield outcome(WHAT, words, limit, "fail", source)
    elif used_v is None or not _whole(found):
        yield missing(f"{WHAT}, + and −, with test voltage", limit, source)
    else:
        verdict, more = _at_volts(used_v, test_v)
        yield outcome(WHAT, f"{words} at {used_v:g} V{more}", limit, verdict, source)


def _readings(found: StringRecord) -> dict[str, float]:
    known = {
        "+": found.insulation_plus_mohm,
        "−": found.insulation_minus_mohm,
        "+ and − joined": found.insulation_joined_mohm,
    }
    return {pole: mohm for pole, mohm in known.items() if mohm is not None}


def _whole(found: StringRecord) -> bool:
    """Tell a whole test from one pole alone."""
    both = found.insulation_plus_mohm is not None and found.insulation_minus_mohm is not None
    return both or found.insulation_joined_mohm is not None


def _at_volts(used_v: float, test_v: float) -> tuple[Verdict, str]:
    """Refuse a test at too few volts; more volts than asked for are the makers' to judge."""
    if used_v < test_v:
        return "fail", ", too few volts to tell"
    if used_v > test_v:
        return "ask", ": ask the makers whether their parts stand it"
    return "pass", ""


def earth_tests(earth: EarthRecord) -> Iterator[Outcome]:
    """Judge whether and how well the frames are bonded.

    Parameters
    ----------
    earth : as recorded
    """
    what, most, low = "Earth continuity of the frames", constant(_HIGH), constant(_LOW)
    limit = f"up to {most:g} Ω; above {low:g} Ω only if the cable's length explains it"
    if earth.frame_bonded is None or (earth.frame_bonded and earth.continuity_ohm is None):
        yield missing(what, limit, where_from(_HIGH))
    elif earth.continuity_ohm is None:
        words = "frames not bonded: the licensed electrician says why"
        yield outcome(what, words, limit, "ask", where_from(_HIGH))
    else:
        ohm = earth.continuity_ohm
        verdict: Verdict = judged(ohm <= low, "ask" if ohm <= most else "fail")
        yield outcome(what, f"{ohm:g} Ω", limit, verdict, where_from(_HIGH))
