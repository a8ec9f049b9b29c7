"""One chart apart from how it is drawn: a question, its answer, labels and values."""

from collections.abc import Iterable
from dataclasses import dataclass

from pvkit.present.colours import Ink


@dataclass(frozen=True, slots=True)
class Series:
    """One set of bars or one line.

    Parameters
    ----------
    name : what it is, without unit
    values : one for each label of the picture
    ink : colour and pattern
    line : drawn as a line rather than as bars
    low, high : ends of each bar's likely range, if it has one
    """

    name: str
    values: tuple[float, ...]
    ink: Ink
    line: bool = False
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """One chart.

    Parameters
    ----------
    question : the plain question it answers
    answer : the answer in one sentence, also its alternative text
    labels : along the horizontal axis (or down the side, for steps)
    series : what is drawn; bars are stacked
    x_title, y_title : axis titles with units
    steps : drawn as falling steps down the page: the first and last series values are levels
    """

    question: str
    answer: str
    labels: tuple[str, ...]
    series: tuple[Series, ...]
    x_title: str
    y_title: str
    steps: bool = False


@dataclass(frozen=True, slots=True)
class Spans:
    """One chart of spans down the page, such as what each doubt alone does to an answer.

    Parameters
    ----------
    question : the plain question it answers
    answer : the answer in one sentence, also its alternative text
    labels : down the side
    low, high : ends of each span
    said : each span's ends in words
    base : where all spans start
    base_words : what stands there
    x_title : axis title with its unit
    """

    question: str
    answer: str
    labels: tuple[str, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    said: tuple[tuple[str, str], ...]
    base: float
    base_words: str
    x_title: str


@dataclass(frozen=True, slots=True)
class Small:
    """One of several small bar charts that stand side by side.

    Parameters
    ----------
    title : what it shows, with its unit
    values : height of each bar; None for what there is not
    said : each value in words
    """

    title: str
    values: tuple[float | None, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Smalls:
    """Small bar charts side by side, each with its own scale and the same bars.

    Parameters
    ----------
    question : the plain question they answer
    answer : the answer in one sentence, also the alternative text
    labels : of the bars
    inks : of the bars
    charts : what they show
    """

    question: str
    answer: str
    labels: tuple[str, ...]
    inks: tuple[Ink, ...]
    charts: tuple[Small, ...]


def rounded(values: Iterable[float]) -> tuple[float, ...]:
    """Keep a tenth of each value: more is never seen on a chart."""
    return tuple(round(float(value), 1) for value in values)
