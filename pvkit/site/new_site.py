"""From answers to a site file: check each as it is given, write all with a comment beside it."""

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pvkit.errors import Fault, InputError
from pvkit.site.faults import NO_QUOTES
from pvkit.site.questions import QUOTATION, SECTIONS, Question
from pvkit.site.reader import build_site
from pvkit.tables import parts

_YES = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_LISTED = ("roof", "array")
_FITS = "array.count"
_ARRAY_NAME = "main"


def read_answer(question: Question, text: str) -> Any:
    """Turn what was typed into a value: yes or no, a number, else text; None if left empty.

    The price of the quotation becomes its one item.

    Examples
    --------
    >>> from pvkit.site.questions import ARRAY
    >>> read_answer(ARRAY[1], "6"), read_answer(ARRAY[4], "yes"), read_answer(ARRAY[0], " a ")
    (6, True, 'a')
    """
    word = text.strip()
    if not word:
        return None
    if question.hint == "yes or no":
        return _YES.get(word.lower(), word)
    for kind in (int, float):
        try:
            number = kind(word)
        except ValueError:
            continue
        return [{"name": "quotation", "gbp": number}] if question.key == QUOTATION else number
    return word


def faults_of_answer(
    question: Question, value: Any, answers: Mapping[str, Any]
) -> tuple[Fault, ...]:
    """Find what is wrong with one answer, as far as the answers before it tell.

    Parameters
    ----------
    question : what was asked
    value : from :func:`read_answer`
    answers : dotted key to value of the questions before
    """
    if value is None:
        if question.may_skip:
            return ()
        return (Fault(question.key, "found nothing", question.hint, "give an answer"),)
    try:
        build_site(as_site({**_not_yet_asked(), **answers, question.key: value}), "")
    except InputError as error:
        about = (fault for fault in error.faults if _is_about(fault, question, answers))
        # Nobody types quotes here.
        return tuple(replace(one, fix=one.fix.removeprefix(NO_QUOTES)) for one in about)
    return ()


def _not_yet_asked() -> dict[str, Any]:
    """Stand in for the places that are asked about last, so that the checks across them run."""
    inverter = next(iter(parts("inverters")))
    return {"site.name": "x", "site.latitude": 52.0, "site.longitude": -1.0,
            "inverter.part": inverter}  # fmt: skip


def _is_about(fault: Fault, question: Question, answers: Mapping[str, Any]) -> bool:
    """Tell a fault of this answer from what has not been asked yet."""
    table, _, name = question.key.partition(".")
    place = fault.where.removeprefix(", ")
    if "is missing" in fault.found:
        return False
    if question.key == _FITS and place.startswith(_LISTED):
        return True  # whether so many fit is the roof's matter as much as the array's
    if question.key == QUOTATION or not place.startswith(table):
        return place.startswith(question.key)
    ends = place.rpartition(".")[2]
    waits = table == "array" and not {"array.count", "array.module"} <= {*answers, question.key}
    return ends == name and not (waits and name != "module")


def as_site(answers: Mapping[str, Any]) -> dict[str, Any]:
    """Shape answers like a site file.

    Examples
    --------
    >>> as_site({"site.name": "x", "roof.name": "r"})["roof"]
    [{'name': 'r'}]
    """
    raw: dict[str, Any] = {}
    for key, value in answers.items():
        table, _, name = key.partition(".")
        raw.setdefault(table, {})[name] = value
    if "array" in raw:
        named = {"name": _ARRAY_NAME, "roof": str(raw.get("roof", {}).get("name", ""))}
        raw["array"] = {**named, **raw["array"]}
    for table in _LISTED:
        if table in raw:
            raw[table] = [raw[table]]
    return raw


def site_text(answers: Mapping[str, Any]) -> str:
    """Write a site file with a comment beside each answer.

    Parameters
    ----------
    answers : dotted key to value, sound as a whole

    Returns
    -------
    TOML; what was left empty stands as a comment, so that it is easy to add later

    Raises
    ------
    InputError
        If the answers do not make a sound site.
    """
    build_site(as_site(answers), "site file")
    lines = [
        "# Made by `pvkit new`. What is left out takes its default from pvkit's tables.",
        "",
    ]
    table = ""
    for _, questions in SECTIONS:
        for question in questions:
            head = question.key.partition(".")[0]
            if head != table and _asked(head, answers):
                lines += [*([""] if table else []), *_head(head, answers)]
                table = head
            if head == table:
                lines.append(_line(question, answers.get(question.key)))
    return "\n".join(lines) + "\n"


def _asked(table: str, answers: Mapping[str, Any]) -> bool:
    return any(key.startswith(f"{table}.") for key in answers)


def _head(table: str, answers: Mapping[str, Any]) -> list[str]:
    if table not in _LISTED:
        return [f"[{table}]"]
    names = [f"name = {_toml(_ARRAY_NAME)}", f"roof = {_toml(answers['roof.name'])}"]
    return [f"[[{table}]]", *(names if table == "array" else [])]


def _line(question: Question, value: Any) -> str:
    name = question.key.partition(".")[2]
    note = f"# {question.words.rstrip('?')}: {question.hint}"
    if value is None:
        return f"# {name} =   {note}"
    return f"{f'{name} = {_toml(value)}':<34} {note}"


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        tables = (", ".join(f"{k} = {_toml(v)}" for k, v in each.items()) for each in value)
        return "[" + ", ".join(f"{{ {inside} }}" for inside in tables) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value!r}"
