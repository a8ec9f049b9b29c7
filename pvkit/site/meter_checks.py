"""Checks of the keys that name a smart meter's files and say how to read them."""

import os
from collections.abc import Iterator
from typing import Any

from pvkit.errors import Fault
from pvkit.site.household import Home
from pvkit.site.survey import Site
from pvkit.site.wording import shown

FILES = ("meter_file", "meter_generation_file")


def meter_faults(site: Site) -> Iterator[Fault]:
    """Refuse a meter file that is not there, and keys about a file that is not named."""
    home = site.home
    for key in FILES:
        name = getattr(home, key)
        if name is not None and not os.path.isfile(name):
            yield missing_file(f"home.{key}", name)
    if home.meter_file is None:
        lost = [key for key in home.model_fields_set if key.startswith("meter_")]
        for key in sorted(set(lost) - {"meter_file"}):
            if getattr(home, key) != _left_out(key):
                yield Fault(
                    f"home.{key}",
                    f"found {shown(getattr(home, key))} and no meter file",
                    "this key only beside home.meter_file",
                    'add meter_file = "name.csv", or take this key out',
                )


def _left_out(key: str) -> Any:
    """Give the value of a key that a site file does not give."""
    return Home.model_fields[key].get_default(call_default_factory=True)


def missing_file(key: str, name: str) -> Fault:
    """Make the fault of a file that a site names and that is not there."""
    return Fault(
        key,
        f"found no file {shown(os.path.basename(name))}",
        "a file that is there",
        "check its name; it is looked for beside the site file",
    )
