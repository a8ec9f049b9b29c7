"""One row of a check sheet: what was looked at, what was found, and against what."""

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "fail", "ask"]


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A row of a check sheet.

    Parameters
    ----------
    what : what is looked at, in plain words
    value : what was found, with its unit
    limit : what is allowed, with its unit
    verdict : ``pass``; ``fail``; or ``ask``, where a licensed or competent person, the maker or
        the network operator decides
    source : where the limit is from, with its kind
    """

    what: str
    value: str
    limit: str
    verdict: Verdict
    source: str


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Rows of a check sheet under one head."""

    title: str
    rows: tuple[CheckRow, ...]
