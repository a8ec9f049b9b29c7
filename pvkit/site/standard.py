"""What the surveyor took from the trade's own paper tables for the standard estimate."""

from pydantic import Field

from pvkit.site.fields import Section, listing, quantity, text


class StandardPlane(Section):
    """One array's figures, read from the scheme's own table and chart."""

    array: str = text(80, "give the name of an array of this file")
    kk_kwh_per_kwp: float | None = quantity(
        "kWh/kWp", 200.0, 1500.0, "give the table's kWh a year for each kWp", optional=True
    )
    shade_factor: float | None = quantity(
        "-", 0.16, 1.0, "give the chart's factor, 0.93 for 7 segments touched", optional=True
    )


class Standard(Section):
    """The ``[standard]`` table: figures that take the place of the kit's stand-ins."""

    planes: tuple[StandardPlane, ...] = Field(
        default=(),
        **listing(
            "a list of up to 40 planes",
            0,
            40,
            'write each as { array = "main", kk_kwh_per_kwp = 900, shade_factor = 0.93 }',
        ),
    )
