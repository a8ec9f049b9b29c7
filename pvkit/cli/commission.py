"""``pvkit commission``: the tests of the day it is switched on, and the pack to hand over."""

import datetime
from pathlib import Path
from typing import Annotated

import typer

from pvkit.cli.say import A_ROW_FAILS, JsonOption, SiteArgument, say
from pvkit.electrical.readings import load_record
from pvkit.electrical.record_template import record_template
from pvkit.errors import Fault, InputError
from pvkit.present.record_files import save_record, write_new
from pvkit.present.record_sheet import record_text
from pvkit.site.reader import load_site
from pvkit.site.survey import Site
from pvkit.study.record import Record, commission, record_json


def commission_command(
    site: SiteArgument,
    record: Annotated[
        str | None, typer.Option(help="Commissioning record (.toml), or a sample record's name.")
    ] = None,
    as_json: JsonOption = False,
    save: Annotated[
        Path | None, typer.Option(help="Keep the record in this folder, dated, as JSON and page.")
    ] = None,
    handover: Annotated[
        Path | None, typer.Option(help="Write the handover pack: a page (.html) or .pdf.")
    ] = None,
    template: Annotated[
        Path | None, typer.Option(help="Write an empty record to fill in (.toml).")
    ] = None,
) -> None:
    """Judge a commissioning record; end with 1, and say why, while it is not complete.

    Example: pvkit commission bungalow_extension --record bungalow_extension
    """
    surveyed = load_site(site)
    if template is not None:
        _write_template(surveyed, template)
    if record is None:
        if template is None:
            raise InputError(_nothing_to_do(site))
        return
    judged = commission(surveyed, load_record(record, surveyed))
    say(record_json(judged).rstrip() if as_json else record_text(judged))
    told = [*_kept(judged, save), *_handed_over(judged, handover)]
    if told and not as_json:
        say("\n".join(["", *told]))
    if not judged.complete:
        raise typer.Exit(A_ROW_FAILS)


def _kept(judged: Record, folder: Path | None) -> list[str]:
    if folder is None:
        return []
    files = save_record(judged, folder)
    return [f"Record kept: {path.resolve()}" for path in (files.json, files.html)]


def _handed_over(judged: Record, file: Path | None) -> list[str]:
    if file is None:
        return []
    from pvkit.present.handover import write_handover

    write_handover(judged, file)
    words = "Handover pack" if judged.complete else "Draft of the handover pack, not complete"
    return [f"{words}: {file.resolve()}"]


def _write_template(site: Site, file: Path) -> None:
    today = datetime.date.today()  # noqa: DTZ011 - the day on the user's own wall
    if not write_new(file, record_template(site, today)):
        raise InputError(Fault(str(file), "found a file there already", "a name that is free",
                               "choose another name: a filled record is never written"
                               " over"))  # fmt: skip
    say(f"Record to fill in: {file.resolve()}")


def _nothing_to_do(site: str) -> Fault:
    how = f"write one to fill in with: pvkit commission {site} --template record.toml"
    return Fault("--record", "found no record", "a record file (.toml)", how)
