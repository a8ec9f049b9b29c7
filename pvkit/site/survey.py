"""The whole survey of one home, as the estimate reads it."""

from typing import Any

from pydantic import Field

from pvkit.site.car import Car
from pvkit.site.doubt import Doubt
from pvkit.site.fields import Section, listing
from pvkit.site.household import Home, HotWater
from pvkit.site.keep_clear import KeepClear
from pvkit.site.kit import Array, Cables, Inverter, InverterSheet, Losses, ModuleSheet, Roof
from pvkit.site.money import Carbon, Costs, Finance, Loan, Prices
from pvkit.site.obstacles import Obstacle
from pvkit.site.parts import inverter_sheet, module_sheet
from pvkit.site.place import Horizon, Place, Weather
from pvkit.site.standard import Standard
from pvkit.site.storage import Battery
from pvkit.site.supply import Supply
from pvkit.site.tariff import Tariff
from pvkit.site.wind import Ballast, Wind
from pvkit.tables import constant


def _table(head: str, holds: str) -> dict[str, Any]:
    """Give the arguments of a ``Field`` that holds a table."""
    return {"json_schema_extra": {"allowed": f"a table {head}", "fix": holds}}


class Site(Section):
    """A surveyed home: everything an estimate needs, frozen.

    Built by :func:`pvkit.load_site` or :func:`pvkit.site.reader.build_site`, which also check
    what one table alone cannot show (an array's roof, its fit, overlapping price bands).
    """

    site: Place = Field(**_table("[site]", "it holds name, latitude and longitude"))
    weather: Weather = Field(
        default_factory=Weather, **_table("[weather]", "it says which weather to use")
    )
    horizon: Horizon | None = Field(
        default=None, **_table("[horizon]", "it holds bearing_deg and elevation_deg")
    )
    roof: tuple[Roof, ...] = Field(
        **listing(
            "1 to 40 tables [[roof]]",
            1,
            40,
            "each holds name, kind, azimuth_deg, width_m and depth_m",
        )
    )
    array: tuple[Array, ...] = Field(
        **listing("1 to 40 tables [[array]]", 1, 40, "each holds name, roof, module and count")
    )
    obstacle: tuple[Obstacle, ...] = Field(
        default=(),
        **listing(
            "up to 100 tables [[obstacle]]", 0, 100, "each holds name, kind and where it stands"
        ),
    )
    keep_clear: tuple[KeepClear, ...] = Field(
        default=(),
        **listing(
            "up to 100 tables [[keep_clear]]", 0, 100, "each holds name, roof, kind and its place"
        ),
    )
    inverter: Inverter = Field(**_table("[inverter]", "it holds part, or [inverter.datasheet]"))
    cables: Cables = Field(
        default_factory=Cables, **_table("[cables]", "it holds lengths and sizes")
    )
    supply: Supply = Field(
        default_factory=Supply, **_table("[supply]", "it describes the mains at the meter")
    )
    losses: Losses = Field(default_factory=Losses, **_table("[losses]", "it holds shares lost"))
    wind: Wind = Field(default_factory=Wind, **_table("[wind]", "it says how hard it blows"))
    ballast: Ballast = Field(
        default_factory=Ballast, **_table("[ballast]", "it holds block_kg and frame_kg")
    )
    home: Home = Field(
        default_factory=Home, **_table("[home]", "it holds yearly_kwh, day and occupants")
    )
    hot_water: HotWater | None = Field(
        default=None, **_table("[hot_water]", "it describes a cylinder")
    )
    battery: Battery | None = Field(
        default=None, **_table("[battery]", "it holds capacity_kwh and power_kw")
    )
    car: Car | None = Field(default=None, **_table("[car]", "it says how far the car goes"))
    tariff: Tariff = Field(default_factory=Tariff, **_table("[tariff]", "it holds prices"))
    costs: Costs = Field(default_factory=Costs, **_table("[costs]", "it holds the quotation"))
    finance: Finance = Field(
        default_factory=Finance, **_table("[finance]", "it holds years and rates")
    )
    prices: Prices = Field(
        default_factory=Prices, **_table("[prices]", "it says how prices move over the years")
    )
    loan: Loan | None = Field(
        default=None, **_table("[loan]", "it holds deposit_gbp, apr and years")
    )
    carbon: Carbon = Field(default_factory=Carbon, **_table("[carbon]", "it holds carbon factors"))
    doubt: Doubt = Field(default_factory=Doubt, **_table("[doubt]", "it holds sizes of doubts"))
    standard: Standard = Field(
        default_factory=Standard, **_table("[standard]", "it holds the scheme's own figures")
    )

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
        if array.positions_m is not None:
            return len(array.positions_m)
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
