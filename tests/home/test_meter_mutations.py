"""Whatever is done to a meter file, it is read or refused in plain words."""

import re
from datetime import date

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pvkit.errors import InputError
from pvkit.home.meter_use import read_use
from pvkit.site.household import Home
from tests.home.meter_samples import day_text, half_hours, long_text, used

WEEKS = half_hours(date(2024, 10, 17), date(2024, 11, 3))
GOOD = [
    long_text(WEEKS, used(WEEKS)),
    long_text(WEEKS, used(WEEKS), stamp="%Y-%m-%dT%H:%M:%S%z"),
    day_text(WEEKS, used(WEEKS)),
]
JARGON = re.compile(r"Traceback|ndarray|\bNone\b|numpy|pandas|dtype|datetime64|(?<!')\bnan\b")
SNIPPETS = [
    *("", ",", ";", "\n", "\t", '"', "-", "0", "nan", "é", "29/02/2023", "2024-10-27 01:30", " "),
    *("99/99/9999", "1e400", "24:00", "P1", "kWh", "Z", "+01:00", "\x0b", "0000", "£"),
]


def spoil(text: str, draw: st.DataObject) -> str:
    lines = text.split("\n")
    # Near the top or the change of the clocks, where most depends on it, or anywhere.
    last = len(lines) - 1
    at = draw.draw(st.one_of(st.integers(0, min(4, last)), st.integers(0, last)))
    match draw.draw(st.sampled_from(["cut", "drop", "swap", "insert", "cell", "empty", "repeat"])):
        case "cut":
            return "\n".join(lines[:at])
        case "drop":
            del lines[at : at + draw.draw(st.integers(1, 60))]
        case "swap":
            lines[at], lines[-1] = lines[-1], lines[at]
        case "insert":
            lines.insert(at, draw.draw(st.one_of(st.text(max_size=30), st.sampled_from(SNIPPETS))))
        case "cell":
            cells = lines[at].split(",")
            cells[draw.draw(st.integers(0, len(cells) - 1))] = draw.draw(st.sampled_from(SNIPPETS))
            lines[at] = ",".join(cells)
        case "empty":
            column = draw.draw(st.integers(0, 50))
            lines = [",".join(c for n, c in enumerate(line.split(",")) if n != column)
                     for line in lines]  # fmt: skip
        case "repeat":
            lines += lines[at:]
    return "\n".join(lines)


def assert_plain(error: InputError) -> None:
    assert error.faults
    for fault in error.faults:
        assert all((fault.where, fault.found, fault.allowed, fault.fix))
        assert not JARGON.search(str(fault)), str(fault)
        assert len(str(fault)) < 4000


@settings(
    max_examples=60,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(st.sampled_from(GOOD), st.integers(1, 3), st.booleans(), st.data())
def test_a_spoilt_meter_file_is_read_or_refused_in_plain_words(tmp_path, text, times, fill, draw):
    for _ in range(times):
        text = spoil(text, draw)
    file = tmp_path / "meter.csv"
    file.write_bytes(text.encode())
    try:
        use = read_use(Home(meter_file=str(file), meter_fill=fill))
    except InputError as error:
        assert_plain(error)
    else:
        assert use.days.whole.any()
    assert file.read_bytes() == text.encode()
