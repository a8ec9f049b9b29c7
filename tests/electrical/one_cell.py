"""One cell for the compiled functions, told by its curve; breakdown and bypass as usual."""

import numpy as np

from pvkit.electrical.cell_kernel import Cell


def one_cell(five, *, in_series, reverse_fraction):
    """Give a cell from what five numbers say of it at 1000 W/m2.

    These are photocurrent [A], saturation current [A], series and shunt resistance [ohm], n kT/q
    [V], in the order in which pvlib takes them.
    """
    photo_a, saturation_a, series_ohm, shunt_ohm, volts_scale = five
    return Cell(
        current_per_light=photo_a / 1000,
        shunt_per_light=1 / (1000 * shunt_ohm),
        saturation_a=saturation_a,
        volts_scale=volts_scale,
        series_ohm=series_ohm,
        reverse_fraction=reverse_fraction,
        breakdown_v=-15.0,
        reverse_exponent=3.0,
        bypass_v=0.5,
        in_series=in_series,
        usual_v=0.5,
        log_saturation=np.log(saturation_a),
    )
