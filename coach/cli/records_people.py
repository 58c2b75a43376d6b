"""`coach records …` about people: names, rosters, exports without names, wiping."""

from __future__ import annotations

import os
import secrets
import uuid
from collections.abc import Sequence
from pathlib import Path

import click

from coach.app.records import records_here
from coach.cli.noting import note_for_a_wipe
from coach.cli.records_now import records_now
from coach.core.errors import InputError
from coach.edges.new_files import check_new, write_owned
from coach.edges.records.written_files import note_class_file
from coach.edges.register_file import RegisterFile
from coach.edges.skill_folders import skill_ids
from coach.procedure.wording import nearest
from coach.records.names import nearest_called
from coach.records.register import Learner, Register, check_new_name
from coach.records.register_lines import LearnerRenamed, LearnersJoined, RegisterRecord
from coach.report.shown_text import shown
from coach.trade.wording import counted


@click.command(epilog='Example: coach records add "Ana Silva" --note "evening class"')
@click.argument("name")
@click.option("--note", default="", help="What tells people of one name apart.")
def add(name: str, note: str) -> None:
    """Add a learner called NAME to the register."""
    register = RegisterFile.of(os.environ)
    learner = register.add_learner(name, note)
    click.echo(f"{register.read().called(learner)} is in the register now.")


@click.command(epilog='Example: coach records rename "Ana Silva" "Ana Souza"')
@click.argument("name")
@click.argument("new")
@click.option("--note", help="What tells people of one name apart; without it, as before.")
def rename(name: str, new: str, note: str | None) -> None:
    """Call the learner NAME by the name NEW from now on; all attempts stay theirs."""
    register = RegisterFile.of(os.environ)

    def renamed(known: Register) -> Sequence[RegisterRecord]:
        one = learner_called(known, name)
        kept = one.note if note is None else note
        return (LearnerRenamed(register.now(), one.id, *check_new_name(known, new, kept, one.id)),)

    register.add(renamed)
    click.echo(f"{name} is called {new} now.")


@click.command(epilog='Example: coach records join "Ana Silva (from station 2)" "Ana Silva (days)"')
@click.argument("name")
@click.argument("into")
def join(name: str, into: str) -> None:
    """Say that NAME and INTO are one person, who is called INTO from now on."""
    register = RegisterFile.of(os.environ)

    def joined(known: Register) -> Sequence[RegisterRecord]:
        one, other = learner_called(known, name), learner_called(known, into)
        if one.id == other.id:
            raise InputError(f"{one.called} is one person already.")
        return (LearnersJoined(register.now(), one.id, other.id),)

    register.add(joined)
    click.echo(f"{name} and {into} are one person now.")


@click.command(epilog="Example: coach records roster class.csv")
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path), required=False)
@click.option("--encoding", default="", help="Of a file that is not UTF-8: windows-1252, say.")
@click.option(
    "--to",
    "target",
    metavar="FILE.csv",
    type=click.Path(path_type=Path),
    help="Write the class into this file instead.",
)
def roster(file: Path | None, encoding: str, target: Path | None) -> None:
    """Take a class in from FILE.csv, or write it out by --to.

    The first row names the columns: name, and if wanted note, certificate, valid-until (such as
    2027-03-31) and skills. Who is in the register already stays; a mistake is told with its line,
    and then nothing is taken in.
    """
    from coach.records.roster import COLUMNS, roster_csv, roster_from, roster_text
    from coach.records.roster_taken import taken_from

    if (file is None) is (target is None):
        raise InputError("Name a file to take in, or one to write by --to: coach records roster.")
    register = RegisterFile.of(os.environ)
    if target is not None:
        # The mark lets spreadsheets see that it is UTF-8.
        contents = {target: roster_csv(register.read()).encode("utf-8-sig")}
        check_new(contents)
        note_for_a_wipe(lambda: note_class_file(register, target, contents[target]))
        write_owned(contents)
        click.echo(str(target))
        return
    assert file is not None
    try:
        data = file.read_bytes()
    except OSError as error:
        raise InputError(f"{file} cannot be read ({error.strerror}).") from error
    found = roster_from(str(file), roster_text(str(file), data, encoding))
    told: list[str] = []

    def taken(known: Register) -> Sequence[RegisterRecord]:
        # A certificate of another station's may be about a skill that is not here.
        held = {skill for one in known.certificates.values() for skill in one.skills}
        skills = sorted(held | {*skill_ids()})
        came = taken_from(str(file), found, known, register.now(), lambda: uuid.uuid4().hex, skills)
        told.append(
            f"{counted(came.added, 'new learner')}, {came.there} already there; "
            f"{counted(came.certificates, 'certificate')} noted."
        )
        return came.records

    register.add(taken)
    click.echo(told[0])
    if found.other_columns:
        click.echo(f"Columns that were not read: {', '.join(map(_meant, found.other_columns))}.")
        click.echo(f"Those that are read: {', '.join(COLUMNS)}.")


@click.command(epilog="Example: coach records pseudonyms attempts.csv")
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path))
def pseudonyms(file: Path) -> None:
    """Write every step of every attempt into FILE.csv, without names and without what was said.

    Learners and attempts are numbered by chance, anew each time; days count from a learner's first
    attempt. Of few learners some may still be known by what they did.
    """
    from coach.edges.records.overview_rows import every_step
    from coach.records.pseudonyms import COLUMNS, pseudonymous
    from coach.records.roster import table_csv

    here = records_now()
    with here.records.reading() as connection:
        steps = every_step(connection)
    rows = list(pseudonymous(steps, secrets.token_bytes(32)))
    write_owned({file: table_csv(COLUMNS, rows).encode("utf-8")})
    click.echo(f"{len(rows)} steps written to {file}.")


@click.command(epilog='Example: coach records wipe "Ana Silva"')
@click.argument("learner")
@click.option("--yes", is_flag=True, help="Do not ask.")
def wipe(learner: str, yes: bool) -> int:
    """Wipe LEARNER everywhere: journals, half lines set aside, register, database.

    Then everything is looked through, and what was found is told. Where others said the name, their
    journals say somebody from then on. Reports and calendars of theirs, and class pages and rosters
    that name them, go too where they still are as they were written (make the latter anew); those
    that were moved or changed are named. Exports, backups and printed paper are yours to destroy;
    other stations keep what they have.
    """
    from coach.edges.records.wipe import wipe as wipe_everywhere

    here = records_here(os.environ)
    one = learner_called(here.register.read(), learner)
    if not yes:
        click.confirm(f"Wipe {one.called} and every attempt of theirs for ever?", abort=True)
    done = wipe_everywhere(one.id, here.data, here.register, here.records, here.keeping)
    click.echo(f"{counted(done.journals, 'attempt')} and all else about this learner are wiped.")
    if done.renamed:
        click.echo(f'In {counted(done.renamed, "attempt")} of others the name is "somebody" now.')
    if done.taken_away:
        click.echo(f"{counted(done.taken_away, 'file')} that named them deleted.")
    for place in done.not_taken:
        click.echo(f"A file that named them is not deleted: {place}", err=True)
    files, rows = counted(done.files, "file"), counted(done.rows, "row")
    click.echo(f"Looked through: {files} in {here.data}, {rows} of the database.")
    if not done.left:
        click.echo("Neither id nor name was found in any of them.")
        return 0
    for place in done.left:
        click.echo(f"Still found in: {place}", err=True)
    return 1


def _meant(column: str) -> str:
    """A column that was not read, with the one that was perhaps meant."""
    from coach.records.roster import COLUMNS

    near = nearest(column, COLUMNS)
    return f"{shown(column)} (did you mean {near}?)" if near else shown(column)


def learner_called(register: Register, name: str) -> Learner:
    """The learner of that name; InputError, with who there is, for nobody's."""
    found = register.named(name)
    if found is None:
        near = nearest_called(name, (one.called for one in register.learners.values()))
        meant = f" Did you mean {near}?" if near else " `coach records` lists all."
        raise InputError(f'Nobody called "{name}" is in the register.{meant}')
    return found


PEOPLE: tuple[click.Command, ...] = (add, rename, join, roster, pseudonyms, wipe)
"""The commands, for the group they are in."""
