"""The fields of the commissioning form: one for each key of a record, in parts of one screen."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from pvkit.electrical.record_file import RecordFile, StringRecord, Trip
from pvkit.electrical.string_volts import StringPlan, string_plans
from pvkit.site.survey import Site
from pvkit.site.wording import bare

Kind = Literal["number", "text", "long", "date", "pick", "trip", "list", "numbers", "photos"]
BLANK = "not recorded"
TICKS = (("yes", True), ("no", False))
LABELS = {
    "date": "Day of the tests", "by": "By (role)", "notes": "Notes",
    "irradiance_w_per_m2": "Light (W/m²)", "module_temp_degc": "Module (°C)",
    "polarity": "Polarity", "voc_v": "Open-circuit (V)", "isc_a": "Short-circuit (A)",
    "vmp_v": "At work (V)", "imp_a": "At work (A)", "safe_v": "Before start (V)",
    "module_voc_v": "Each module (V)", "insulation_test_v": "Insulation test (V)",
    "insulation_plus_mohm": "+ to earth (MΩ)", "insulation_minus_mohm": "− to earth (MΩ)",
    "insulation_joined_mohm": "Both joined (MΩ)", "before_start": "Before start, shows",
    "safe_v_each": "Maker’s, each (V)", "frame_bonded": "Frames bonded",
    "continuity_ohm": "Continuity (Ω)", "stop_s": "Stops after (s)",
    "stayed_off": "Stayed off", "back_s": "Came back after (s)", "rule": "Set for",
    "reconnect_s": "Wait to reconnect (s)", "droop_hz": "Falls above (Hz)",
    "certificate": "Certificate number", "satisfactory": "All results good",
    "starts": "Inverter starts", "isolators_break": "Isolators stop it",
    "labels_in_place": "Labels in place", "reference": "Reference",
    "generation_kwh": "Generation (kWh)", "import_kwh": "Import (kWh)",
    "export_kwh": "Export (kWh)", "serial": "Meter number", "inverter": "Inverter",
    "modules": "Modules", "optimisers": "Optimisers", "photo": "Photos",
}  # fmt: skip
NETWORK_DATE = "Notice or consent"
TRIPS = {
    "under_voltage": "Under-voltage", "over_voltage_1": "Over-voltage 1",
    "over_voltage_2": "Over-voltage 2", "under_frequency_1": "Under-frequency 1",
    "under_frequency_2": "Under-frequency 2", "over_frequency": "Over-frequency",
    "loss_of_mains": "Loss of mains",
}  # fmt: skip
PARTS = {
    "record": "Day and person", "optimisers": "Optimisers", "earth": "Earth",
    "loss_of_mains": "Loss of mains", "protection": "Protection as read",
    "ac_tests": "A.c. circuit", "works": "Tried with the system on",
    "network": "Network operator", "meter": "Meter", "serials": "Serial numbers",
    "photo": "Photos",
}  # fmt: skip
_OPTIMISERS_ONLY = ("safe_v", "module_voc_v")


@dataclass(frozen=True, slots=True)
class FormField:
    """One field.

    Parameters
    ----------
    key : table and key, or string's name and key, as ``earth.continuity_ohm``
    label : what it says, with its unit
    kind : how it is filled in
    advice : what to write
    choices : words and values of a pick
    """

    key: str
    label: str
    kind: Kind
    advice: str
    choices: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class FormPart:
    """Fields that are filled in together.

    Parameters
    ----------
    title : what it says
    table : its table in the record
    fields : in order
    string : array and number, for a string's part
    """

    title: str
    table: str
    fields: tuple[FormField, ...]
    string: tuple[str, int] | None = None


def form_parts(site: Site) -> tuple[FormPart, ...]:
    """Give the parts of a site's form: each string's, then the rest.

    Examples
    --------
    >>> from pvkit.site.reader import load_site
    >>> [part.title for part in form_parts(load_site("bungalow_extension"))][:3]
    ['Day and person', 'String main 1', 'Optimisers']
    """
    plans = string_plans(site)
    parts: list[FormPart] = []
    for table, field in RecordFile.model_fields.items():
        if table == "string":
            parts += [part for plan in plans for part in _strings(plan)]
        elif table == "photo":
            advice = "one on each line: file, then what it shows, with a colon between"
            photos = FormField("photo.photo", LABELS["photo"], "photos", advice)
            parts.append(FormPart(PARTS[table], table, (photos,)))
        elif table != "optimisers" or any(plan.optimisers for plan in plans):
            fields = tuple(_fields(table, bare(field.annotation)))
            parts.append(FormPart(PARTS[table], table, fields))
    return tuple(parts)


def _strings(plan: StringPlan) -> Iterator[FormPart]:
    skipped = {"array", "number", *(() if plan.optimisers else _OPTIMISERS_ONLY)}
    for number in range(1, plan.strings + 1):
        name = f"{plan.name} {number}"
        fields = tuple(_fields(name, StringRecord, skipped))
        yield FormPart(f"String {name}", "string", fields, (plan.name, number))


def _fields(
    table: str, model: type[BaseModel], skipped: Collection[str] = ()
) -> Iterator[FormField]:
    for key, field in model.model_fields.items():
        if key in skipped:
            continue
        kind, choices = _kind(key, field)
        yield FormField(f"{table}.{key}", _label(table, key), kind, _advice(field), choices)


def _label(table: str, key: str) -> str:
    if (table, key) == ("network", "date"):
        return NETWORK_DATE
    return TRIPS[key] if table == "protection" and key in TRIPS else LABELS[key]


def _advice(field: FieldInfo) -> str:
    facts: Any = field.json_schema_extra or {}
    return str(facts.get("fix", ""))


def _kind(key: str, field: FieldInfo) -> tuple[Kind, tuple[tuple[str, Any], ...]]:
    wanted = bare(field.annotation)
    if get_origin(wanted) is Literal:
        return "pick", tuple((word, word) for word in get_args(wanted))
    if wanted is bool:
        return "pick", TICKS
    if get_origin(wanted) is tuple:
        return ("numbers" if bare(get_args(wanted)[0]) is float else "list"), ()
    if wanted is Trip:
        return "trip", ()
    if wanted is str:
        return ("long" if key == "notes" else "text"), ()
    return ("number" if wanted in (float, int) else "date"), ()
