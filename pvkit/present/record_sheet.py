"""A commissioning record for the terminal and for print, with its end said first."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import jinja2
from markupsafe import Markup

from pvkit.present.check_sheet import check_section, check_text
from pvkit.present.report_tables import Column, Table
from pvkit.present.templates_folder import environment, template_text
from pvkit.study.record import Record

STYLES = ("report.css", "check_sheet.css", "record.css")
_NOTHING = "–"
_MODELLED = {"voc_v", "isc_a", "vmp_v", "imp_a"}


def status(record: Record) -> tuple[str, str]:
    """Say whether a record is complete, and what is left; nothing else may call it complete.

    Parameters
    ----------
    record : from :func:`pvkit.study.record.commission`

    Returns
    -------
    "Complete" or "Not complete", and a sentence
    """
    if record.complete:
        left = record.count("ask")
        points = f"{left} point{'' if left == 1 else 's'}"
        rest = f" {points} marked “ask” left to the person named there." if left else ""
        return "Complete", f"Every test is recorded and none failed.{rest}"
    missing = len(record.missing)
    failed = len(record.failing) - missing
    parts = [f"{failed} failed"] if failed else []
    parts += [f"{missing} {'is' if missing == 1 else 'are'} not recorded"] if missing else []
    return "Not complete", f"Of {len(record.rows)} tests {' and '.join(parts)}."


def about(record: Record) -> str:
    """Say when and by whom it was tested; a role is all that a record holds of a person."""
    by = record.file.record.by
    return f"Tested {day(record.file.record.date)}{f' by {by}' if by else ''}."


def day(date: date) -> str:
    """Say a date in words.

    Examples
    --------
    >>> day(date(2026, 5, 4))
    '4 May 2026'
    """
    return f"{date.day} {date:%B %Y}"


def record_text(record: Record) -> str:
    """Give a record as plain text, 100 columns wide, no colours."""
    return "\n".join(
        [
            f"Commissioning record: {about(record)}",
            ": ".join(status(record)),
            "",
            check_text(record),
        ]
    )


def record_section(record: Record) -> Markup:
    """Give a record as a piece of an HTML page: its end, what was measured, every test."""
    page: jinja2.Template = environment().get_template("record_section.html.j2")
    head, rest = status(record)
    return Markup(
        page.render(
            record=record,
            file=record.file,
            head=head,
            rest=rest,
            tables=[strings_table(record), *serials_tables(record)],
            checks=check_section(record),
        )
    )


def record_html(record: Record) -> str:
    """Give a record as a whole HTML page: no script, nothing fetched, prints on A4."""
    page: jinja2.Template = environment().get_template("record.html.j2")
    return page.render(
        style=Markup("".join(template_text(name) for name in STYLES)),
        name=record.site.site.name,
        about=about(record),
        section=record_section(record),
    )


def strings_table(record: Record) -> Table:
    """List each string as measured, with what the module model expects below its readings."""
    heads = ("String", "Modules", "Light, W/m²", "Module, °C", "Voc, V", "Isc, A", "Vmp, V",
             "Imp, A", "Before start, V", "Polarity")  # fmt: skip
    rows: list[tuple[str, ...]] = []
    for string in record.strings:
        rows.append(_measured(string))
        if string["expected"] is not None and _MODELLED & string["measured"].keys():
            rows.append(_expected(string["expected"]))
    columns = tuple(Column(head, text=head in ("String", "Polarity")) for head in heads)
    return Table("Strings as measured, and as the module model expects them", columns, tuple(rows))


def _measured(string: Mapping[str, Any]) -> tuple[str, ...]:
    found = string["measured"]
    keys = ("irradiance_w_per_m2", "module_temp_degc", "voc_v", "isc_a", "vmp_v", "imp_a", "safe_v")
    return (
        f"{string['array']} {string['number']}",
        str(string["modules"]),
        *(f"{found[key]:g}" if key in found else _NOTHING for key in keys),
        found.get("polarity", _NOTHING),
    )


def _expected(expected: Mapping[str, float]) -> tuple[str, ...]:
    figures = (f"{expected[key]:.4g}" for key in ("voc_v", "isc_a", "vmp_v", "imp_a"))
    return ("expected", "", "", "", *figures, "", "")


def serials_tables(record: Record) -> tuple[Table, ...]:
    """List serial numbers and photos as recorded; nothing where none are."""
    found = record.file.serials
    rows: list[tuple[str, ...]] = [("Inverter", found.inverter)] if found.inverter else []
    for name, numbers in (("Modules", found.modules), ("Optimisers", found.optimisers)):
        rows += [(name, ", ".join(numbers))] if numbers else []
    meter = record.file.meter
    rows += [("Generation meter", meter.serial)] if meter.serial else []
    tables = [_listed("Serial numbers", ("What", "Number"), rows)] if rows else []
    photos = [(photo.file, photo.shows) for photo in record.file.photo]
    tables += [_listed("Photos", ("File", "Shows"), photos)] if photos else []
    return tuple(tables)


def _listed(caption: str, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Table:
    return Table(caption, tuple(Column(head, text=True) for head in heads), tuple(rows))
