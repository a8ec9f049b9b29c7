"""Tests on the mains side: loss of mains, protection as read, the a.c. circuit, what was tried."""

from collections.abc import Iterator

from pvkit.electrical.finding import judged, where_from
from pvkit.electrical.outcome import Outcome, missing, outcome
from pvkit.electrical.protection import PROTECTION, Setting, protection_settings
from pvkit.electrical.record_file import AcTests, LossOfMains, Protection, Trip, Works
from pvkit.tables import constant, source_of
from pvkit.verdict import Verdict

BS7671 = "BS 7671 part 6, initial verification (from memory)"
_RECONNECT, _DROOP = "protection.reconnect_s", "protection.droop_hz"
_TRIED = {
    "starts": "Inverter starts and exports",
    "isolators_break": "Each d.c. and a.c. isolator stops it",
    "labels_in_place": "Labels and diagram in place",
}


def loss_of_mains_tests(found: LossOfMains) -> Iterator[Outcome]:
    """Judge the test of the main switch opened under load.

    Parameters
    ----------
    found : as recorded; each of its three parts is needed
    """
    setting = next(s for s in protection_settings() if s.id == "loss_of_mains")
    source = f"{source_of(PROTECTION)} ({setting.kind})"
    wait_s = constant(_RECONNECT)
    if found == LossOfMains():
        limit = f"off within {setting.trip_s:g} s, stays off, back not before {wait_s:g} s"
        yield missing("Loss-of-mains test", limit, source)
        return
    yield _seconds("Loss of mains: output stops", found.stop_s, setting.trip_s, source, most=True)
    limit = "off for as long as the mains are"
    if found.stayed_off is None:
        yield missing("Loss of mains: stays off", limit, source)
    else:
        words = "stayed off" if found.stayed_off else "came back by itself"
        verdict = judged(found.stayed_off)
        yield outcome("Loss of mains: stays off", words, limit, verdict, source)
    yield _seconds("Loss of mains: comes back", found.back_s, wait_s, where_from(_RECONNECT))


def protection_tests(found: Protection, *, ask_first: bool) -> Iterator[Outcome]:
    """Hold the settings as read against those of the network rules.

    Parameters
    ----------
    found : as recorded
    ask_first : whether the site needs consent first (G99) or a notice afterwards (G98)
    """
    if found == Protection():
        limit = "every setting read off the inverter, none changed"
        yield missing("Protection settings", limit, source_of(PROTECTION))
        return
    yield _rule(found, "G99" if ask_first else "G98")
    for setting in protection_settings():
        yield _setting(setting, getattr(found, setting.id))
    yield _seconds("Wait before it reconnects", found.reconnect_s, constant(_RECONNECT),
                   where_from(_RECONNECT))  # fmt: skip
    yield _droop(found.droop_hz)


def ac_tests(found: AcTests) -> Iterator[Outcome]:
    """Judge whether the a.c. circuit was certified; its own tests are on the certificate."""
    what, limit = (
        "Tests of the a.c. circuit",
        "an electrical certificate, all results within limits",
    )
    if found.certificate is None or found.satisfactory is None:
        yield missing(what, limit, BS7671)
    else:
        end = "satisfactory" if found.satisfactory else "not satisfactory"
        words = f"certificate {found.certificate}, {end}"
        yield outcome(what, words, limit, judged(found.satisfactory), BS7671)


def works_tests(found: Works) -> Iterator[Outcome]:
    """Judge what was tried with the system switched on."""
    source = "BS EN 62446-1, functional tests (from memory)"
    for key, what in _TRIED.items():
        answer = getattr(found, key)
        if answer is None:
            yield missing(what, "yes", source)
        else:
            yield outcome(what, "yes" if answer else "no", "yes", judged(answer), source)


def _seconds(
    what: str, found: float | None, limit_s: float, source: str, *, most: bool = False
) -> Outcome:
    """Judge a time that may be at most, or must be at least, so long."""
    limit = f"{'within' if most else 'not before'} {limit_s:g} s"
    if found is None:
        return missing(what, limit, source)
    good = found <= limit_s if most else found >= limit_s
    return outcome(what, f"{found:g} s", limit, judged(good), source)


def _rule(found: Protection, wanted: str) -> Outcome:
    """Leave a unit set for G99 on a small site to the operator, who may have agreed to it."""
    what, limit = "Network rule it is set for", f"{wanted} for this site"
    source = where_from("network.notify_a")
    if found.rule is None:
        return missing(what, limit, source)
    otherwise: Verdict = "fail" if wanted == "G99" else "ask"
    return outcome(what, found.rule, limit, judged(found.rule == wanted, otherwise), source)


def _setting(setting: Setting, read: Trip | None) -> Outcome:
    """Want the level itself and no longer time; an active method has no level to read."""
    limit = f"{setting.level:.4g} {setting.unit}, {setting.trip_s:g} s"
    source = f"{source_of(PROTECTION)} ({setting.kind})"
    active = setting.id == "loss_of_mains" and read is not None and read.level is None
    if read is None or read.trip_s is None or (read.level is None and not active):
        return missing(setting.function, limit, source)
    if read.level is None:
        words, verdict = f"active method, {read.trip_s:g} s", judged(read.trip_s <= setting.trip_s)
        return outcome(setting.function, words, limit, verdict, source)
    words = f"{read.level:g} {setting.unit}, {read.trip_s:g} s"
    return outcome(setting.function, *_matches(setting, read.level, read.trip_s, words, limit),
                  source)  # fmt: skip


def _matches(
    setting: Setting, level: float, trip_s: float, words: str, limit: str
) -> tuple[str, str, Verdict]:
    step = "volt" if setting.unit == "V" else "hertz"
    if abs(level - setting.level) > constant(f"commission.{step}_step") or trip_s > setting.trip_s:
        return words, limit, "fail"
    if trip_s < setting.trip_s:
        return f"{words}: sooner than the rules, ask the maker", limit, "ask"
    return words, limit, "pass"


def _droop(found: float | None) -> Outcome:
    """Say from where output falls; not every inverter shows it, its type test does."""
    what, wanted = "Output falls above", constant(_DROOP)
    limit, source = f"{wanted:g} Hz", where_from(_DROOP)
    if found is None:
        return outcome(what, "not read: see the maker's type test", limit, "ask", source)
    good = abs(found - wanted) <= constant("commission.hertz_step")
    return outcome(what, f"{found:g} Hz", limit, judged(good), source)
