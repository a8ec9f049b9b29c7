"""A check sheet for the terminal and for print: verdict in sign and word, sources by number."""

from collections.abc import Sequence
from typing import Protocol

import jinja2
from markupsafe import Markup
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from pvkit.present.templates_folder import environment, template_text
from pvkit.site.survey import Site
from pvkit.verdict import CheckGroup, CheckRow, Verdict

SIGNS: dict[Verdict, str] = {"pass": "✓ pass", "fail": "✗ FAIL", "ask": "? ask"}
_STYLES: dict[Verdict, str] = {"pass": "blue", "fail": "bold red", "ask": "yellow"}
TEXT_COLUMNS = 100


class Checked(Protocol):
    """What a check sheet shows: rows under heads, and the cautions beside them."""

    @property
    def site(self) -> Site:
        """The survey."""

    @property
    def groups(self) -> tuple[CheckGroup, ...]:
        """The rows under their heads."""

    @property
    def failing(self) -> tuple[CheckRow, ...]:
        """The rows whose limit is not kept."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must stand beside the rows."""

    def count(self, verdict: Verdict) -> int:
        """Give how many rows have a verdict."""


def sources(groups: Sequence[CheckGroup]) -> tuple[str, ...]:
    """List each source once, in the order of the rows; a row names its own by number from 1."""
    return tuple(dict.fromkeys(row.source for group in groups for row in group.rows))


def summary_line(check: Checked) -> str:
    """Say how many rows have each verdict.

    Examples
    --------
    >>> from pvkit import load_site
    >>> from pvkit.study.site_check import check_site
    >>> summary_line(check_site(load_site("bungalow_extension"))).partition(",")[2][:8]
    ' 0 fail,'
    """
    fails, asks = check.count("fail"), check.count("ask")
    last = "nothing fails" if fails == 0 else "put right what fails before going on"
    return f"{check.count('pass')} pass, {fails} fail, {asks} to ask about: {last}."


def check_sheet(check: Checked) -> RenderableType:
    """Lay the sheet out for a terminal of 100 columns or more.

    Parameters
    ----------
    check : from :func:`pvkit.study.site_check.check_site`
    """
    known = sources(check.groups)
    parts: list[RenderableType] = [Text(check.site.site.name, style="bold"), ""]
    parts += [Text(summary_line(check)), *(_failing(row) for row in check.failing), ""]
    for group in check.groups:
        parts += [_head(group.title), _table(group, known, header=group is check.groups[0]), ""]
    parts += [_head("Where the limits are from")]
    parts += [Text(f"[{n}] {source}") for n, source in enumerate(known, 1)]
    parts += ["", *(Padding(Text(f"• {caution}"), 0) for caution in check.cautions)]
    return Group(*parts)


def check_text(check: Checked) -> str:
    """Give the sheet as plain text, 100 columns wide, no colours."""
    console = Console(width=TEXT_COLUMNS, color_system=None, highlight=False, markup=False)
    with console.capture() as capture:
        console.print(check_sheet(check))
    return "\n".join(line.rstrip() for line in capture.get().splitlines())


def check_section(check: Checked) -> Markup:
    """Give the sheet as a piece of an HTML page, for print."""
    page: jinja2.Template = environment().get_template("check_section.html.j2")
    return Markup(
        page.render(
            groups=check.groups,
            numbers={source: n for n, source in enumerate(sources(check.groups), 1)},
            signs=SIGNS,
            summary=summary_line(check),
            failing=check.failing,
            cautions=check.cautions,
        )
    )


def check_html(check: Checked) -> str:
    """Give the sheet as a whole HTML page: no script, nothing fetched, prints on A4."""
    page: jinja2.Template = environment().get_template("check_sheet.html.j2")
    style = Markup(template_text("report.css") + template_text("check_sheet.css"))
    return page.render(style=style, name=check.site.site.name, section=check_section(check))


def _failing(row: CheckRow) -> Text:
    return Text(f"{SIGNS['fail']}  {row.what}: {row.value}; allowed: {row.limit}", _STYLES["fail"])


def _head(title: str) -> Rule:
    return Rule(title, align="left", characters="─")


def _table(group: CheckGroup, known: tuple[str, ...], *, header: bool) -> Table:
    table = Table(box=None, expand=True, pad_edge=False, padding=(0, 1, 0, 0), show_header=header)
    table.add_column("verdict", no_wrap=True, width=7)
    table.add_column("what", ratio=26)
    table.add_column("found", ratio=28)
    table.add_column("limit", ratio=30)
    table.add_column("from", no_wrap=True, justify="right", width=4)
    for row in group.rows:
        number = f"[{known.index(row.source) + 1}]"
        verdict = Text(SIGNS[row.verdict], style=_STYLES[row.verdict])
        table.add_row(verdict, *map(Text, (row.what, row.value, row.limit, number)))
    return table
