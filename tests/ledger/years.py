"""Years of energy made by hand, for the money and carbon tests."""

import numpy as np

from pvkit.home.flows import Years


def plain_years(span=25, ageing=1.0, bought=1500.0, sold=1500.0, gas=650.0):
    """Each year 2,500 kWh of demand, some of it bought, some sold, in one half-hour a year."""
    age = np.full(span, ageing) ** np.arange(span)
    half_hours = np.zeros((span, 17520))
    imported, exported = half_hours.copy(), half_hours.copy()
    imported[:, 100] = 2500.0 - (2500.0 - bought) * age
    exported[:, 8000] = sold * age
    demand = np.zeros(17520)
    demand[100] = 2500.0
    return Years(
        yield_kwh=(2500.0 - bought + sold + 600.0) * age,
        direct_kwh=(2500.0 - bought) * age,
        cylinder_kwh=600.0 * age,
        export_kwh=sold * age,
        battery_in_kwh=np.zeros(span),
        car_solar_kwh=np.zeros(span),
        spilled_kwh=np.zeros(span),
        battery_out_kwh=np.zeros(span),
        battery_grid_kwh=np.zeros(span),
        car_kwh=np.zeros(span),
        battery_capacity_kwh=np.zeros(span),
        import_kwh=imported.sum(axis=1),
        gas_saved_kwh=gas * age,
        gas_without_kwh=2500.0,
        import_half_hourly_kwh=imported,
        export_half_hourly_kwh=exported,
        demand_kwh=demand,
    )
