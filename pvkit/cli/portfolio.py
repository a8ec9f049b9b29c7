"""``pvkit portfolio``: a list of many sites; ``pvkit homes``: invent one to try it with."""

from pathlib import Path
from typing import Annotated

import typer
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
from rich.progress import Progress as Bar

from pvkit.cli.say import say
from pvkit.errors import Fault, InputError
from pvkit.present.files import write_text
from pvkit.study.cluster import workers
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsFolder, write_parquet
from pvkit.study.portfolio import portfolio
from pvkit.study.portfolio_totals import ranking, totals
from pvkit.study.site_list import read_sites
from pvkit.study.sweep import Progress, seconds_in_words


def portfolio_command(
    source: Annotated[Path, typer.Argument(metavar="LIST", help="Folder of site files, or a CSV.")],
    out: Annotated[Path, typer.Option("-o", "--out", help="Results file (.parquet).")],
    scheduler: Annotated[
        str | None, typer.Option("--scheduler", help="Address of a running Dask scheduler.")
    ] = None,
    count: Annotated[
        int | None, typer.Option("--workers", min=1, help="Workers to start on this machine.")
    ] = None,
    page: Annotated[
        Path | None, typer.Option("--page", help="Also write a page of results (.html).")
    ] = None,
) -> None:
    """Estimate every site of a list and rank them by what a pound gives back.

    Stopped and started again, it goes on where it was.

    Example: pvkit portfolio homes.csv -o results.parquet --page results.html
    """
    from pvkit.present.portfolio_page import portfolio_page

    if out.suffix != ".parquet":
        fault = Fault(
            str(out), f"found the ending '{out.suffix}'", ".parquet", "name it results.parquet"
        )
        raise InputError(fault)
    sites = read_sites(source)
    parts = PartsFolder(out.with_name(f"{out.stem}.parts"))
    with workers(scheduler, count) as client, _bar() as bar:
        task = bar.add_task("sites", total=None, left="")

        def watch(now: Progress) -> None:
            left = "" if now.seconds_left is None else f"{seconds_in_words(now.seconds_left)} left"
            bar.update(task, completed=now.done, total=now.total, left=left)

        table = portfolio(sites, parts, client, watch)
    write_parquet(out, table)
    parts.clear()
    if page is not None:
        write_text(page, portfolio_page(table))
    whole, best = totals(table), ranking(table).head(3)
    say(
        f"{whole.sites - whole.faulty:,} sites: {whole.kwp:,.0f} kWp, {whole.ac_kwh:,.0f} kWh a "
        f"year, £{whole.capital_gbp:,.0f} to spend, £{whole.first_year_saving_gbp:,.0f} saved in "
        f"the first year."
    )
    for row in best.itertuples():
        say(f"  best: {row.name}, £{row.npv_gbp_per_gbp:.2f} for each £1")
    for row in table[table["fault"] != ""].itertuples():
        say(f"Not estimated: {row.fault}")
    say(f"Results written: {out.resolve()}")


def _bar() -> Bar:
    return Bar(
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(),
        TextColumn("parts {task.fields[left]}"), transient=True,
    )  # fmt: skip


def homes_command(
    count: Annotated[int, typer.Argument(min=1, max=1_000_000, help="How many homes.")],
    out: Annotated[Path, typer.Option("-o", "--out", help="The list's file name (.csv).")],
    seed: Annotated[int, typer.Option("--seed", help="Another seed, other homes.")] = 1,
) -> None:
    """Invent a list of homes, to try `pvkit portfolio` with.

    Example: pvkit homes 200 -o homes.csv
    """
    write_text(out, invented_sites(count, seed).to_csv(index=False))
    say(f"Invented homes written: {out.resolve()}")
