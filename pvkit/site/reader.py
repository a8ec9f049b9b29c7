"""Read a site file: TOML in, a checked and frozen :class:`Site` out, or every fault at once."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pvkit.errors import InputError
from pvkit.site.checks import cross_faults
from pvkit.site.faults import faults_of
from pvkit.site.partial import partial
from pvkit.site.samples import sample_path
from pvkit.site.survey import Site
from pvkit.site.toml_file import read_toml

# Keys that name a file, which is looked for beside the site file.
FILES = (
    ("weather", "file"),
    ("carbon", "grid_file"),
    ("doubt", "sun_file"),
    ("home", "meter_file"),
    ("home", "meter_generation_file"),
    ("tariff", "import_file"),
    ("tariff", "export_file"),
)


def load_site(path: str | Path) -> Site:
    """Read a site file, or a sample site by its name.

    Parameters
    ----------
    path : a TOML file, or the name of a sample (``pvkit sites`` lists them)

    Returns
    -------
    the frozen survey; files it names (weather, carbon, meter, prices) are looked for
    beside it

    Raises
    ------
    InputError
        With every fault of the file: where, what was found, what is allowed, what to do.

    Examples
    --------
    >>> load_site("bungalow_extension").site.terrain
    'town'
    """
    file = sample_path(str(path)) or Path(path)
    return build_site(files_beside(read_toml(file), file.parent), file.name)


def files_beside(raw: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """Look for the files that a site file names in its own folder.

    A name may lead out of the folder, or be a whole path: what it names is only ever read, as
    the table that it should be, and never written.

    Parameters
    ----------
    raw : what ``tomllib`` reads from a site file
    folder : the site file's
    """
    found = dict(raw)
    for table, key in FILES:
        named = found.get(table)
        if isinstance(named, dict) and isinstance(named.get(key), str):
            found[table] = named | {key: str(folder / named[key])}
    return found


def build_site(raw: Mapping[str, Any], where: str = "site") -> Site:
    """Check a mapping shaped like a site file and freeze it.

    Parameters
    ----------
    raw : what ``tomllib`` reads from a site file
    where : put before each key in messages

    Raises
    ------
    InputError
        With every fault found.
    """
    try:
        site, faults = Site.model_validate(raw), []
    except ValidationError as error:
        site, faults = partial(Site, raw), faults_of(error, raw, Site, where)
    faults += [replace(f, where=f"{where}, {f.where}") for f in cross_faults(site)]
    if faults:
        raise InputError(*faults)
    return site


def given(site: Site) -> dict[str, Any]:
    """Give back only what the site file said, without any default."""
    return site.model_dump(exclude_unset=True)
