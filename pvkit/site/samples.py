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
    >>> [sample.name for sample in sample_sites()][:3]
    ['bungalow_extension', 'chimney_and_birch', 'east_west_pair']
    """
    files = sorted(samples_folder().glob("*.toml"))
    return tuple(Sample(file.stem, file, _title(file)) for file in files)


def sample_path(name: str) -> Path | None:
    """Give the file of a sample if ``name`` is one, else None."""
    return {file.stem: file for file in samples_folder().glob("*.toml")}.get(name)


def meter_files() -> dict[str, Path]:
    """Give the invented meter files by name; their folder says how they were made."""
    return _files("meter_files")


def price_files() -> dict[str, Path]:
    """Give the invented files of half-hourly prices by name."""
    return _files("price_files")


def record_files() -> dict[str, Path]:
    """Give the invented commissioning records by name: one complete, one with faults."""
    return _files("records", ".toml")


def reading_files() -> dict[str, Path]:
    """Give the invented readings of yearly visits by name: sound, low, and one month alone."""
    return _files("readings", ".toml")


def _files(folder: str, ending: str = ".csv") -> dict[str, Path]:
    return {file.stem: file for file in sorted((samples_folder() / folder).glob(f"*{ending}"))}


def _title(file: Path) -> str:
    """Give a sample's title; one that somebody spoilt keeps its file's name and its own fault."""
    try:
        return str(tomllib.loads(file.read_text(encoding="utf-8"))["site"]["name"])
    except (OSError, ValueError, LookupError, TypeError):
        return file.stem
