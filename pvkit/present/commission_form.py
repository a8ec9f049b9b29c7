"""The commissioning form in a workbook: fill in what was measured, see at once what is left."""

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as w

from pvkit.electrical.readings import build_record, load_record
from pvkit.errors import PvkitError
from pvkit.present.commission_fields import BLANK, FormField, FormPart, form_parts
from pvkit.present.commission_pages import (
    NOT_JUDGED,
    cautions_html,
    record_twin_html,
    rows_html,
    status_html,
    unread_html,
)
from pvkit.present.commission_typed import raw_record, typed_record
from pvkit.present.handover import write_handover
from pvkit.present.live import two_columns
from pvkit.present.pages import error_html, saved_html
from pvkit.present.record_files import save_record
from pvkit.present.record_sheet import status
from pvkit.present.rows import LABEL_WIDTH
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.record import Record, commission
from pvkit.verdict import CheckGroup

_STYLE, _WIDE = {"description_width": LABEL_WIDTH}, "98%"
_GROUPS = {
    "earth": "Earth", "loss_of_mains": "Loss of mains",
    "protection": "Protection as read off the inverter", "ac_tests": "A.c. circuit",
    "works": "Tried with the system on",
}  # fmt: skip


class CommissionForm:
    """Fill in a commissioning record part by part; every change is judged.

    Parameters
    ----------
    site : a sample's name or a site file
    record : a record to start from, a file or a sample's name; empty without one

    Examples
    --------
    >>> form = CommissionForm("bungalow_extension", "bungalow_extension")
    >>> form.record.complete
    True
    >>> form.set("loss_of_mains.stop_s", "")
    >>> form.record.blocking
    ('Loss of mains: output stops: not recorded',)
    """

    def __init__(self, site: str, record: str | None = None) -> None:
        self._site = load_site(site)
        self._parts = form_parts(self._site)
        self.fields = {f.key: _widget(f) for part in self._parts for f in part.fields}
        self.fields["record.date"].value = datetime.date.today()  # noqa: DTZ011 - the user's day
        self._message, self._status = w.HTML(), w.HTML()
        self._rows, self._cautions = w.HTML(), w.HTML()
        self._shown = w.VBox(layout=w.Layout(width="100%"))
        self._part = w.Dropdown(
            options=[part.title for part in self._parts], description="Part of the record",
            style=_STYLE, layout=w.Layout(width=_WIDE), tooltip="What is filled in below",
        )  # fmt: skip
        self._folder = _text("Keep it in folder", "Records are kept there, none written over")
        self._folder.value = "records"
        self._pack = _text("Handover pack", "A name ending in .html or .pdf")
        self._pack.value = "handover.html"
        self._buttons = w.HBox(
            [_button("Save the record", self.save), _button("Write the pack", self.hand_over)]
        )
        if record is not None:
            self._fill(record)
        self.record: Record | None = self._judged()
        self._show_part()
        self._part.observe(lambda _: self._show_part(), "value")
        for field in self.fields.values():
            field.observe(lambda _: self._safely(self._judge), "value")

    @property
    def view(self) -> Twin:
        """The form for a notebook cell: live when run, a table when only opened."""
        left = [self._part, self._shown, self._folder, self._pack, self._buttons]
        right = [self._status, self._message, self._rows, self._cautions]
        return two_columns(left, right, self._twin, self.say)

    def set(self, key: str, value: Any) -> None:
        """Fill in one field by its key, as a user would."""
        self.fields[key].value = value

    def say(self) -> str:
        """Give the record's end in one line."""
        end = NOT_JUDGED if self.record is None else ": ".join(status(self.record))
        return f"{self._site.site.name}: {end}"

    def save(self) -> None:
        """Keep the record as it stands; the panel says where, or why not."""
        self._safely(self._save)

    def hand_over(self) -> None:
        """Write the handover pack; it is marked as a draft while the record is not complete."""
        self._safely(self._hand_over)

    def _twin(self) -> str:
        return unread_html() if self.record is None else record_twin_html(self.record)

    def _safely(self, act: Callable[[], object]) -> None:
        self._message.value = ""
        try:
            act()
        except PvkitError as error:
            self._message.value = error_html(str(error))

    def _fill(self, record: str) -> None:
        typed = typed_record(self._parts, load_record(record, self._site))
        for key, value in typed.items():
            self.fields[key].value = value

    def _judged(self) -> Record:
        typed = {key: field.value for key, field in self.fields.items()}
        file = build_record(raw_record(self._parts, typed), self._site, "form")
        return commission(self._site, file)

    def _judge(self) -> Record:
        """Judge what is typed; while that cannot be done, no earlier end stays on the screen."""
        try:
            self.record = judged = self._judged()
        except PvkitError:
            self.record = None
            raise
        finally:
            self._draw()
        return judged

    def _save(self) -> None:
        files = save_record(self._judge(), Path(self._folder.value.strip() or "records"))
        self._message.value = saved_html(f"Record kept: {files.json} and {files.html}.")

    def _hand_over(self) -> None:
        record, file = self._judge(), Path(self._pack.value.strip() or "handover.html")
        write_handover(record, file)
        words = "Handover pack written" if record.complete else "Draft written, not complete"
        self._message.value = saved_html(f"{words}: {file}.")

    def _show_part(self) -> None:
        self._shown.children = [self.fields[field.key] for field in self._chosen.fields]
        self._draw()

    @property
    def _chosen(self) -> FormPart:
        return next(part for part in self._parts if part.title == self._part.value)

    def _draw(self) -> None:
        if self.record is None:
            self._status.value, self._rows.value = unread_html(), ""
            return
        self._status.value = status_html(self.record)
        groups = _groups_of(self.record, self._chosen)
        self._rows.value = "".join(rows_html(group.title, group.rows) for group in groups)
        self._cautions.value = cautions_html(self.record)


def _groups_of(record: Record, part: FormPart) -> list[CheckGroup]:
    """Find the rows that a part fills: a string's own, all strings', or one head's."""
    if part.string is not None:
        names = [(string["array"], string["number"]) for string in record.strings]
        return [record.groups[names.index(part.string)]]
    if part.table == "optimisers":
        return list(record.groups[: len(record.strings)])
    title = _GROUPS.get(part.table, record.groups[-1].title)
    return [group for group in record.groups if group.title == title]


def _widget(field: FormField) -> Any:
    """Give a field on the screen; text fields act when they are left or Enter is pressed."""
    layout = w.Layout(width=_WIDE)
    common = {"description": field.label, "tooltip": field.advice, "style": _STYLE,
              "layout": layout}  # fmt: skip
    if field.kind == "pick":
        return w.Dropdown(options=[(BLANK, None), *field.choices], value=None, **common)
    if field.kind == "date":
        return w.DatePicker(**common)
    if field.kind in ("long", "list", "photos"):
        return w.Textarea(continuous_update=False, placeholder=field.advice, **common)
    hint = "level, seconds" if field.kind == "trip" else ""
    return w.Text(continuous_update=False, placeholder=hint, **common)


def _text(label: str, tooltip: str) -> Any:
    return w.Text(description=label, tooltip=tooltip, style=_STYLE, layout=w.Layout(width=_WIDE),
                  continuous_update=False)  # fmt: skip


def _button(label: str, act: Callable[[], None]) -> Any:
    button = w.Button(description=label, tooltip=label, layout=w.Layout(width="49%"))
    button.on_click(lambda _: act())
    return button
