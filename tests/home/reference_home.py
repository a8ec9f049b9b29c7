"""A home run half-hour by half-hour in plain Python: minutes one by one, nothing sorted, no tricks.

It knows the same rules as the kit and is written apart from it. Surplus is a list of cells, each a
share of a minute and the power left in it.
"""

from dataclasses import dataclass, field


@dataclass
class Reference:
    """What the reference found, one entry for each half-hour."""

    flows: dict[str, list[float]] = field(default_factory=dict)

    def note(self, **values):
        for name, value in values.items():
            self.flows.setdefault(name, []).append(value)


class Cells:
    """Surplus in each minute of one half-hour: pairs of share and kWh a minute."""

    def __init__(self, pairs):
        self.pairs = [(share, left) for share, left in pairs if left > 0.0]

    @property
    def total(self):
        return sum(share * left for share, left in self.pairs)

    def offered(self, least, most):
        return sum(share * min(left, most) for share, left in self.pairs if left > least)

    def take(self, part, least, most):
        after = []
        for share, left in self.pairs:
            if left <= least:
                after.append((share, left))
            else:
                after.append((share * part, left - min(left, most)))
                after.append((share * (1.0 - part), left))
        self.pairs = [(share, left) for share, left in after if share > 0.0 and left > 0.0]


def run(solar, household, order, start):
    """Run the half-hours once from a state: held, top, bottom, half-hours since hot, car's lack."""
    home, found = Home(household, order), Reference()
    home.held, home.top, home.bottom, home.since, home.lack = start
    for i in range(len(solar.kwh)):
        home.half_hour(i, solar, found)
    return found


class Home:
    def __init__(self, household, order):
        self.demand, self.water, self.battery, self.car = (
            household.demand,
            household.water,
            household.battery,
            household.car,
        )
        self.order, self.limit = order, household.export_limit_kwh
        self.held = self.top = self.bottom = self.since = self.lack = 0.0

    @property
    def floor(self):
        return self.battery.reserve_fraction * self.battery.capacity_kwh if self.battery else 0.0

    def half_hour(self, i, solar, found):
        away, boiler = self.drive(i), self.give_hot_water(i)
        minutes = self.demand.minutes_kwh[i]
        standby = self.battery.standby_kwh if self.battery and self.battery.capacity_kwh else 0.0
        parts = [(solar.bright_share[i], solar.bright[i])]
        if parts[0][0] < 1.0:
            rest = 1.0 - parts[0][0]
            parts.append((rest, (1.0 - parts[0][0] * parts[0][1]) / rest))
        nets = [
            (share, (solar.kwh[i] * level - standby) / 30 - use)
            for share, level in parts
            for use in minutes
        ]
        cells = Cells(nets)
        direct = solar.kwh[i] - cells.total
        out = self.discharge(nets, minutes.sum() + standby - direct)
        taken = self.pass_on(i, cells)
        grid = self.from_grid(i, taken)
        boiler, element = self.heat(i, boiler, taken)
        found.note(
            direct=direct, battery_out=out, battery_in=taken["battery"], car=taken["car"],
            cylinder=taken["upper"] + taken["lower"], export=taken["export"],
            spilled=solar.kwh[i] - direct - sum(taken.values()), car_grid=grid,
            cylinder_grid=element, boiler=boiler, held=self.held, top=self.top,
            bottom=self.bottom, lack=self.lack, away=away,
            imported=minutes.sum() + standby - direct - out + grid + element,
        )  # fmt: skip

    def drive(self, i):
        if not self.car:
            return 0.0
        self.lack += self.car.driven_kwh[i]
        away = max(0.0, self.lack - self.car.battery_kwh)
        self.lack -= away
        return away

    def give_hot_water(self, i):
        water = self.water
        if not water:
            return 0.0
        self.top -= water.loss_fraction * (self.top - water.ambient_degc)
        self.bottom -= water.loss_fraction * (self.bottom - water.ambient_degc)
        # Hot water leaves the top, water of the bottom takes its place, cold water that one's.
        cold, want = water.cold_degc[i], water.draw_kwh[i]
        most = min(water.top_kwh_per_k, water.bottom_kwh_per_k)
        moved = min(most, want / (self.top - cold)) if self.top > cold else 0.0
        given = moved * (self.top - cold)
        self.top += moved / water.top_kwh_per_k * (self.bottom - self.top)
        self.bottom += moved / water.bottom_kwh_per_k * (cold - self.bottom)
        return max(0.0, want - given)

    def discharge(self, nets, short):
        if not self.battery or self.battery.capacity_kwh == 0.0:
            return 0.0
        most = self.battery.power_kwh / 30
        could = sum(share * min(-net, most) for share, net in nets if net < 0.0)
        out = max(0.0, min(could, short, (self.held - self.floor) * self.battery.out))
        self.held -= out / self.battery.out
        return out

    def pass_on(self, i, cells):
        taken = dict.fromkeys(("battery", "car", "upper", "lower", "export"), 0.0)
        aside, sold = 0.0, False
        for path in self.order:
            for sink in ("upper", "lower") if path == "cylinder" else (path,):
                room, least, most = self.room(sink, i)
                if sink == "export":
                    margin, sold = (self.water.margin_kwh if aside > 0.0 else 0.0), True
                    taken["export"] += aside * min(1.0, most / margin) if margin else 0.0
                    most -= margin
                if room <= 0.0 or most <= 0.0:
                    continue
                if sink in ("upper", "lower") and not sold and aside == 0.0:
                    margin = self.water.margin_kwh / 30
                    aside = cells.offered(0.0, margin)
                    cells.take(1.0, 0.0, margin)
                offer = cells.offered(least / 30, most / 30)
                took = min(offer, room)
                if took > 0.0:
                    cells.take(took / offer, least / 30, most / 30)
                    self.put(sink, took)
                    taken[sink] += took
        return taken

    def room(self, sink, i):
        battery, car = self.battery, self.car
        if sink == "export":
            return 1e9, 0.0, 1e9 if self.limit is None else self.limit
        if sink == "battery" and battery:
            return (battery.capacity_kwh - self.held) / battery.into, 0.0, battery.power_kwh
        if sink == "car" and car and car.by_sun and car.here[i]:
            return self.lack, car.least_kwh, car.most_kwh
        if sink in ("upper", "lower") and self.water and self.water.diverter:
            return self.room_in_water(sink)
        return 0.0, 0.0, 0.0

    def room_in_water(self, sink):
        water = self.water
        most = water.upper_kwh if sink == "upper" else water.lower_kwh
        heat = water.top_kwh_per_k * max(0.0, water.element_set_degc - self.top)
        if sink == "lower":
            heat += water.bottom_kwh_per_k * max(0.0, water.element_set_degc - self.bottom)
        return heat / water.diverter_efficiency, most if water.relay else 0.0, most

    def put(self, sink, took):
        if sink == "battery":
            self.held += took * self.battery.into
        elif sink == "car":
            self.lack -= took
        elif sink == "upper":
            self.top += took * self.water.diverter_efficiency / self.water.top_kwh_per_k
        elif sink == "lower":
            self.warm_below(took * self.water.diverter_efficiency)

    def warm_below(self, heat):
        water = self.water
        self.bottom += heat / water.bottom_kwh_per_k
        if self.bottom > self.top:
            whole = water.top_kwh_per_k + water.bottom_kwh_per_k
            mixed = water.top_kwh_per_k * self.top + water.bottom_kwh_per_k * self.bottom
            self.top = self.bottom = mixed / whole

    def from_grid(self, i, taken):
        if not self.car or not (self.car.window[i] and self.car.here[i]):
            return 0.0
        short = self.lack - self.car.kept_kwh
        given = max(0.0, min(short, self.car.most_kwh - taken["car"]))
        self.lack -= given
        return given

    def heat(self, i, boiler, taken):
        water, element = self.water, 0.0
        if not water:
            return 0.0, 0.0
        if water.boost_kwh[i] > 0.0 and water.upper_kwh > 0.0:
            room = water.top_kwh_per_k * (water.element_set_degc - self.top)
            element = max(0.0, min(water.boost_kwh[i] - taken["upper"], room))
            self.top += element / water.top_kwh_per_k
        elif water.boost_kwh[i] > 0.0:
            room = self.short_of(water.element_set_degc)
            element = max(0.0, min(water.boost_kwh[i] - taken["lower"], room))
            self.warm_below(element)
        at_once = water.top_kwh_per_k * max(0.0, water.floor_degc - self.top)
        self.top += at_once / water.top_kwh_per_k
        room = self.short_of(water.boiler_set_degc)
        timed = max(0.0, min(room, water.boiler_kwh[i] - at_once))
        self.warm_below(timed)
        boiler += at_once + timed
        if self.since >= water.weekly_steps:
            room = self.short_of(water.weekly_degc)
            if water.weekly_by_element:
                used = taken["lower"] + (element if water.upper_kwh == 0.0 else 0.0)
                given = max(0.0, min(room, water.lower_kwh - used))
                element += given
            else:
                given = max(0.0, min(room, water.weekly_kwh - timed))
                boiler += given
            self.warm_below(given)
        hot = min(self.top, self.bottom) >= water.weekly_degc - 1e-6
        self.since = 0 if hot else self.since + 1
        return boiler, element

    def short_of(self, degc):
        water = self.water
        above, below = max(0.0, degc - self.top), max(0.0, degc - self.bottom)
        return water.top_kwh_per_k * above + water.bottom_kwh_per_k * below
