"""The tilt and direction workbook's panel: one map, two planes to compare."""

from itertools import chain
from typing import Any

import ipywidgets as w

from pvkit.present.live import LivePanel, chart_place, heading, pick, two_columns
from pvkit.present.pages import sentence_html
from pvkit.present.plane_pages import plane_figures_html, plane_twin_html
from pvkit.present.plane_pictures import Plane
from pvkit.present.plane_scenes import PLANE_PICTURES, WORTH, PlaneScene
from pvkit.present.rows import LABEL_WIDTH, show_chart
from pvkit.present.twin import Twin
from pvkit.site.reader import load_site
from pvkit.study.plane_map import SHADES, PlaneMap
from pvkit.study.plane_worth import PlaneWorth
from pvkit.study.study import Study

BUSY = "Working out the household's year for every tilt and direction …"


class PlanePanel(LivePanel):
    """Pick a site, see every tilt and direction, put two planes side by side.

    Parameters
    ----------
    site : a sample's name or a site file

    Examples
    --------
    >>> panel = PlanePanel("south_family_home")
    >>> panel.point("B", 30, 90)
    >>> [plane.say() for plane in panel.planes]
    ['35° facing south (178°)', '30° facing east (90°)']
    """

    def __init__(self, site: str) -> None:
        super().__init__()
        self._study = Study(load_site(site))
        self.answer = self._study.estimate()
        self.rows = {}
        self._array = pick("Array", [array.name for array in self._study.site.array])
        self._shade = pick("Shade", SHADES, "What stands between the sky and the panels")
        self._picture = pick("Picture", list(PLANE_PICTURES))
        self._figures, self._words = w.HTML(), w.HTML()
        self._chart = chart_place()
        self._sliders = {letter: (_tilt(letter), _azimuth(letter)) for letter in "AB"}
        self._to_roof = w.Button(description="A to the roof", layout=w.Layout(width="48%"))
        self._to_best = w.Button(description="B to the best", layout=w.Layout(width="48%"))
        self._to_roof.on_click(lambda _: self.point("A", *self.map.here))
        self._to_best.on_click(lambda _: self.point("B", *self.map.best[:2]))
        self._still = False
        self._begin()
        for field in (self._picture, *chain(*self._sliders.values())):
            field.observe(lambda _: self._safely(self._draw), "value")
        for field in (self._array, self._shade):
            field.observe(lambda _: self._safely(self._begin), "value")

    @property
    def view(self) -> Twin:
        """The panel for a notebook cell: live when run, a table when only opened."""
        several = [self._array] if len(self._array.options) > 1 else []
        buttons = w.HBox([self._to_roof, self._to_best])
        left = [*several, self._shade, heading("Plane A"), *self._sliders["A"],
                heading("Plane B"), *self._sliders["B"], buttons]  # fmt: skip
        right = [self._figures, self._message, self._words, self._picture, self._chart]
        return two_columns(left, right, self._twin, self.say)

    @property
    def map(self) -> PlaneMap:
        """The map for the array and the shade that are chosen."""
        return self._scene.found

    @property
    def planes(self) -> tuple[Plane, Plane]:
        """The two planes that are compared."""
        first, second = (
            Plane(letter, float(tilt.value), float(azimuth.value))
            for letter, (tilt, azimuth) in self._sliders.items()
        )
        return first, second

    @property
    def worths(self) -> tuple[PlaneWorth, PlaneWorth]:
        """What the two planes make and are worth."""
        first, second = (self._scene.worth_of(plane) for plane in self.planes)
        return first, second

    def point(self, letter: str, tilt_deg: float, azimuth_deg: float) -> None:
        """Move plane A or B, as a user would."""
        tilt, azimuth = self._sliders[letter]
        self._still = True  # the picture is drawn once, after both have moved
        tilt.value, azimuth.value = tilt_deg, azimuth_deg
        self._still = False
        self._safely(self._draw)

    def choose(self, array: str = "", shade: str = "", picture: str = "") -> None:
        """Choose from the lists, as a user would."""
        for field, value in ((self._array, array), (self._shade, shade), (self._picture, picture)):
            field.value = value or field.value

    def say(self) -> str:
        """Give the panel's answer in one line."""
        best = self.map.best[2]
        said = "; ".join(
            f"{plane.name}, {plane.say()}, makes {worth.ac_kwh:,.0f} kWh a year, "
            f"{worth.ac_kwh / best:.1%} of the best, and saves £{worth.saving_gbp:,.0f} in the "
            "first year"
            for plane, worth in zip(self.planes, self.worths, strict=True)
        )
        return f"{self._study.site.site.name}: {said}."

    def _begin(self) -> None:
        """Map the array under its shade and put the planes where they start."""
        self._scene = PlaneScene(self._study, self._array.value, self._shade.value)
        self.point("A", *self.map.here)
        self.point("B", *self.map.best[:2])

    def _draw(self) -> None:
        if self._still:
            return
        if self._picture.value == WORTH and not self._scene.has_worth:
            self._words.value = sentence_html(BUSY)
        figure, words = PLANE_PICTURES[self._picture.value](self._scene, self.planes)
        self._words.value = sentence_html(words)
        show_chart(self._chart, figure)
        self._figures.value = self._table()
        self._message.value = ""

    def _table(self) -> str:
        return plane_figures_html(self.planes, self.worths, self._scene.best)

    def _twin(self) -> str:
        return plane_twin_html(self._study.site.site.name, self._table())


def _tilt(letter: str) -> Any:
    return _slider(f"{letter}: tilt (°)", 90)


def _azimuth(letter: str) -> Any:
    return _slider(f"{letter}: faces (° from north)", 360)


def _slider(label: str, most: float) -> Any:
    """Give a slider that stops at whole degrees and may start between them."""
    return w.FloatSlider(
        value=0.0, min=0.0, max=most, step=1.0, description=label, tooltip=label,
        readout_format=".0f", style={"description_width": LABEL_WIDTH},
        layout=w.Layout(width="98%"),
    )  # fmt: skip
