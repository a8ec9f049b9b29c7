"""What is sought in a file of half-hours, and what the site file says about how to read it."""

from dataclasses import dataclass

from pvkit.home.meter_times import Order
from pvkit.site.household import Home


@dataclass(frozen=True, slots=True)
class Asked:
    """What is sought in a file and what the site file says about it.

    Parameters
    ----------
    key : prefix of the keys that say how to read, "home.meter" or "tariff.price"
    file_key : dotted key that names the file
    roles : what is sought, "import", "export", "generation" or "price"
    needed : the one of them without which the file is of no use
    headings : headings that the site file gives, by role; "time" for the dates
    side : "import" or "export" preferred among prices
    clock, label, unit, date_order : what the site file says, None to find out
    """

    key: str
    file_key: str
    roles: tuple[str, ...]
    needed: str
    headings: tuple[tuple[str, str], ...] = ()
    side: str = ""
    clock: str | None = None
    label: str | None = None
    unit: str | None = None
    date_order: Order | None = None


def asked_of(home: Home) -> Asked:
    """Say what is sought in a home's meter file."""
    roles = ("time", "import", "export", "generation")
    return Asked(
        key="home.meter",
        file_key="home.meter_file",
        roles=("import", "export", "generation"),
        needed="import",
        headings=_headings(home, roles if home.meter_generation_file is None else roles[:3]),
        clock=home.meter_clock,
        label=home.meter_label,
        unit=home.meter_unit,
        date_order=home.meter_date_order,
    )


def asked_of_generation(home: Home) -> Asked:
    """Say what is sought in the file of a home's generation meter, which stands for itself."""
    return Asked(
        key="home.meter",
        file_key="home.meter_generation_file",
        roles=("generation",),
        needed="generation",
        headings=_headings(home, ("generation",)),
    )


def _headings(home: Home, roles: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    given = ((role, getattr(home, f"meter_{role}_column")) for role in roles)
    return tuple((role, heading) for role, heading in given if heading is not None)
