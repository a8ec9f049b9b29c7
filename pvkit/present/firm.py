"""The firm that hands over the report: its name, logo, telephone and e-mail, from a small file.

::

    [firm]
    name = "Our firm"
    logo = "logo.png"          # beside this file: .png, .jpg or .svg
    phone = "01000 000000"
    email = "office@example.org"
"""

from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from pvkit.errors import InputError
from pvkit.present.logo import logo_uri
from pvkit.site.faults import faults_of
from pvkit.site.fields import Section, text
from pvkit.site.toml_file import read_toml

KIND = "firm's settings file"


class FirmTable(Section):
    """The ``[firm]`` table."""

    name: str = text(80, "give the firm's name as customers know it")
    logo: str | None = text(
        1000, "give the name of a .png, .jpg or .svg file beside this one", optional=True
    )
    phone: str | None = text(40, "give the telephone number", optional=True)
    email: str | None = text(120, "give the e-mail address", optional=True)


class FirmFile(Section):
    """The whole file."""

    firm: FirmTable


@dataclass(frozen=True, slots=True)
class Firm:
    """Who hands over the report.

    Parameters
    ----------
    name, phone, email : as the customer reads them; "" for none
    logo : the picture itself as a ``data:`` address; "" for none
    """

    name: str
    phone: str = ""
    email: str = ""
    logo: str = ""


def load_firm(path: str | Path) -> Firm:
    """Read the firm's settings.

    Parameters
    ----------
    path : a TOML file with a ``[firm]`` table

    Raises
    ------
    InputError
        With every fault of the file, or that of the logo.
    """
    file = Path(path)
    raw = read_toml(file, KIND)
    try:
        found = FirmFile.model_validate(raw).firm
    except ValidationError as error:
        raise InputError(*faults_of(error, raw, FirmFile, file.name)) from error
    logo = "" if found.logo is None else logo_uri(file.parent / found.logo)
    return Firm(found.name, found.phone or "", found.email or "", logo)
