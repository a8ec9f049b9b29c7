"""Which column of a meter or price file is what: found from the cells first, then the headings."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from pvkit.errors import Fault, InputError
from pvkit.home.meter_asked import Asked
from pvkit.home.meter_text import Sheet
from pvkit.home.meter_times import looks_dated, looks_like_times
from pvkit.site.faults import nearest
from pvkit.site.wording import one_of

ROWS_LOOKED_AT = 300
FEWEST_SLOTS = 46
MOST_SLOTS = 50
NOTHING = ("", "-", "--", "n/a", "na", "nan", "null", "none", "missing", "#n/a")
NUMBER = r"^[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?$"
COUNTED = re.compile(r"^(?:[a-z]{1,12}[ _]*)?0*(\d{1,2})$", re.IGNORECASE)
CLOCKED = re.compile(r"^(\d{1,2}):?([0-5]\d)(?::00)?(?:\s*(?:-|–|to)\s*\d{1,2}:?\d{2})?$")
# What a heading of each register says, the surest words first.
WORDS = {
    "import": ("import", "consum", "usage", "used", "demand", "bought", "kwh", "wh", "energy"),
    "export": ("export", "feed", "sold", "returned"),
    "generation": ("generat", "solar", "pv", "produced"),
    "price": ("price", "rate", "p/kwh", "gbp", "£", "pence", "cost"),
}
# Numbers that a meter file may hold beside its readings.
OTHERS = (
    "cost", "price", "£", "gbp", "pence", "p/kwh", "tariff", "charge", "mpan", "mpxn", "serial",
    "register", "cumulative", "quality", "temperature", "co2", "carbon", "account",
)  # fmt: skip
PERIOD_WORDS = ("period", "half hour", "half-hour", "halfhour", "hh", "slot", "sp")


@dataclass(frozen=True, slots=True)
class Layout:
    """What stands where.

    Parameters
    ----------
    dated : column of the dates
    timed : column of the times of day, if they stand apart
    counted : column of the number of the half-hour of the day, if there is one
    registers : column of each register found
    slots : in a file with a row for each day, its columns and the number in the day of each, or
        its minute of the day
    by_number : whether ``slots`` are numbered from 1
    """

    dated: int
    timed: int | None
    counted: int | None
    registers: tuple[tuple[str, int], ...]
    slots: tuple[tuple[int, int], ...]
    by_number: bool


def layout_of(sheet: Sheet, asked: Asked) -> Layout:
    """Find the columns of a file.

    Raises
    ------
    InputError
        If a heading that the site file gives is not there, or what is sought cannot be told from
        the rest.
    """
    top = sheet.cells.head(ROWS_LOOKED_AT).astype(str)
    columns = range(len(sheet.names))
    given = {role: _named(sheet, role, heading, asked) for role, heading in asked.headings}
    dated, has_time = _dates(sheet, top, given.get("time"))
    slots, by_number = _slots(sheet, skip=dated)
    if not has_time and len(slots) >= FEWEST_SLOTS:
        return Layout(dated, None, None, (), slots, by_number)
    timed = counted = None
    if not has_time:
        timed = next((n for n in columns if looks_like_times(top[n])), None)
        counted = _period_column(sheet, top, dated) if timed is None else None
        if timed is None and counted is None:
            raise InputError(_no_times(sheet))
    taken = {dated, timed, counted}
    values = _registers(sheet, top, asked, given, taken)
    return Layout(dated, timed, counted, tuple(values.items()), (), by_number=False)


def _named(sheet: Sheet, role: str, heading: str, asked: Asked) -> int:
    """Find the column that the site file names."""
    known = [name.lower() for name in sheet.names]
    if heading.lower() not in known:
        raise InputError(
            Fault(
                f"{asked.key}_{role}_column",
                f"found no heading '{heading}' in {sheet.file}",
                one_of(sheet.names[:12]),
                nearest(heading, sheet.names),
            )
        )
    return known.index(heading.lower())


def _dates(sheet: Sheet, top: pd.DataFrame, given: int | None) -> tuple[int, bool]:
    """Find the column of dates: one with times rather than without, a start rather than an end."""
    if given is not None:
        return given, looks_dated(top[given])[1]
    looks = {n: looks_dated(top[n]) for n in range(len(sheet.names))}
    dated = [n for n, (is_date, _) in looks.items() if is_date]
    if not dated:
        raise InputError(
            Fault(
                sheet.file,
                f"found no column of dates among {', '.join(sheet.names)[:120]}",
                "a column like 2024-01-31 00:30 or 31/01/2024",
                "export the half-hourly readings as CSV, with dates",
            )
        )
    with_time = [n for n in dated if looks[n][1]] or dated
    starts = [n for n in with_time if re.search("start|from|begin", sheet.names[n].lower())]
    best = (starts or with_time)[0]
    return best, looks[best][1]


def _slots(sheet: Sheet, skip: int) -> tuple[tuple[tuple[int, int], ...], bool]:
    """Find the columns of a file with a row for each day, by clock or by number."""
    heads = [(n, head.strip()) for n, head in enumerate(sheet.names) if n != skip]
    by_clock = [
        (n, int(found[1]) * 60 + int(found[2]))
        for n, head in heads
        if (found := CLOCKED.match(head)) and int(found[1]) <= 24
    ]
    if len(by_clock) >= FEWEST_SLOTS:
        return tuple(by_clock), False
    numbered = [
        (n, int(found[1]))
        for n, head in heads
        if (found := COUNTED.match(head)) and int(found[1]) <= MOST_SLOTS
    ]
    from_zero = any(number == 0 for _, number in numbered)
    return tuple((n, number + from_zero) for n, number in numbered), True


def _period_column(sheet: Sheet, top: pd.DataFrame, dated: int) -> int | None:
    """Find the column that numbers the half-hours of each day from 1."""
    for n in range(len(sheet.names)):
        numbers = pd.to_numeric(top[n], errors="coerce")
        whole = numbers.notna().all() and (numbers % 1 == 0).all()
        named = any(word in sheet.names[n].lower() for word in PERIOD_WORDS)
        unnamed = sheet.names[n].startswith("column ")
        in_range = whole and numbers.between(0, MOST_SLOTS).all() and numbers.max() >= FEWEST_SLOTS
        if n != dated and in_range and (named or unnamed):
            return n
    return None


def _registers(
    sheet: Sheet,
    top: pd.DataFrame,
    asked: Asked,
    given: dict[str, int],
    taken: set[int | None],
) -> dict[str, int]:
    found = {role: given[role] for role in asked.roles if role in given}
    taken |= set(found.values())
    free = [n for n in range(len(sheet.names)) if n not in taken and _is_numeric(top[n])]
    if "price" not in asked.roles:
        free = [n for n in free if not any(word in sheet.names[n].lower() for word in OTHERS)]
    sought = [role for role in asked.roles if role not in found]
    for role in sorted(sought, key=lambda role: role == asked.needed):
        named = _by_words(sheet, free, role, asked)
        if role == asked.needed and not named:
            named = [n for n in free if n not in found.values()]
        if len(named) > 1:
            raise InputError(_several(sheet, named, role, asked))
        if named:
            found[role] = named[0]
            free.remove(named[0])
    if asked.needed not in found:
        raise InputError(_none(sheet, asked))
    return found


def _is_numeric(text: pd.Series) -> bool:
    filled = text[~text.str.lower().isin(NOTHING)]
    return not filled.empty and bool(filled.str.match(NUMBER).mean() > 0.5)


def _by_words(sheet: Sheet, free: Sequence[int], role: str, asked: Asked) -> list[int]:
    """Give the columns whose headings say the role, by the surest word that any of them has."""
    words = ((asked.side,) if asked.side else ()) + WORDS[role]
    for word in words:
        named = [n for n in free if word in sheet.names[n].lower()]
        if named:
            return named
    return []


def _several(sheet: Sheet, columns: Sequence[int], role: str, asked: Asked) -> Fault:
    return Fault(
        sheet.file,
        f"found {len(columns)} columns that may hold the {role}",
        one_of([sheet.names[n] for n in columns][:8]),
        f"say which with {asked.key}_{role}_column"
        if asked.key == "home.meter"
        else "leave one column of prices in the file",
    )


def _none(sheet: Sheet, asked: Asked) -> Fault:
    noun = "prices" if asked.needed == "price" else "readings"
    return Fault(
        sheet.file,
        f"found no column of {noun} among {', '.join(sheet.names)[:120]}",
        "a column of numbers for the half-hours",
        f"say which with {asked.key}_{asked.needed}_column"
        if asked.key == "home.meter"
        else "give each half-hour's price in a column of its own",
    )


def _no_times(sheet: Sheet) -> Fault:
    return Fault(
        sheet.file,
        "found dates and no times of day",
        "a reading for each half-hour, with its time or its number in the day",
        "export half-hourly readings, not daily ones",
    )
