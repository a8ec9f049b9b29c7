"""How warm the cells get: light heats them, wind at the modules cools them."""

from pvkit.electrical.inputs import ArrayInputs
from pvkit.roof.light import Array
from pvkit.tables import constant


def cell_temperature(
    inputs: ArrayInputs, absorbed: Array, temp_air: Array, wind_speed: Array
) -> Array:
    """Give the cells' temperature from light, air and wind.

    Parameters
    ----------
    inputs : the array: how it is mounted, its height and terrain
    absorbed : (d,) light in the plane after obstacles and reflection, before dirt [W m⁻²].
        Reflected light is counted against straight-on light, for which the coefficients were
        measured, and does not warm the cells; dirt does soak up its light, on the glass.
    temp_air : (d,) [°C]
    wind_speed : (d,) over open country at 10 m [m s⁻¹]

    Returns
    -------
    (d,) cell temperature [°C]

    Source
    ------
    Faiman, *Prog. Photovolt.* 16 (2008) 307-315, through ``pvlib.temperature.faiman``; the pair
    u0, u1 of each mounting and its reason stand in the constants table. Cell and module
    temperature are taken as one.
    """
    from pvlib.temperature import faiman

    warm: Array = faiman(
        absorbed,
        temp_air,
        wind_speed * wind_factor(inputs.height_m, inputs.terrain),
        u0=constant(f"temperature.u0.{inputs.mounting}"),
        u1=constant(f"temperature.u1.{inputs.mounting}"),
    )
    return warm


def wind_factor(height_m: float, terrain: str) -> float:
    """Give the wind at the modules as a share of the weather station's wind.

    Parameters
    ----------
    height_m : modules above ground [m]
    terrain : sea, country or town

    Source
    ------
    *ASHRAE Handbook of Fundamentals*, airflow around buildings, eq. (4), from memory:
    U = U_met (delta_met/H_met)^a_met (H/delta)^a, with the station in open country.

    Examples
    --------
    >>> round(wind_factor(10.0, "country"), 12)
    1.0
    >>> round(wind_factor(5.0, "town"), 3)
    0.615
    """
    station = wind_at(constant("wind.weather_height_m"), "country")
    return wind_at(height_m, terrain) / station


def wind_at(height_m: float, terrain: str) -> float:
    """Give the wind as a share of that above the terrain's boundary layer."""
    layer_m = constant(f"wind.layer_m.{terrain}")
    return float((height_m / layer_m) ** constant(f"wind.exponent.{terrain}"))
