"""Fetch hours of weather from a public meteorological archive, politely, and keep them on disk.

The archive is NASA POWER: hourly light from satellites and air from a reanalysis, for the whole
world, free of charge and of registration. The reader of pvlib for it waits for ever and takes
whatever comes; here the answer has a time limit and a size limit, is asked for again when the
line fails, and is read the same way.
"""

import json
import os
import time
import urllib.error
import urllib.parse
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from pvkit.errors import Fault, InputError
from pvkit.tables import constant

ARCHIVE_URL = "https://power.larc.nasa.gov/api/temporal/hourly/point"
URL_SETTING, FOLDER_SETTING = "PVKIT_ARCHIVE_URL", "PVKIT_CACHE"
# Our names for what the archive calls by its own.
ASKED = {
    "ALLSKY_SFC_SW_DWN": "ghi",
    "ALLSKY_SFC_SW_DNI": "dni",
    "ALLSKY_SFC_SW_DIFF": "dhi",
    "T2M": "temp_air",
    "WS10M": "wind_speed",
}


@dataclass(frozen=True, slots=True)
class Wanted:
    """One year at one place; the place rounded, so that neighbours share what is kept."""

    latitude: float
    longitude: float
    year: int

    @property
    def name(self) -> str:
        """The file it is kept in."""
        return f"hours_{self.latitude:.2f}_{self.longitude:.2f}_{self.year}.json"

    @property
    def query(self) -> str:
        """What the archive is asked."""
        asked = {
            "latitude": self.latitude,
            "longitude": self.longitude,
            "start": f"{self.year}0101",
            "end": f"{self.year}1231",
            "community": "re",
            "parameters": ",".join(ASKED),
            "format": "json",
            "header": "true",
            "time-standard": "utc",
        }
        return urllib.parse.urlencode(asked)


def archive_text(wanted: Wanted) -> str:
    """Give a year of hours as the archive's own text, from the disk if it was fetched before.

    Raises
    ------
    InputError
        If the archive cannot be reached, answers too slowly, too much or with an error.
    """
    kept = cache_folder() / wanted.name
    if kept.is_file():
        return kept.read_text(encoding="utf-8")
    text = _fetched(wanted)
    _keep(kept, text)
    return text


def forget(wanted: Wanted) -> None:
    """Take a kept year away, because it turned out to be no good."""
    (cache_folder() / wanted.name).unlink(missing_ok=True)


def cache_folder() -> Path:
    """Give the folder in which fetched years are kept; ``PVKIT_CACHE`` names another."""
    given = os.environ.get(FOLDER_SETTING)
    return Path(given) if given else Path.home() / ".cache" / "pvkit"


def _fetched(wanted: Wanted) -> str:
    url = f"{os.environ.get(URL_SETTING, ARCHIVE_URL)}?{wanted.query}"
    tries = int(constant("online.tries"))
    for attempt in range(1, tries + 1):
        try:
            return _answer(url)
        except urllib.error.HTTPError as error:
            if error.code < 500 or attempt == tries:
                raise _refused(wanted, f"it answered {error.code}") from error
        except (OSError, TimeoutError) as error:
            if attempt == tries:
                raise _refused(wanted, "it cannot be reached or does not answer") from error
        time.sleep(constant("online.wait_s") * attempt)
    raise AssertionError


def _answer(url: str) -> str:
    """Read an answer, within its time and size."""
    most, limit_s = int(constant("online.largest_bytes")), constant("online.timeout_s")
    end = time.monotonic() + constant("online.longest_s")
    pieces, size = [], 0
    request = urllib.request.Request(url, headers={"Accept": "application/json"})
    with urllib.request.urlopen(request, timeout=limit_s) as answer:
        while piece := answer.read(65536):
            pieces.append(piece)
            size += len(piece)
            if size > most:
                raise InputError(_fault(f"its answer is larger than {most:,} bytes"))
            if time.monotonic() > end:
                raise TimeoutError
    try:
        return b"".join(pieces).decode("utf-8")
    except UnicodeDecodeError as error:
        raise InputError(_fault("its answer is no text")) from error


def _refused(wanted: Wanted, why: str) -> InputError:
    return InputError(_fault(f"{why} (asked for {wanted.year})"))


def _fault(found: str) -> Fault:
    return Fault(
        "weather.source, the online archive",
        found,
        "a year of hourly weather",
        "try again later, or use source = 'region' or a weather file, which need no network",
    )


def wrong_answer(wanted: Wanted, why: str) -> InputError:
    """Make the error for an answer that is not a year of weather; what was kept is forgotten."""
    forget(wanted)
    return _refused(wanted, f"its answer cannot be used: {why}")


def _keep(path: Path, text: str) -> None:
    """Keep an answer, whole or not at all; a disk that is full or closed only costs time later."""
    part = path.with_name(f".part-{uuid4().hex}")
    try:
        json.loads(text)
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    except (OSError, ValueError):
        return
    finally:
        _remove(part)


def _remove(part: Path) -> None:
    try:
        part.unlink(missing_ok=True)
    except OSError:
        return
