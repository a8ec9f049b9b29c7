"""The whole survey of one home, as the estimate reads it."""

from pydantic import Field

from pvkit.site.fields import Section
from pvkit.site.household import Home, HotWater, Tariff
from pvkit.site.kit import Array, Cables, Inverter, InverterSheet, Losses, ModuleSheet, Roof
from pvkit.site.money import Carbon, Costs, Finance
from pvkit.site.parts import inverter_sheet, module_sheet
from pvkit.site.place import Horizon, Place, Weather
from pvkit.tables import constant


class Site(Section):
    """A surveyed home: everything an estimate needs, frozen.

    Built by :func:`pvkit.load_site` or :func:`pvkit.site.reader.build_site`, which also check
    what one table alone cannot show (an array's roof, its fit, overlapping price bands).
    """

    site: Place
    weather: Weather = Field(default_factory=Weather)
    horizon: Horizon | None = None
    roof: tuple[Roof, ...] = Field(min_length=1, max_length=40)
    array: tuple[Array, ...] = Field(min_length=1, max_length=40)
    inverter: Inverter
    cables: Cables = Field(default_factory=Cables)
    losses: Losses = Field(default_factory=Losses)
    home: Home = Field(default_factory=Home)
    hot_water: HotWater | None = None
    tariff: Tariff = Field(default_factory=Tariff)
    costs: Costs = Field(default_factory=Costs)
    finance: Finance = Field(default_factory=Finance)
    carbon: Carbon = Field(default_factory=Carbon)

    def roof_of(self, array: Array) -> Roof:
        """Give the roof that an array lies on."""
        return next(roof for roof in self.roof if roof.name == array.roof)

    def tilt_deg(self, array: Array) -> float:
        """Give an array's tilt from level [deg]: the roof's if pitched, else its own."""
        roof = self.roof_of(array)
        if roof.kind == "pitched":
            return roof.tilt_deg
        return constant("flat_roof.tilt_deg") if array.tilt_deg is None else array.tilt_deg

    def azimuth_deg(self, array: Array) -> float:
        """Give the compass bearing an array faces [deg]: the roof's unless its own is given."""
        roof = self.roof_of(array)
        own = None if roof.kind == "pitched" else array.azimuth_deg
        return roof.azimuth_deg if own is None else own

    def mounting(self, array: Array) -> str:
        """Give how an array is held: its own word, else ballasted if flat and on-roof if not."""
        if array.mounting is not None:
            return array.mounting
        return "ballasted" if self.roof_of(array).kind == "flat" else "on-roof"

    def count(self, array: Array) -> int:
        """Give the number of modules of an array."""
        if array.count is not None:
            return array.count
        return (array.rows or 1) * (array.columns or 1)

    def module(self, array: Array) -> ModuleSheet:
        """Give the module data sheet of an array."""
        return array.datasheet or module_sheet(array.module or "")

    def inverter_sheet(self) -> InverterSheet:
        """Give the inverter's data sheet."""
        return self.inverter.datasheet or inverter_sheet(self.inverter.part or "")

    def kwp(self) -> float:
        """Give the rated d.c. power of all arrays [kWp]."""
        return sum(self.count(a) * self.module(a).pmax_w for a in self.array) / 1000.0
