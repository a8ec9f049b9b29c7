"""What the tables of the home must agree on: who is given surplus, and what a car can be given."""

from collections.abc import Iterator

from pvkit.errors import Fault
from pvkit.site.survey import Site
from pvkit.site.wording import shown

DAYS_A_WEEK = 7
WEEKS_A_YEAR = 365 / DAYS_A_WEEK
NIGHT_HOURS = 6.0  # a night's charging, to judge a car by


def order_faults(site: Site) -> Iterator[Fault]:
    """Check that each path has one place, and that nothing on the site is left out."""
    order = site.home.order
    doubles = sorted({path for path in order if order.count(path) > 1})
    if doubles:
        yield _order_fault(f"found {doubles[0]} twice", "name each once")
    if "value" in order and len(order) > 1:
        yield _order_fault('found "value" beside others', 'write ["value"] alone, or no "value"')
    if "value" in order:
        return
    water = site.hot_water
    fitted = {
        "battery": site.battery is not None and site.battery.capacity_kwh > 0,
        "car": site.car is not None and site.car.by_sun,
        "cylinder": water is not None and water.diverter,
    }
    for path, has in fitted.items():
        if has and path not in order:
            yield _order_fault(
                f"found no {path} in {shown(list(order))}",
                f'add "{path}" where it belongs; behind "export" it has what the grid refuses',
            )


def _order_fault(found: str, fix: str) -> Fault:
    allowed = "each of battery, car, cylinder and export that the home has, once"
    return Fault("home.order", found, allowed, fix)


def car_faults(site: Site) -> Iterator[Fault]:
    """Check that a car can be charged at home with what it drives."""
    car = site.car
    if car is None:
        return
    days = DAYS_A_WEEK - car.days_at_home or DAYS_A_WEEK
    weekly = car.yearly_miles * car.kwh_per_mile / WEEKS_A_YEAR
    most = min(days * car.battery_kwh, DAYS_A_WEEK * NIGHT_HOURS * car.charger_kw)
    if weekly > most:
        miles = int(most * WEEKS_A_YEAR / car.kwh_per_mile)
        yield Fault(
            "car.yearly_miles",
            f"found {car.yearly_miles:,.0f}, which is {weekly / days:.0f} kWh on each of {days} "
            "days a week",
            f"up to {miles:,}, what its battery and {NIGHT_HOURS:g} hours a night of its charger "
            "can give",
            "give only the miles charged for at home, or look at battery_kwh and charger_kw",
        )
