"""A good site file to break, and what every refusal must look like."""

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pvkit.errors import InputError
from pvkit.site.reader import load_site

GOOD = Path(__file__).with_name("good_site.toml")

# Words of programmers, which no installer should have to read.
JARGON = re.compile(
    r"[Ii]nput should|[Vv]alidation|pydantic|Traceback|instance|dictionary|\b(tuple|dict|float|int"
    r"|bool|str|None|True|False|NoneType|datetime|class|object|[Ee]xception|[Ee]rrno)\b"
)


@pytest.fixture
def good_text() -> str:
    return GOOD.read_text(encoding="utf-8")


@pytest.fixture
def good_raw(good_text: str) -> dict[str, Any]:
    return tomllib.loads(good_text)


@pytest.fixture
def refusal(tmp_path: Path) -> Callable[[str], InputError]:
    """Load a text as a site file that must be refused, in whole and plain words."""

    def refuse(text: str) -> InputError:
        file = tmp_path / "home.toml"
        file.write_text(text, encoding="utf-8")
        with pytest.raises(InputError) as caught:
            load_site(file)
        for fault in caught.value.faults:
            assert all((fault.where, fault.found, fault.allowed, fault.fix)), str(fault)
            assert fault.where.startswith("home.toml"), str(fault)
            assert not JARGON.search(str(fault)), str(fault)
            assert str(fault) in str(caught.value)
        return caught.value

    return refuse


@pytest.fixture
def listed() -> Callable[[Any], Any]:
    """Turn a survey's frozen lists back into those of a file, to compare the two."""

    def listed(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: listed(inner) for key, inner in value.items()}
        return [listed(inner) for inner in value] if isinstance(value, tuple) else value

    return listed
