"""One control of a workbook, apart from how it is shown: what it changes, its range and words."""

from dataclasses import dataclass
from typing import Any, Literal

Group = Literal["The roof", "The household", "The years ahead"]
GROUPS: tuple[Group, ...] = ("The roof", "The household", "The years ahead")

# A slider's step may be made so many times finer for a value that lies off it.
_FINER = (1, 2, 5, 10, 25)


@dataclass(frozen=True, slots=True)
class Control:
    """One control.

    Parameters
    ----------
    key : dotted key of the site that it changes
    label : what it says, with its unit
    group : who decides
    surveyed : the value in the site file, in the control's own unit
    low, high, step : range of a slider; all 0 for a choice or a tick
    choices : key to words, for a choice
    scale : a site value is the control's value times this
    array : the array it belongs to, "" for the whole site
    why_more, why_less : why the answer moves when the value rises or falls
    """

    key: str
    label: str
    group: Group
    surveyed: Any
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    choices: tuple[tuple[str, str], ...] = ()
    scale: float = 1.0
    array: str = ""
    why_more: str = ""
    why_less: str = ""

    def site_value(self, value: Any) -> Any:
        """Turn the control's value into the site's."""
        if isinstance(self.surveyed, bool) or self.choices:
            return value
        if isinstance(self.surveyed, int):
            return int(value)
        return round(float(value) * self.scale, 9)

    def say(self, value: Any) -> str:
        """Say a value of this control in words, for tooltips and sentences.

        Examples
        --------
        >>> Control("k", "Tilt (°)", "The roof", 10.0, 0, 60, 1).say(12.0)
        'tilt 12°'
        """
        name = self.label.split(" (")[0]
        return f"{name[0].lower()}{name[1:]} {self.figure(value)}"

    def figure(self, value: Any) -> str:
        """Say a value alone, with its unit."""
        if isinstance(self.surveyed, bool):
            return "yes" if value else "no"
        if self.choices:
            return dict(self.choices)[value]
        unit = self.label.partition("(")[2].rstrip(")").removesuffix(" from north")
        gap = "" if unit.startswith("°") else " "
        return f"{value:,.6g}{gap}{unit}".rstrip()

    def moved(self, value: Any) -> bool:
        """Whether a value is another than the surveyed one, beyond a slider's own rounding."""
        if isinstance(value, bool | str):
            return bool(value != self.surveyed)
        return bool(abs(value - self.surveyed) > self.step / 1000)

    def grid(self, value: float) -> tuple[float, float]:
        """Give a slider's least value and step so that a value lies on it.

        A browser moves a value that lies off a slider's steps to the nearest one by itself.

        Examples
        --------
        >>> battery = Control("k", "Battery (kWh)", "The household", 5.2, 0.0, 15.0, 0.5)
        >>> battery.grid(5.0), battery.grid(5.2)
        ((0.0, 0.5), (0.0, 0.1))
        """
        steps = (value - self.low) / self.step
        for finer in _FINER:
            if abs(steps * finer - round(steps * finer)) < 1e-6:
                return self.low, round(self.step / finer, 9)
        return round(value - int(steps) * self.step, 9), self.step
