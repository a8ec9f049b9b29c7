"""What a weather source gives: one year of light and air."""

from dataclasses import dataclass

from pvkit.sky.sun import Array, Sun


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """One year of light and air in equal steps from 1 January 00:00 UTC.

    Parameters
    ----------
    ghi : light on level ground [W m⁻²]
    dni : sunlight facing the sun [W m⁻²]
    dhi : light of the sky on level ground [W m⁻²]
    temp_air : air temperature [°C]
    wind_speed : wind at 10 m above ground [m s⁻¹]
    """

    ghi: Array
    dni: Array
    dhi: Array
    temp_air: Array
    wind_speed: Array


@dataclass(frozen=True, slots=True, eq=False)
class Sky:
    """Sun, light and air over one place, means over every half-hour of the reference year.

    Parameters
    ----------
    sun : where the sun stands at the middle of each half-hour
    ghi, dni, dhi : (n,) light on level ground, facing the sun, from the sky [W m⁻²]
    temp_air : (n,) [°C]
    wind_speed : (n,) at 10 m above ground [m s⁻¹]
    label : where the year comes from, in words
    notes : what the user should know about it
    """

    sun: Sun
    ghi: Array
    dni: Array
    dhi: Array
    temp_air: Array
    wind_speed: Array
    label: str
    notes: tuple[str, ...]


def sky_of(sun: Sun, readings: Readings, label: str, notes: tuple[str, ...]) -> Sky:
    """Put half-hourly readings under their sun."""
    return Sky(
        sun=sun,
        ghi=readings.ghi,
        dni=readings.dni,
        dhi=readings.dhi,
        temp_air=readings.temp_air,
        wind_speed=readings.wind_speed,
        label=label,
        notes=notes,
    )
