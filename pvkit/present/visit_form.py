"""The form of a yearly visit in a workbook: type the readings, tick the list, see the verdict."""

import datetime
import re
from pathlib import Path
from typing import Any

import ipywidgets as w

from pvkit.errors import PvkitError
from pvkit.present.commission_pages import unread_html
from pvkit.present.files import write_text
from pvkit.present.history import add_record, read_history
from pvkit.present.live import chart_place, heading, two_columns
from pvkit.present.pages import error_html, saved_html, sentence_html
from pvkit.present.rows import LABEL_WIDTH, show_chart
from pvkit.present.screen_charts import picture_json
from pvkit.present.twin import Twin
from pvkit.present.visit_pages import NOTHING, visit_page_html, visit_twin_html
from pvkit.present.visit_sheet import visit_html, visit_picture
from pvkit.site.reader import load_site
from pvkit.site.visit_readings import build_visit, load_visit, readings_path
from pvkit.site.visit_typed import as_typed, typed_light, typed_readings
from pvkit.study.store import Store
from pvkit.study.visit import judge
from pvkit.study.visit_checklist import NOT_LOOKED, items_of
from pvkit.study.visit_earlier import earlier_visits
from pvkit.study.visit_facts import KIND
from pvkit.study.visit_result import Visit
from pvkit.study.visit_site import site_year

_ANSWERS = (NOT_LOOKED, "good", "put right", "fault")
_STYLE = {"description_width": LABEL_WIDTH}
_DAY = ("date", "installed", "by", "remarks")
CHANGED = "Changed since it was judged: press “Judge the visit”."
_NO_FIELD = ("half_hourly", "weather", "insulation")


class VisitForm:
    """Fill in a yearly visit and judge it.

    Parameters
    ----------
    site : a sample's name or a site file
    readings : a readings file to begin with, or a sample's name; what the form has no field for is
        kept as it is

    Examples
    --------
    >>> form = VisitForm("south_family_home")
    >>> form.set(date=datetime.date(2027, 4, 1), installed=datetime.date(2025, 4, 1))
    >>> form.set(readings="2026-04-01 4890, 2027-04-01 9950".replace(", ", chr(10)))
    >>> form.judge()
    >>> form.visit.level
    'as expected'
    """

    def __init__(self, site: str, readings: str | Path | None = None) -> None:
        self._site = load_site(site)
        self._year = site_year(self._site, Store())
        self.visit: Visit | None = None
        self._fields = _fields(self._site.site.name)
        self._looked = {item.key: _pick(item.what, item.good) for item in items_of(self._site)}
        self._message, self._verdict = w.HTML(), w.HTML(sentence_html(NOTHING))
        self._chart = chart_place()
        self._chart.layout.display = "none"
        buttons = (("Judge the visit", self.judge), ("Add to the history", self.record),
                   ("Write the sheet", self.write))  # fmt: skip
        layout = w.Layout(width="auto", flex="1 1 auto")
        self._buttons = [w.Button(description=n, tooltip=n, layout=layout) for n, _ in buttons]
        for button, (_, act) in zip(self._buttons, buttons, strict=True):
            button.on_click(lambda _, act=act: act())
        for field in (self._fields | self._looked).values():
            field.observe(lambda _: self._changed(), "value")
        self._folder, self._kept = Path(), dict[str, Any]()
        if readings is not None:
            self._open(readings_path(readings))
            self.judge()

    @property
    def view(self) -> Twin:
        """The form for a notebook cell: live when run, a table when only opened."""
        left = [heading("The readings"), *self._fields.values(), w.HBox(self._buttons)]
        right = [self._verdict, self._message, self._chart,
                 heading("What was looked at"), *self._looked.values()]  # fmt: skip
        return two_columns(left, right, lambda: visit_twin_html(self.visit), self.say)

    def set(self, **values: Any) -> None:
        """Fill in fields or lines of the list by name, as a user would."""
        for name, value in values.items():
            (self._fields | self._looked)[name].value = value

    def _open(self, path: Path) -> None:
        """Fill the form from a readings file; keep what it has no field for."""
        file = load_visit(path).file
        given = file.model_dump(exclude_unset=True)
        looked = given.get("checks", {})
        self.set(**{name: given["visit"][name] for name in _DAY if name in given["visit"]})
        self.set(**as_typed(file), light_source=given.get("irradiation", {}).get("source", ""))
        self.set(**{key: looked[key] for key in self._looked if key in looked})
        self.set(trips=str(looked.get("over_voltage_trips", "")))
        self._folder = path.parent
        self._kept = {key: given[key] for key in _NO_FIELD if key in given}
        self._kept["checks"] = {k: looked[k] for k in looked if k == "string_amps"}

    def say(self) -> str:
        """Give the verdict in one line."""
        return NOTHING if self.visit is None else str(self.visit.facts()["sentence"])

    def judge(self) -> None:
        """Judge what is filled in; what is wrong with it is shown, not raised."""
        self._safely(self._judge)

    def record(self) -> None:
        """Judge, and add the record to the history file."""
        self._safely(self._record)

    def write(self) -> None:
        """Judge, and write the page to print."""
        self._safely(self._write)

    def _safely(self, act: Any) -> None:
        self._message.value = ""
        try:
            act()
        except PvkitError as error:
            self._message.value = error_html(str(error))

    def _changed(self) -> None:
        """Say that the verdict on the screen is of what stood there before."""
        if self.visit is not None:
            self._message.value = saved_html(CHANGED)

    def _judge(self) -> Visit:
        """Judge what is filled in; while that cannot be done, no earlier verdict stays."""
        try:
            self.visit = judged = self._judged()
        except PvkitError:
            self.visit = None
            raise
        finally:
            self._draw()
        return judged

    def _judged(self) -> Visit:
        readings = build_visit(self._raw(), "form", self._folder)
        day = readings.file.visit.date.isoformat()
        history = self._path("history")
        known = read_history(history, KIND) if history else ()
        earlier = earlier_visits(known, self._site.site.name, day)
        return judge(self._site, self._year, readings, earlier)

    def _draw(self) -> None:
        self._verdict.value = unread_html() if self.visit is None else visit_page_html(self.visit)
        picture = None if self.visit is None else visit_picture(self.visit)
        self._chart.layout.display = "none" if picture is None else ""
        if picture is not None:
            show_chart(self._chart, picture_json(picture))

    def _record(self) -> None:
        judged, history = self._judge(), self._path("history")
        if history is None:
            self._message.value = error_html("history: give a file name, like visits.jsonl.")
            return
        added = add_record(history, judged.facts(), KIND)
        words = "added to" if added else "stood already in"
        self._message.value = saved_html(f"Record {words} {history}.")

    def _write(self) -> None:
        judged, sheet = self._judge(), self._path("sheet")
        if sheet is None:
            self._message.value = error_html("sheet: give a file name, like visit.html.")
            return
        write_text(sheet, visit_html(judged))
        self._message.value = saved_html(f"Sheet written: {sheet}.")

    def _path(self, name: str) -> Path | None:
        text = self._fields[name].value.strip()
        return Path(text) if text else None

    def _raw(self) -> dict[str, Any]:
        value = {name: field.value for name, field in self._fields.items()}
        raw = {"visit": {name: value[name] for name in _DAY if value[name]}}
        raw |= {key: value for key, value in self._kept.items() if key != "checks"}
        if value["readings"].strip() or "half_hourly" not in raw:
            raw |= typed_readings(value["readings"])
        raw |= typed_light(value["light"])
        if "irradiation" in raw and value["light_source"].strip():
            raw["irradiation"]["source"] = value["light_source"]
        return raw | {"checks": self._checks(value["trips"].strip())}

    def _checks(self, trips: str) -> dict[str, Any]:
        looked = {key: f.value for key, f in self._looked.items() if f.value != NOT_LOOKED}
        if trips:
            whole = re.fullmatch(r"[0-9]{1,9}", trips)
            looked["over_voltage_trips"] = int(trips) if whole else trips
        return {**self._kept.get("checks", {}), **looked}


def _fields(name: str) -> dict[str, Any]:
    wide = w.Layout(width="98%")
    tall = w.Layout(width="98%", height="150px")
    common = {"style": _STYLE, "layout": wide}
    today = datetime.date.today()  # noqa: DTZ011 - the day on the user's own wall
    return {
        "date": w.DatePicker(description="Visited", value=today, tooltip="Day", **common),
        "installed": w.DatePicker(description="Switched on", tooltip=f"When {name} began",
                                  **common),
        "by": w.Text(description="By", tooltip="Who made the visit", **common),
        "readings": w.Textarea(
            description="Meter or months", style=_STYLE, layout=tall,
            tooltip="Day and total, or month and kWh, one on each line",
            placeholder="2026-04-01 2381\n2027-04-01 4779\n\nor\n\n2026-04 543\n2026-05 652",
        ),
        "light": w.Textarea(
            description="Light (kWh/m²)", style=_STYLE, layout=tall,
            tooltip="Month and kWh/m² on level ground, one on each line; leave empty if unknown",
            placeholder="2026-04 121\n2026-05 165\n\nempty if not known",
        ),
        "light_source": w.Text(description="Light from", tooltip="Whose figures", **common),
        "trips": w.Text(description="Over-voltage trips", tooltip="In the inverter's log",
                        placeholder="a count", **common),
        "remarks": w.Textarea(description="Remarks", tooltip="What else was seen", **common),
        "history": w.Text(description="History file", tooltip="Records are added to it",
                          placeholder="visits.jsonl", **common),
        "sheet": w.Text(description="Sheet to print", tooltip="A page to print",
                        placeholder="visit.html", **common),
    }  # fmt: skip


def _pick(what: str, good: str) -> Any:
    return w.Dropdown(
        description=what, options=_ANSWERS, value=NOT_LOOKED, tooltip=f"Good: {good}",
        style={"description_width": "190px"}, layout=w.Layout(width="98%"),
    )  # fmt: skip
