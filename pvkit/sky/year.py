"""The sky stage: one year of sun, light and air over a place, from the source the site names."""

from pvkit.site.place import Place, Weather
from pvkit.sky.record import Sky
from pvkit.sky.region import region_number, region_year
from pvkit.sky.sun import Sun

__all__ = ["Sky", "sky_year"]


def sky_year(sun: Sun, place: Place, weather: Weather) -> Sky:
    """Give the year of light and air that a site asks for.

    Parameters
    ----------
    sun : the sun over the place
    place : where the home stands
    weather : which source to use, and its file

    Raises
    ------
    InputError
        With everything that is wrong with the region's name or the weather file.
    """
    if weather.source == "region":
        return region_year(sun, region_number(place))
    from pvkit.sky.files import file_year

    return file_year(sun, place, weather)
