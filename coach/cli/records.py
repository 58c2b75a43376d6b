"""`coach records`: where the records are, of whom, and carrying them to and fro."""

from __future__ import annotations

import json
import os
from datetime import datetime
from pathlib import Path

import click

from coach.app.records import records_here
from coach.cli.records_now import progress, records_now
from coach.cli.records_people import PEOPLE
from coach.edges.records.kept import Kept
from coach.edges.records.overview_rows import (
    Practice,
    practice_of_all,
    refused_journals,
    unended,
)
from coach.trade.wording import counted

WIDEST_NAME = 40
"""Letters of a name that the columns beside it wait for."""


@click.group(
    invoke_without_command=True,
    epilog="Example: coach records export station-2.coach.zip",
    short_help="Show, carry, save or wipe the records of all attempts.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_context
def command(ctx: click.Context, as_json: bool) -> None:
    """Show where the records are, how many, and of whom.

    Journals and register are the truth: the database is made from them, and may be lost. Which
    database it is, a file or a PostgreSQL server for a class, tells the setting records.
    """
    if ctx.invoked_subcommand is not None:
        return
    here = records_now()
    with here.records.reading() as connection:
        people = practice_of_all(connection)
        refused = refused_journals(connection)
        broken_off = unended(connection)
    if as_json:
        shown = {
            "database": here.records.where,
            "journals": str(here.sessions),
            "register": str(here.register.path),
            "unended": broken_off,
            "learners": [_fields(one) for one in people],
            "refused": dict(refused),
        }
        click.echo(json.dumps(shown, ensure_ascii=False))
        return
    click.echo(f"Database: {here.records.where}")
    click.echo(f"Journals: {here.sessions}")
    click.echo(f"Register: {here.register.path}")
    attempts, seconds = sum(one.attempts for one in people), sum(one.seconds for one in people)
    learners = sum(bool(one.called) for one in people)
    told = f"{counted(learners, 'learner')}, {counted(attempts, 'attempt')}"
    click.echo(f"{told}, {seconds / 3600:.1f} hours.")
    width = min(max((len(one.called) for one in people), default=0), WIDEST_NAME)
    for one in people:
        told = f", last on {one.last[:10]}" if one.last else ""
        hours = f"{one.seconds / 3600:.1f} h"
        click.echo(
            f"  {one.called or 'nobody':{width}}  {counted(one.attempts, 'attempt')}, {hours}{told}"
        )
    if broken_off:
        click.echo(f"{counted(broken_off, 'more attempt')} broke off, or may still be going on.")
    for name, why in refused:
        click.echo(f"Not taken in: {name}: {why}")


@command.command("rebuild", epilog="Example: coach records rebuild")
def rebuild() -> None:
    """Make the database anew from the journals and the register.

    The rows come out the same as before. A file that is damaged is moved aside first.
    """
    here = records_here(os.environ)
    aside = here.records.put_aside()
    if aside is not None:
        click.echo(f"The damaged database is now {aside}.")
    with progress("journals") as told:
        _tell(here.keeping.rebuild(told))


@command.command("import", epilog="Example: coach records import station-2.coach.zip")
@click.argument("file", metavar="FILE|FOLDER", type=click.Path(path_type=Path))
def import_(file: Path) -> None:
    """Take in the records of another station: a FILE of `coach records export`, or a FOLDER.

    What is here already stays as it is, and comes in once, however often it is taken in.
    """
    from coach.edges.records.bundle import read_bundle
    from coach.edges.records.importing import import_bundle

    here = records_here(os.environ)
    came = import_bundle(read_bundle(file), here.data, here.register)
    longer = f", {came.longer} went on" if came.longer else ""
    marks = f", {counted(came.marks, 'mark')} set by hand" if came.marks else ""
    click.echo(
        f"{counted(came.new, 'attempt')} came in{longer}, {came.there} already here; "
        f"{counted(came.learners, 'new learner')}{marks}."
    )
    for remark in came.remarks:
        click.echo(remark)
    for name, why in came.left_out.items():
        click.echo(f"Left out: {name}: {why}", err=True)
    with progress("journals") as told:
        _tell(here.keeping.update(told))


@command.command("export", epilog="Example: coach records export station-2.coach.zip")
@click.argument("file", type=click.Path(path_type=Path))
def export(file: Path) -> None:
    """Write all journals, skills and the register into FILE, for `coach records import` elsewhere.

    It holds names: keep it as you keep the records. Nothing is written over.
    """
    _write(file, "export", torn=False)


@command.command("backup", epilog="Example: coach records backup class.coach.zip")
@click.argument("file", type=click.Path(path_type=Path))
def backup(file: Path) -> None:
    """Write everything that is recorded into FILE, for `coach records restore`."""
    _write(file, "backup", torn=True)


@command.command("restore", epilog="Example: coach records restore class.coach.zip")
@click.argument("file", type=click.Path(path_type=Path))
def restore_(file: Path) -> None:
    """Put back what `coach records backup` wrote; refused where other records are."""
    from coach.edges.records.bundle import read_bundle
    from coach.edges.records.importing import restore

    here = records_here(os.environ)
    count = restore(read_bundle(file), here.data)
    click.echo(f"{counted(count, 'file')} put back into {here.data}.")
    with progress("journals") as told:
        _tell(here.keeping.rebuild(told))


for _one in PEOPLE:
    command.add_command(_one)


def _write(file: Path, kind: str, torn: bool) -> None:
    from coach.edges.records.bundle import of_data_folder, write_bundle

    here = records_here(os.environ)
    made = datetime.now().astimezone().isoformat(timespec="seconds")
    count = write_bundle(file, of_data_folder(here.data, torn), made, kind)
    click.echo(
        f"{counted(count, 'journal')} written to {file}. It holds names: only you can read it."
    )


def _tell(kept: Kept) -> None:
    gone = f", {kept.gone} are gone" if kept.gone else ""
    click.echo(f"{counted(kept.read, 'journal')} read{gone}.")
    for name, why in kept.refused.items():
        click.echo(f"Not taken in: {name}: {why}", err=True)


def _fields(one: Practice) -> dict[str, str | int | float]:
    return {
        "learner": one.called,
        "attempts": one.attempts,
        "seconds": round(one.seconds, 3),
        "last": one.last,
    }
