"""The yardstick: pvlib's own ModelChain on the same half-hourly year, module and inverter."""

from typing import Any

import numpy as np
import pandas as pd
import pvlib

from pvkit.electrical.inverter import converted
from pvkit.electrical.module import desoto
from pvkit.site.survey import Site
from pvkit.sky.year import Sky

FAIMAN_OPEN = {"u0": 25.0, "u1": 6.84}


def half_hourly_weather(sky: Sky) -> pd.DataFrame:
    """Give our year as ModelChain wants it, stamped at the middle of each half-hour."""
    columns = ("ghi", "dni", "dhi", "temp_air", "wind_speed")
    middles = sky.sun.times + pd.Timedelta(minutes=15)
    return pd.DataFrame({name: getattr(sky, name) for name in columns}, index=middles)


def model_chain(site: Site) -> Any:
    """Build a ModelChain for the first array of a site, with the models that both sides have."""
    array, inverter = site.array[0], site.inverter_sheet()
    fit = desoto(site.module(array))
    mount = pvlib.pvsystem.FixedMount(site.tilt_deg(array), site.azimuth_deg(array))
    parameters = {
        "alpha_sc": fit.alpha_isc_a_per_k,
        "a_ref": fit.a_ref_v,
        "I_L_ref": fit.photocurrent_a,
        "I_o_ref": fit.saturation_current_a,
        "R_sh_ref": fit.resistance_shunt_ohm,
        "R_s": fit.resistance_series_ohm,
        "EgRef": 1.121,
        "dEgdT": -0.0002677,
    }
    one_string = pvlib.pvsystem.Array(
        mount,
        albedo=site.site.albedo,
        module_parameters=parameters,
        temperature_model_parameters=FAIMAN_OPEN,
        modules_per_string=site.count(array),
    )
    system = pvlib.pvsystem.PVSystem([one_string], inverter_parameters={"pdc0": inverter.ac_w})
    place = site.site
    where = pvlib.location.Location(place.latitude, place.longitude, "UTC", place.altitude_m)

    def ac_model(chain: Any) -> None:
        dc = np.nan_to_num(chain.results.dc["p_mp"].to_numpy())
        chain.results.ac = pd.Series(
            np.minimum(converted(inverter, dc), inverter.ac_w), index=chain.results.dc.index
        )

    return pvlib.modelchain.ModelChain(
        system, where, transposition_model="perez", dc_model="desoto", ac_model=ac_model,
        aoi_model="no_loss", spectral_model="no_loss", temperature_model="faiman",
        dc_ohmic_model="no_loss", losses_model="no_loss",
    )  # fmt: skip
