"""The shade workbook's pictures, each with one sentence that says what it shows."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pvkit.present import colours
from pvkit.present.colours import Ink
from pvkit.present.pictures import MONTH_NAMES, Picture, Series
from pvkit.present.screen_charts import picture_json
from pvkit.present.screen_scenes import (
    Line,
    Mark,
    curves_json,
    heat_map_json,
    sketch_json,
    sun_eye_json,
)
from pvkit.roof.sketch import roof_sketch
from pvkit.roof.sun_eye import sun_eye
from pvkit.study.estimate import Estimate
from pvkit.study.moment import Moment
from pvkit.study.shade_loss import shade_loss_percent


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """What a picture of shade is made from: an answer, and one moment of its year."""

    answer: Estimate
    moment: Moment
    month: int
    hour: int

    def when(self) -> str:
        """Say the moment in words."""
        return f"{self.hour:02d}:00 on the sunniest such day of {MONTH_NAMES[self.month - 1]}"


Drawn = tuple[dict[str, Any], str]


def _plan(scene: Scene) -> Drawn:
    site = scene.answer.site
    sketch = roof_sketch(site, site.array[0].roof)
    words = "The roof as surveyed, from above and from its side. Is all of it right?"
    return sketch_json(sketch), words


def _from_the_sun(scene: Scene) -> Drawn:
    site, moment = scene.answer.site, scene.moment
    if moment.solar_elevation <= 0:
        return sun_eye_json(()), f"At {scene.when()} the sun is down."
    patches = sun_eye(
        site, site.array[0].roof, moment.solar_azimuth, moment.solar_elevation,
        leaves=moment.leaves,
    )  # fmt: skip
    if not patches:
        return sun_eye_json(()), f"At {scene.when()} the sun is behind this roof."
    words = (
        f"The roof as the sun sees it at {scene.when()}, {moment.solar_elevation:.0f}° up: what "
        "the sun cannot see lies in shade (dark)."
    )
    return sun_eye_json(patches), words


def _curve(scene: Scene) -> Drawn:
    curve, titles = scene.moment.curve, ("volts of the string", "watts")
    if curve is None or curve.highest_w <= 0:
        return curves_json((), (), titles), f"At {scene.when()} there is too little light."
    line = Line("plain string", _short(curve.volts), _short(curve.watts), colours.MONEY)
    flat = [curve.module_w.sum()] * 2
    best = Line("each panel at its own best", [0.0, float(curve.volts.max())], flat,
                Ink(colours.GREEN, "dash"))  # fmt: skip
    marks = [Mark("highest hump", round(curve.highest_v, 1), round(curve.highest_w, 1))]
    if curve.local_w < 0.999 * curve.highest_w:
        marks.append(Mark("stuck tracker", round(curve.local_v, 1), round(curve.local_w, 1)))
    words = (
        f"At {scene.when()}: {curve.highest_w:,.0f} W from the string at its highest hump, "
        f"{curve.module_w.sum():,.0f} W with each panel at its own best, {curve.even_w:,.0f} W if "
        "the same light fell evenly on each panel."
    )
    return curves_json((line, best), marks, titles), words


def _heat(scene: Scene) -> Drawn:
    lost = shade_loss_percent(scene.answer.stages)
    words = "Share of the energy that shade takes from a plain string, by month and hour."
    return heat_map_json(lost, "% lost"), words


def _panels(scene: Scene) -> Drawn:
    table = scene.answer.modules
    labels = tuple(str(number) for number in table["number"])
    if len(scene.answer.site.array) > 1:
        labels = tuple(f"{a} {n}" for a, n in zip(table["array"], table["number"], strict=True))
    values = tuple(round(float(value), 1) for value in table["kwh"])
    best, least = values.index(max(values)), values.index(min(values))
    words = (
        f"Panel {labels[best]} could make {values[best]:,.0f} kWh (d.c.) in a year and panel "
        f"{labels[least]} {values[least]:,.0f} kWh, each at its own best."
    )
    picture = Picture("Panel by panel", words, labels, (Series("makes", values, colours.SOLAR),),
                      "panel number, from the lower left", "kWh a year, d.c.")  # fmt: skip
    return picture_json(picture), words


def _short(values: Any) -> list[float]:
    return [round(float(value), 1) for value in values[::4]]


SHADE_PICTURES: dict[str, Callable[[Scene], Drawn]] = {
    "What does the sun see?": _from_the_sun,
    "Is the survey right?": _plan,
    "What does the string do then?": _curve,
    "When does shade cost most?": _heat,
    "Which panels lose most?": _panels,
}
