"""Change named values of a site: ``{"array.main.tilt_deg": 30}`` and the like."""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

import numpy as np

from pvkit.errors import Fault, InputError
from pvkit.site.faults import nearest
from pvkit.site.reader import build_site, given
from pvkit.site.survey import Site


def changed(site: Site, changes: Mapping[str, Any]) -> Site:
    """Give the site with some values changed, checked like a file.

    Parameters
    ----------
    site : the survey as it stands
    changes : dotted key to new value; an entry of a list is named by its own name or counted
        from 1, so ``array.main.count`` or ``array.1.count``; None takes a key or table out

    Raises
    ------
    InputError
        If a key leads nowhere or the changed site is not sound.
    """
    raw = deepcopy(given(site))
    for key, value in changes.items():
        _set(raw, key, value)
    return build_site(raw, "change")


def _set(raw: dict[str, Any], key: str, value: Any) -> None:
    here: Any = raw
    rest = key
    while isinstance(here, list) or "." in rest:
        here, rest = _step(here, rest, key)
    if not isinstance(here, dict):
        raise _lost(key, rest, [])
    if value is None:
        here.pop(rest, None)
    else:
        here[rest] = value.item() if isinstance(value, np.generic) else value


def _step(here: Any, rest: str, key: str) -> tuple[Any, str]:
    """Go one part of a dotted key deeper; gives the place and what is left of the key."""
    if isinstance(here, list):
        return _entry(here, rest, key)
    part, _, rest = rest.partition(".")
    if not isinstance(here, dict):
        raise _lost(key, part, [])
    if part not in here and part in Site.model_fields:
        here[part] = {}
    if part not in here:
        raise _lost(key, part, list(here) or list(Site.model_fields))
    if isinstance(here[part], tuple):
        here[part] = list(here[part])
    return here[part], rest


def _entry(entries: list[Any], rest: str, key: str) -> tuple[Any, str]:
    """Find a list's entry by its name, which may hold dots itself, or counted from 1."""
    names = [str(entry.get("name", "")) for entry in entries]
    by_number = [str(n + 1) for n in range(len(entries))]
    for known in (names, by_number):
        fits = [n for n, name in enumerate(known) if name and rest.startswith(f"{name}.")]
        if fits:
            best = max(fits, key=lambda n: len(known[n]))
            return entries[best], rest.removeprefix(f"{known[best]}.")
    raise _lost(key, rest.partition(".")[0], names)


def _lost(key: str, part: str, known: list[str]) -> InputError:
    return InputError(
        Fault(
            f"change, {key}",
            f"found nothing called '{part}'",
            ", ".join(known) or "no key here",
            nearest(part, known) if known else "check the dotted key",
        )
    )
