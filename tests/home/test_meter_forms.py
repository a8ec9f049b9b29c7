"""One record written in many ways is read as the same half-hours."""

from datetime import date

import numpy as np
import pytest

from pvkit.home.meter_asked import asked_of
from pvkit.home.meter_readings import read_half_hours
from pvkit.site.household import Home
from tests.home.meter_samples import day_text, half_hours, long_text, used

AUTUMN = half_hours(date(2024, 10, 19), date(2024, 11, 8))
SPRING = half_hours(date(2025, 3, 22), date(2025, 4, 11))
BOTH = half_hours(date(2024, 10, 19), date(2025, 4, 11))
HALF_AN_HOUR = np.timedelta64(30, "m")


def by_clock(times, values, zone=None):
    """A row for each day, a column for each half-hour of the clock; a doubled hour is added up."""
    days = {}
    for time, value in zip(times if zone is None else times.tz_convert(zone), values, strict=True):
        day = days.setdefault(f"{time:%Y-%m-%d}", {})
        day[f"{time:%H:%M}"] = day.get(f"{time:%H:%M}", 0.0) + value
    heads = [f"{n // 2:02d}:{n % 2 * 30:02d}" for n in range(48)]
    rows = [",".join([day, *(f"{at[h]:g}" if h in at else "" for h in heads)])
            for day, at in days.items()]  # fmt: skip
    return "\n".join([",".join(["Date kWh", *heads]), *rows]) + "\n"


def apart(times, values):
    """Date and time in columns of their own, the day ending at 24:00."""
    ends = times + HALF_AN_HOUR
    rows = ["Day,Ending,kWh"]
    for start, end, value in zip(times, ends, values, strict=True):
        clock = "24:00" if f"{end:%H:%M}" == "00:00" else f"{end:%H:%M}"
        rows.append(f"{start:%d/%m/%Y},{clock},{value:g}")
    return "\n".join(rows) + "\n"


def numbered(times, values):
    """Date and the number of the half-hour in the day, as settlement counts."""
    rows, last, number = ["Settlement Date,Settlement Period,Volume kWh"], None, 0
    for time, value in zip(times, values, strict=True):
        number = number + 1 if time.date() == last else 1
        last = time.date()
        rows.append(f"{time:%Y-%m-%d},{number},{value:g}")
    return "\n".join(rows) + "\n"


def utc(times):
    return times.tz_convert("UTC")


def decimal_comma(times, values):
    text = long_text(times, values, "Start;kWh").replace(",", ";")
    return text.replace(".", ",")


FORMS = {
    "day first, start": lambda t, v: long_text(t, v),
    "month first": lambda t, v: long_text(t, v, stamp="%m/%d/%Y %I:%M %p"),
    "month by name": lambda t, v: long_text(t, v, stamp="%d %b %Y %H:%M"),
    "year first, seconds": lambda t, v: long_text(t, v, stamp="%Y-%m-%dT%H:%M:%S"),
    "compact": lambda t, v: long_text(t, v, stamp="%Y%m%d%H%M"),
    "two-figure year": lambda t, v: long_text(t, v, stamp="%d.%m.%y %H:%M"),
    "utc": lambda t, v: long_text(utc(t), v, stamp="%Y-%m-%d %H:%M"),
    "utc with Z": lambda t, v: long_text(utc(t), v, stamp="%Y-%m-%dT%H:%M:%SZ"),
    "own offset": lambda t, v: long_text(t, v, stamp="%Y-%m-%dT%H:%M:%S%z"),
    "end by its heading": lambda t, v: long_text(t + HALF_AN_HOUR, v, "Period ending,kWh"),
    "end by its span": lambda t, v: long_text(t + HALF_AN_HOUR, v, "Time,kWh"),
    "newest first": lambda t, v: long_text(t[::-1], v[::-1]),
    "watt-hours": lambda t, v: long_text(t, v * 1000, "Start,Import (Wh)"),
    "watt-hours by size": lambda t, v: long_text(t, v * 1000, "Start,Import"),
    "mean kilowatts": lambda t, v: long_text(t, v * 2, "Start,Mean demand (kW)"),
    "decimal comma": decimal_comma,
    "lines above": lambda t, v: "Customer,\nSerial,Z00\n\n" + long_text(t, v),
    "no heading": lambda t, v: long_text(t, v, "").lstrip("\n"),
    "idle export": lambda t, v: "".join(
        line + (",Export kWh\n" if n == 0 else ",0\n")
        for n, line in enumerate(long_text(t, v).splitlines())
    ),
    "start and end": lambda t, v: "\n".join(
        ["Start,End,kWh,Cost (£)"]
        + [f"{a:%Y-%m-%d %H:%M},{a + HALF_AN_HOUR:%Y-%m-%d %H:%M},{b:g},{b * 0.26:.3f}"
           for a, b in zip(t, v, strict=True)]
    ),
    "date and time apart": apart,
    "numbered half-hours": numbered,
    "a row for each day, 50 numbered": day_text,
    "a row for each day in UTC, 48 by clock": lambda t, v: by_clock(t, v, "UTC"),
}  # fmt: skip


def write(folder, text):
    file = folder / "meter.csv"
    file.write_text(text, encoding="utf-8")
    return file


def read(file, **keys):
    home = Home(meter_file=str(file), **keys)
    return read_half_hours(str(file), asked_of(home))


@pytest.mark.parametrize("times", [AUTUMN, SPRING], ids=["autumn", "spring"])
@pytest.mark.parametrize("form", FORMS)
def test_every_form_gives_the_same_half_hours(tmp_path, form, times):
    values = used(times)
    file = write(tmp_path, FORMS[form](times, values))
    before = file.read_bytes()
    # Nothing in a row of 48 columns shows its clock in October alone.
    keys = {"meter_clock": "utc"} if "48" in form and times is AUTUMN else {}
    found = read(file, **keys)
    expected = np.asarray(utc(times).tz_localize(None), "datetime64[s]").astype(int) // 1800
    np.testing.assert_array_equal(found.start, expected)
    np.testing.assert_allclose(found.numbers["import"], values, rtol=0, atol=6e-7)
    assert found.numbers["import"].sum() == pytest.approx(values.sum(), abs=1e-9)
    assert file.read_bytes() == before


def test_a_day_of_48_columns_shares_the_doubled_hour_and_keeps_all_energy(tmp_path):
    values = used(BOTH)
    found = read(write(tmp_path, by_clock(BOTH, values)))
    assert len(found.start) == len(BOTH)
    assert found.numbers["import"].sum() == pytest.approx(values.sum(), abs=1e-9)
    day = np.asarray(BOTH.strftime("%Y-%m-%d") == "2024-10-27")
    assert day.sum() == 50
    hour = found.numbers["import"][day][2:6]
    np.testing.assert_allclose(hour[:2], hour[2:])
    assert hour.sum() == pytest.approx(values[day][2:6].sum(), abs=1e-9)
    assert any("2024-10-27" in text and "comes twice" in text for text in found.said)


def test_what_was_found_out_is_said_with_the_key_that_sets_it(tmp_path):
    times = half_hours(date(2024, 1, 1), date(2024, 1, 11))
    said = " ".join(read(write(tmp_path, long_text(times, used(times), "When,Import"))).said)
    assert "the start of its half-hour: the file runs from 00:00 to 23:30" in said
    assert "no clock change in the file shows it (home.meter_clock sets it)" in said
    assert "numbers are taken as kWh" in said
    assert "home.meter_unit sets it" in said


def test_the_clock_is_told_by_the_days_it_changes_on(tmp_path):
    local = read(write(tmp_path, long_text(BOTH, used(BOTH))))
    assert "the clock on the wall, to go by 2024-10-27 and 2025-03-30" in " ".join(local.said)
    greenwich = read(write(tmp_path, long_text(utc(BOTH), used(BOTH))))
    assert "follow UTC, to go by 2025-03-30" in " ".join(greenwich.said)


def test_what_the_site_file_says_goes_before_what_the_file_looks_like(tmp_path):
    times = half_hours(date(2024, 6, 1), date(2024, 6, 20))
    file = write(tmp_path, long_text(times, used(times), "When,A,B"[:-2]))
    plain = read(file)
    assert (read(file, meter_clock="utc").start == plain.start + 2).all()
    assert (read(file, meter_label="end").start == plain.start - 1).all()
    np.testing.assert_allclose(
        read(file, meter_unit="Wh").numbers["import"], plain.numbers["import"] / 1000
    )


def test_dates_that_could_be_read_both_ways_are_read_so_that_days_follow_one_another(tmp_path):
    times = half_hours(date(2024, 3, 1), date(2024, 3, 12))
    for stamp, order in (("%m/%d/%Y %H:%M", "month first"), ("%d/%m/%Y %H:%M", "day first")):
        file = write(tmp_path, long_text(times, used(times), stamp=stamp))
        found, told = read(file), read(file, meter_date_order=order)
        np.testing.assert_array_equal(found.start, told.start)
        assert len(np.unique(np.diff(found.start))) == 1


def test_columns_are_found_by_their_headings_or_named(tmp_path):
    times = half_hours(date(2024, 6, 1), date(2024, 6, 3))
    values = used(times)
    heads = "Reading,Start,Generation kWh,Export kWh,Import kWh,Tariff rate"
    rows = [f"12345,{t:%d/%m/%Y %H:%M},{3 * v:g},{2 * v:g},{v:g},0.26"
            for t, v in zip(times, values, strict=True)]  # fmt: skip
    file = write(tmp_path, "\n".join([heads, *rows]))
    found = read(file)
    assert list(found.numbers) == ["export", "generation", "import"]
    for role, factor in (("import", 1), ("export", 2), ("generation", 3)):
        np.testing.assert_allclose(found.numbers[role], factor * values, atol=1e-5)
    other = read(file, meter_import_column="Generation kWh", meter_generation_column="Import kWh")
    np.testing.assert_allclose(other.numbers["import"], 3 * values, atol=1e-5)
