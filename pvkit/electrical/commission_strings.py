"""A string's own tests: polarity, volts and amps against the module model."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.electrical.datasheet import named_faults
from pvkit.electrical.expected import Expected, expected_string
from pvkit.electrical.finding import judged, where_from
from pvkit.electrical.outcome import Outcome, missing, outcome
from pvkit.electrical.readings import MODULE_VOLTS
from pvkit.electrical.record_file import OptimisersRecord, StringRecord
from pvkit.electrical.string_volts import StringPlan, longest
from pvkit.errors import InputError
from pvkit.tables import constant

POLARITY = "Polarity"
POLARITY_SOURCE = "BS EN 62446-1: polarity of every string, before joining (published)"
MODEL = "module model: De Soto, Klein & Beckman 2006, on the data sheet (published)"
MAKER = "the optimisers' maker (given)"
_VOLTS, _AMPS = "commission.model_volts_fraction", "commission.model_amps_fraction"
_LEAST_A, _LEAST_V = "commission.least_current_w_per_m2", "commission.least_voltage_w_per_m2"


@dataclass(frozen=True, slots=True)
class StringTest:
    """One string of the site with what was recorded of it.

    Parameters
    ----------
    plan : its array
    number : counted from 1 in the array
    record : what was measured; None if nothing was
    optimisers : what their maker says of a string that has not started
    """

    plan: StringPlan
    number: int
    record: StringRecord | None
    optimisers: OptimisersRecord

    @property
    def name(self) -> str:
        """What the string is called."""
        return f"{self.plan.name} {self.number}"

    @property
    def modules(self) -> int:
        """Modules in series."""
        return longest(self.plan)

    @property
    def shows_modules(self) -> bool:
        """Whether the string shows its modules' own volts before it is started."""
        return not self.plan.optimisers or self.optimisers.before_start == MODULE_VOLTS

    @property
    def expected(self) -> Expected | None:
        """What it should show as lit and as warm as it was; None where that is not known."""
        found = self.record
        if found is None or found.module_temp_degc is None or not found.irradiance_w_per_m2:
            return None
        light, degc = found.irradiance_w_per_m2, found.module_temp_degc
        try:
            return expected_string(self.plan.module, self.modules, light, degc)
        except InputError as error:
            raise InputError(*named_faults(self.plan.name, error)) from error

    @property
    def light(self) -> float | None:
        """Light in which it was measured [W/m²]."""
        return None if self.record is None else self.record.irradiance_w_per_m2


def string_tests(test: StringTest) -> Iterator[Outcome]:
    """Judge one string's polarity, volts and amps; insulation is judged elsewhere.

    Parameters
    ----------
    test : the string and its record; a string of optimisers that have not started is judged by
        its maker's safe volts, and its modules only where they were measured one by one
    """
    found = test.record
    if found is None:
        yield missing("All tests of the string", "each string tested by itself", POLARITY_SOURCE)
        return
    yield _polarity(found)
    if test.shows_modules or found.module_voc_v is not None:
        yield _light(found)
    yield from _shown(test, found) if test.shows_modules else _safe(test, found)
    if found.module_voc_v is not None:
        yield _each_module(test, found.module_voc_v)
    yield from _at_work(test, found)


def _polarity(found: StringRecord) -> Outcome:
    limit = "correct, found so twice, before strings are joined"
    if found.polarity is None:
        return missing(POLARITY, limit, POLARITY_SOURCE)
    verdict = judged(found.polarity == "correct")
    return outcome(POLARITY, found.polarity, limit, verdict, POLARITY_SOURCE)


def _light(found: StringRecord) -> Outcome:
    what, least = "Light and module temperature", constant(_LEAST_A)
    limit = f"both recorded; {least:g} W/m² or more, or amps are not judged"
    light, degc = found.irradiance_w_per_m2, found.module_temp_degc
    if light is None or degc is None:
        return missing(what, limit, where_from(_LEAST_A))
    verdict = judged(light >= least, "ask")
    return outcome(what, f"{light:g} W/m², {degc:g} °C", limit, verdict, where_from(_LEAST_A))


def _shown(test: StringTest, found: StringRecord) -> Iterator[Outcome]:
    """Judge open-circuit volts and short-circuit amps; amps at work may stand for the latter."""
    expected = test.expected
    if found.voc_v is None:
        yield missing("Open-circuit volts", _within(_VOLTS), _source(_VOLTS))
    else:
        should = None if expected is None else expected.voc_v
        yield _volts("Open-circuit volts", found.voc_v, should, test)
    if found.isc_a is not None:
        should = None if expected is None else expected.isc_a
        yield _amps("Short-circuit amps", found.isc_a, should, test)
    elif found.imp_a is None or test.plan.optimisers:
        yield missing("Short-circuit amps, or amps at work", _within(_AMPS), _source(_AMPS))


def _safe(test: StringTest, found: StringRecord) -> Iterator[Outcome]:
    what, each = "Volts before the optimisers start", test.optimisers.safe_v_each
    if each is None:
        limit = f"{test.modules} × the maker's volts of one optimiser"
    else:
        low, high = ((test.modules + half) * each for half in (-0.5, 0.5))
        limit = f"{low:g} to {high:g} V: {test.modules} × {each:g} V, to half an optimiser"
    if found.safe_v is None:
        yield missing(what, limit, MAKER)
    elif each is None:
        why = "not judged: safe_v_each is not given"
        yield outcome(what, f"{found.safe_v:g} V, {why}", limit, "ask", MAKER)
    else:
        count = f"{found.safe_v:g} V, as of {found.safe_v / each:.1f} optimisers"
        yield outcome(what, count, limit, judged(low <= found.safe_v <= high), MAKER)
    yield outcome(
        "Short-circuit amps",
        "not judged: optimisers that have not started let no such current through",
        "each panel's watts, once the system runs, in the maker's own view of it",
        "ask",
        MAKER,
    )


def _each_module(test: StringTest, volts: tuple[float, ...]) -> Outcome:
    """Judge modules measured one by one by the one that is farthest off."""
    what, expected = "Open-circuit volts of each module", test.expected
    if expected is None or _too_dark(test, _LEAST_V):
        value = f"{min(volts):g} to {max(volts):g} V, {_not_judged(test, _LEAST_V)}"
        return outcome(what, value, _within(_VOLTS), "ask", _source(_VOLTS))
    should = expected.voc_v / test.modules
    place, worst = max(enumerate(volts, 1), key=lambda one: abs(one[1] - should))
    value = f"{min(volts):g} to {max(volts):g} V; module {place} is {_off(worst, should, 'V')}"
    share = constant(_VOLTS)
    verdict = judged(abs(worst / should - 1) <= share)
    return outcome(what, value, _within(_VOLTS, should, "V"), verdict, _source(_VOLTS))


def _at_work(test: StringTest, found: StringRecord) -> Iterator[Outcome]:
    """Judge what was measured at work; optimisers choose a string's volts and amps themselves."""
    if test.plan.optimisers:
        for what, reading, unit in (("Volts", found.vmp_v, "V"), ("Amps", found.imp_a, "A")):
            if reading is not None:
                words = f"{reading:g} {unit}, not judged: the optimisers choose it"
                yield outcome(f"{what} at work", words, "as the optimisers choose", "ask", MAKER)
        return
    expected = test.expected
    if found.vmp_v is not None:
        should = None if expected is None else expected.vmp_v
        yield _volts("Volts at work", found.vmp_v, should, test)
    if found.imp_a is not None:
        should = None if expected is None else expected.imp_a
        yield _amps("Amps at work", found.imp_a, should, test)


def _volts(what: str, volts: float, should: float | None, test: StringTest) -> Outcome:
    if should is None or _too_dark(test, _LEAST_V):
        value = f"{volts:g} V, {_not_judged(test, _LEAST_V)}"
        return outcome(what, value, _within(_VOLTS), "ask", _source(_VOLTS))
    good = abs(volts / should - 1) <= constant(_VOLTS)
    like = round(volts * test.modules / should)
    plural = "s" if like > 1 else ""
    hint = f"; {like} module{plural} would show this" if not good and like != test.modules else ""
    value = f"{_off(volts, should, 'V', shown=True)}{hint}"
    return outcome(what, value, _within(_VOLTS, should, "V"), judged(good), _source(_VOLTS))


def _amps(what: str, amps: float, should: float | None, test: StringTest) -> Outcome:
    if should is None or _too_dark(test, _LEAST_A):
        value = f"{amps:g} A, {_not_judged(test, _LEAST_A)}"
        return outcome(what, value, _within(_AMPS), "ask", _source(_AMPS, _LEAST_A))
    good = abs(amps / should - 1) <= constant(_AMPS)
    value = _off(amps, should, "A", shown=True)
    return outcome(what, value, _within(_AMPS, should, "A"), judged(good), _source(_AMPS))


def _too_dark(test: StringTest, least: str) -> bool:
    return test.light is None or test.light < constant(least)


def _not_judged(test: StringTest, least: str) -> str:
    if test.light is not None and test.light < constant(least):
        return f"not judged below {constant(least):g} W/m²: measure again in more sun"
    return "not judged: light or module temperature is not recorded"


def _off(found: float, should: float, unit: str, *, shown: bool = False) -> str:
    """Say how far a reading is off what it should be."""
    share = 100 * (found / should - 1)
    far = f"{abs(share):.1f} % {'above' if share > 0 else 'below'} the {should:.4g} {unit} expected"
    return f"{found:g} {unit}, {far}" if shown else far


def _within(name: str, should: float | None = None, unit: str = "") -> str:
    share = constant(name)
    words = f"within {100 * share:g} % of the module model"
    if should is None:
        return words
    return f"{words} ({should * (1 - share):.4g} to {should * (1 + share):.4g} {unit})"


def _source(*names: str) -> str:
    return f"{MODEL}; tolerance: {where_from(*names)}"
