"""Find the invented sample sites that come with the kit."""

import tomllib
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Sample:
    """One sample site: the name to type, its file, and what it shows."""

    name: str
    path: Path
    title: str


def samples_folder() -> Path:
    """Give the folder of the sample sites, in an installed package or in a checkout."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "sample_sites"
    return inside if inside.is_dir() else package.parent / "sample_sites"


def sample_sites() -> tuple[Sample, ...]:
    """List the sample sites by name.

    Examples
    --------
    >>> [sample.name for sample in sample_sites()]
    ['bungalow_extension', 'chimney_and_birch', 'east_west_pair', 'south_family_home']
    """
    files = sorted(samples_folder().glob("*.toml"))
    return tuple(Sample(file.stem, file, _title(file)) for file in files)


def sample_path(name: str) -> Path | None:
    """Give the file of a sample if ``name`` is one, else None."""
    return {file.stem: file for file in samples_folder().glob("*.toml")}.get(name)


def _title(file: Path) -> str:
    """Give a sample's title; one that somebody spoilt keeps its file's name and its own fault."""
    try:
        return str(tomllib.loads(file.read_text(encoding="utf-8"))["site"]["name"])
    except (OSError, ValueError, LookupError, TypeError):
        return file.stem
