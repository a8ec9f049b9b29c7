"""Labels to print and cut out, each at the size it is stuck up at."""

from collections.abc import Iterator
from dataclasses import dataclass

from pvkit.electrical.on_site import dc_isolator_rating
from pvkit.electrical.string_volts import string_plans
from pvkit.present.wiring_parts import STAND_IN, fitted_battery, system_wiring
from pvkit.study.record import Record
from pvkit.tables import rows

TABLE = "labels_to_print.csv"
_BATTERY = "battery"


@dataclass(frozen=True, slots=True)
class Label:
    """One label.

    Parameters
    ----------
    signal : WARNING or DANGER; "" for a plain one
    head, text : what it says
    where : where it is stuck up
    width_mm, height_mm : its size
    """

    signal: str
    head: str
    text: str
    where: str
    width_mm: int
    height_mm: int


def labels(record: Record) -> tuple[Label, ...]:
    """Give every label of a site, those that are needed several times once for each place.

    Parameters
    ----------
    record : for the volts, amps and breaker that labels name

    Source
    ------
    Table ``labels_to_print.csv``.
    """
    stored = fitted_battery(record.site) is not None
    needed = (line for line in rows(TABLE) if stored or line["id"] != _BATTERY)
    return tuple(label for line in needed for label in _copies(record, line))


def _copies(record: Record, line: dict[str, str]) -> Iterator[Label]:
    ratings = [dc_isolator_rating(plan) for plan in string_plans(record.site)]
    volts, amps = (max(each) for each in zip(*ratings, strict=True))
    breaker = system_wiring(record.site, record.file).breaker
    shown = "______ A" if STAND_IN in breaker else breaker
    text = line["text"].format(dc=f"{volts:.0f} V and {amps:.1f} A", breaker=shown)
    for _ in range(int(line["copies"])):
        yield Label(line["signal"], line["head"], text, line["where"],
                    int(line["width_mm"]), int(line["height_mm"]))  # fmt: skip
