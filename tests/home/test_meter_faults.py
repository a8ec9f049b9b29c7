"""Broken meter files: each is refused with the exact times told, or put right as the rule says."""

import os
from datetime import date

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.home.meter import metered
from pvkit.home.meter_use import read_use
from pvkit.site.household import Home
from pvkit.site.samples import meter_files
from tests.home.meter_samples import FILES, SAMPLES, day_text, half_hours, long_text, used

WEEKS = half_hours(date(2024, 10, 7), date(2024, 11, 10))
SPRING = half_hours(date(2025, 3, 17), date(2025, 4, 13))


def row_of(text, line):
    """Give where a line of a file begins and ends."""
    start = text.index(line)
    return start, text.index("\n", start) + 1


def without(*lines):
    def broken(times):
        text = long_text(times, used(times))
        for line in lines:
            start, end = row_of(text, line)
            text = text[:start] + text[end:]
        return text

    return broken


def changed(line, new):
    """Change the reading of one line."""

    def broken(times):
        text = long_text(times, used(times))
        start, end = row_of(text, line)
        return text[:start] + line + new + "\n" + text[end:]

    return broken


def doubled(line):
    def broken(times):
        text = long_text(times, used(times))
        start, end = row_of(text, line)
        return text[:end] + text[start:end] + text[end:]

    return broken


def hole(first, last):
    """Leave out whole rows from one line up to another."""

    def broken(times):
        text = long_text(times, used(times))
        return text[: row_of(text, first)[0]] + text[row_of(text, last)[0] :]

    return broken


def local_without_the_doubled_hour(times):
    lines = long_text(times, used(times)).splitlines()
    once = [line for n, line in enumerate(lines) if line[:16] not in {w[:16] for w in lines[:n]}]
    return "\n".join(once)


def two_clocks(_times):
    times = half_hours(date(2024, 10, 20), date(2025, 4, 6))
    values, cut = used(times), 3000
    local = long_text(times[:cut], values[:cut]).rstrip("\n")
    utc = long_text(times[cut:].tz_convert("UTC"), values[cut:], "").lstrip("\n")
    return local + "\n" + utc


def rising(times):
    return long_text(times, 10000 + np.cumsum(used(times)), "Start,kWh")


def hourly(times):
    return long_text(times[::2], used(times)[::2])


def daily(times):
    return "\n".join(["Date,kWh", *(f"{day:%d/%m/%Y},8.1" for day in times[::48])])


def exporting(times):
    rows = long_text(times, used(times), "Start,Import kWh").splitlines()
    more = [",Export kWh", *(f",{0.2 * (20 < n % 48 < 30):g}" for n in range(len(times)))]
    return "\n".join(row + extra for row, extra in zip(rows, more, strict=True))


# what is done to a file: its times, what the message must hold, keys of the site file
BROKEN = {
    "one reading missing": (
        without("14/10/2024 18:30,"), "no import reading for 1 half-hour: 2024-10-14 18:30 BST"),
    "an hour missing": (
        without("15/10/2024 02:00,", "15/10/2024 02:30,"),
        "2024-10-15 02:00 BST to 2024-10-15 02:30 BST (2)"),
    "a day and a half missing": (
        hole("16/10/2024 12:00,", "18/10/2024 00:00,"),
        "for 72 half-hours: 2024-10-16 12:00 BST to 2024-10-17 23:30 BST (72)"),
    "an empty cell": (changed("20/10/2024 09:00,", ""), "1 half-hour: 2024-10-20 09:00 BST"),
    "a dash for a reading": (changed("20/10/2024 09:30,", "-"), "2024-10-20 09:30 BST"),
    "read twice": (
        doubled("21/10/2024 07:00,"), "more than one import reading for 1 half-hour: "
        "2024-10-21 07:00 BST"),
    "below zero": (
        changed("22/10/2024 17:30,", "-0.5"), "import readings below zero for 1 half-hour: "
        "2024-10-22 17:30 BST"),
    "the doubled hour once": (
        local_without_the_doubled_hour,
        "no import reading for 2 half-hours: 2024-10-27 01:00 GMT to 2024-10-27 01:30 GMT (2)",
        {"meter_clock": "local"}),
}  # fmt: skip
REFUSED = {
    "a word for a reading": (
        changed("23/10/2024 10:00,", "abc"), "line 790: found 'abc' where a reading should stand"),
    "an impossible date": (
        lambda t: long_text(t, used(t)).replace("24/10/2024 10:30", "31/09/2024 10:30"),
        "line 839: found '31/09/2024 10:30' where the date should stand"),
    "an impossible time": (
        lambda t: long_text(t, used(t)).replace("24/10/2024 10:30", "24/10/2024 25:30"),
        "found '24/10/2024 25:30'"),
    "a time off the half-hour": (
        lambda t: long_text(t, used(t)).replace("24/10/2024 10:30", "24/10/2024 10:17"),
        "line 839: found a time of 10:17"),
    "dates in two orders": (
        lambda t: long_text(t, used(t)).replace("24/10/2024", "10/24/2024"),
        "found '10/24/2024 00:00' and other dates that put the day first"),
    "the register, not the use": (rising, "import numbers that never fall, from 10000"),
    "watt-hours called kilowatt-hours": (
        lambda t: long_text(t, 1000 * used(t)), "kWh in one half-hour (import)"),
    "hours": (hourly, "found rows 60 minutes apart"),
    "days": (daily, "found dates and no times of day"),
    "export beside import": (exporting, "63 kWh of export: solar is there already"),
    "a few days": (
        lambda _t: long_text(WEEKS[: 48 * 9], used(WEEKS[: 48 * 9])), "found 9 whole days"),
    "two clocks in one file": (
        two_clocks, "the clock on the wall on 2024-10-27 and UTC on 2025-03-30"),
    "a reading in the hour that was skipped": (
        lambda _t: long_text(SPRING.tz_convert("UTC"), used(SPRING)),
        "found a reading at 2025-03-30 01:00, which the clock skipped", {"meter_clock": "local"}),
    "a 49th half-hour on a plain day": (
        lambda t: day_text(t, used(t)).replace("\n14/10/2024", "\n26/10/2024", 1)
        .replace("\n27/10/2024", "\n14/10/2024", 1),
        "half-hour 49 on 2024-10-14", {"meter_clock": "local"}),
    "an offset in some times only": (
        lambda t: long_text(t, used(t)).replace("24/10/2024 10:30", "24/10/2024 10:30+01:00"),
        "line 2: found a time without an offset from UTC"),
    "two columns of use": (
        lambda t: "Start,Import A kWh,Import B kWh\n"
        + "\n".join(f"{x:%d/%m/%Y %H:%M},0.1,0.2" for x in t),
        "found 2 columns that may hold the import"),
    "no numbers": (
        lambda t: "Start,Meter\n" + "\n".join(f"{x:%d/%m/%Y %H:%M},ABC" for x in t),
        "found no column of readings"),
    "no dates": (lambda _t: "A,B\n1,2\n3,4\n", "found no row with a date and a number in it"),
    "nothing": (lambda _t: " \n", "found an empty file"),
    "a heading that is not there": (
        lambda t: long_text(t, used(t)), "found no heading 'Use'", {"meter_import_column": "Use"}),
}  # fmt: skip


def unpacked(case):
    make, message, *keys = case
    return make, message, keys[0] if keys else {}


def write(folder, text):
    file = folder / "meter.csv"
    file.write_text(text, encoding="utf-8")
    return file


def refusal(file, **keys):
    before, state = file.read_bytes(), os.stat(file)
    with pytest.raises(InputError) as caught:
        metered(Home(meter_file=str(file), **keys))
    for fault in caught.value.faults:
        assert all((fault.where, fault.found, fault.allowed, fault.fix))
    assert file.read_bytes() == before
    assert os.stat(file).st_mtime_ns == state.st_mtime_ns
    return str(caught.value)


@pytest.mark.parametrize("name", [*BROKEN, *REFUSED])
def test_a_broken_file_is_refused_with_the_exact_times(tmp_path, name):
    make, message, keys = unpacked({**BROKEN, **REFUSED}[name])
    assert message in refusal(write(tmp_path, make(WEEKS)), **keys)


@pytest.mark.parametrize("name", REFUSED)
def test_what_no_rule_can_fill_is_refused_even_when_filling_is_asked_for(tmp_path, name):
    make, message, keys = unpacked(REFUSED[name])
    assert message in refusal(write(tmp_path, make(WEEKS)), meter_fill=True, **keys)


@pytest.mark.parametrize("name", BROKEN)
def test_on_request_the_rest_is_filled_said_and_otherwise_left_alone(tmp_path, name):
    make, message, keys = unpacked(BROKEN[name])
    file = write(tmp_path, make(WEEKS))
    before = file.read_bytes()
    use = read_use(Home(meter_file=str(file), meter_fill=True, **keys))
    assert any(message in note for note in use.notes)
    true = used(WEEKS)
    differs = np.flatnonzero(~np.isclose(use.days.kwh, true, equal_nan=False))
    assert len(differs) <= 72
    unfilled = np.isnan(use.days.kwh).sum()
    assert unfilled in (0, 48)  # only the day with no reading at all is left
    assert file.read_bytes() == before


def test_a_filled_reading_is_that_of_the_nearest_day_of_its_kind(tmp_path):
    friday = write(tmp_path, without("18/10/2024 18:30,")(WEEKS))
    use = read_use(Home(meter_file=str(friday), meter_fill=True))
    true = dict(zip((f"{t:%d %H:%M}" for t in WEEKS if t.month == 10), used(WEEKS), strict=False))
    at = list(WEEKS).index(next(t for t in WEEKS if f"{t:%d/%m %H:%M}" == "18/10 18:30"))
    assert use.days.kwh[at] == true["17 18:30"]  # Thursday before; Saturday is of another kind
    sunday = write(tmp_path, without("13/10/2024 08:00,")(WEEKS))
    use = read_use(Home(meter_file=str(sunday), meter_fill=True))
    at = list(WEEKS).index(next(t for t in WEEKS if f"{t:%d/%m %H:%M}" == "13/10 08:00"))
    assert use.days.kwh[at] == true["12 08:00"]


def test_of_a_half_hour_read_twice_the_later_row_stays(tmp_path):
    text = long_text(WEEKS, used(WEEKS))
    end = row_of(text, "21/10/2024 07:00,")[1]
    file = write(tmp_path, text[:end] + "21/10/2024 07:00,1.234\n" + text[end:])
    use = read_use(Home(meter_file=str(file), meter_fill=True))
    assert (use.days.kwh == 1.234).sum() == 1


def test_long_runs_of_zeros_are_pointed_out(tmp_path):
    values = used(WEEKS)
    values[500:520] = 0.0
    use = read_use(Home(meter_file=str(write(tmp_path, long_text(WEEKS, values)))))
    assert any("2024-10-17 10:00 BST to 2024-10-17 19:30 BST (20) is exactly zero" in note
               for note in use.notes)  # fmt: skip
    assert use.days.kwh.sum() == pytest.approx(values.sum())


def test_parts_of_days_at_the_ends_are_left_out_and_said(tmp_path):
    file = write(tmp_path, long_text(WEEKS[21:-7], used(WEEKS)[21:-7]))
    use = read_use(Home(meter_file=str(file)))
    assert len(use.days.day) == 33
    assert "68 readings are left out" in use.notes[0]
    assert "before 2024-10-08 00:00 BST or from 2024-11-10 00:00 GMT on" in use.notes[0]


@pytest.mark.parametrize(
    ("name", "found"),
    [("none.csv", "found no such file"), ("", "found a folder")],
)
def test_a_file_that_cannot_be_opened_is_refused(tmp_path, name, found):
    with pytest.raises(InputError, match=found):
        metered(Home(meter_file=str(tmp_path / name)))


@pytest.mark.parametrize("raw", [b"PK\x03\x04spread", b"\xff\xfea\x00", b"a,\x00b"])
def test_what_is_no_text_is_refused(tmp_path, raw):
    file = tmp_path / "book.csv"
    file.write_bytes(raw)
    with pytest.raises(InputError, match="no plain text"):
        metered(Home(meter_file=str(file)))


def test_the_samples_are_what_their_generator_makes():
    for name, make in FILES.items():
        assert (SAMPLES / name).read_text(encoding="utf-8") == make()


def test_the_sample_with_faults_names_every_one_of_them():
    said = refusal(meter_files()["winter_with_faults"])
    for when in ("2024-11-20 09:00 GMT to 2024-11-20 14:00 GMT (11)", "2025-01-15 02:00 GMT",
                 "2025-02-09 07:00 GMT", "2024-12-03 18:30 GMT"):  # fmt: skip
        assert when in said
    assert said.startswith("3 things to put right")


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.data())
def test_whatever_is_missing_is_told_half_hour_by_half_hour(tmp_path, data):
    times = half_hours(date(2024, 10, 14), date(2024, 11, 3))
    inner = st.integers(48, len(times) - 49)
    lost = data.draw(st.sets(inner, min_size=1, max_size=30))
    values = used(times)
    kept = np.setdiff1d(np.arange(len(times)), sorted(lost))
    stamp = "%Y-%m-%dT%H:%M%z"
    file = write(tmp_path, long_text(times[kept], values[kept], stamp=stamp))
    said = refusal(file)
    assert f"no import reading for {len(lost)} half-hour" in said
    use = read_use(Home(meter_file=str(file), meter_fill=True))
    np.testing.assert_array_equal(use.days.kwh[kept], values[kept])
    assert not np.isnan(use.days.kwh).any()
