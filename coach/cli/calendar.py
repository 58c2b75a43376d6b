"""`coach calendar`: the dates of rehearsals and certificates for other programs."""

from __future__ import annotations

import os
import re
from datetime import time
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click

from coach.app.calendar_entries import entries_of
from coach.app.rehearsing import page_of_learner
from coach.cli.noting import note_for_a_wipe
from coach.cli.rehearsal_options import aim_option, asked, learner_option
from coach.core.errors import InputError
from coach.edges.calendar_file import TimeOfDay, calendar_bytes
from coach.edges.new_files import check_new, write_owned
from coach.edges.records.written_files import note_reports
from coach.edges.register_file import RegisterFile


@click.command(
    epilog='Example: coach calendar --learner "Ana Lima" --to ana.ics',
    short_help="Write the dates of rehearsals as a calendar file.",
)
@learner_option
@click.option(
    "--to",
    "target",
    metavar="FILE",
    type=click.Path(path_type=Path),
    default=Path("rehearsals.ics"),
    show_default=True,
    help="The file to write, which ends in .ics.",
)
@click.option("--at", "at", metavar="HH:MM", help="Time of day of rehearsals; else all day.")
@click.option("--zone", metavar="ZONE", help="Time zone of --at, such as America/Chicago.")
@aim_option
def command(
    learner: str | None,
    target: Path,
    at: str | None,
    zone: str | None,
    target_chance: str | None,
) -> None:
    """Write a calendar file (iCalendar) with the next rehearsal of each skill.

    The dates of certificates are in it too, and by when they need a skill. A calendar that reads
    the file anew moves what has moved. Nothing is written over, and only you can read the file, for
    it names the learner.
    """
    if target.suffix.lower() != ".ics":
        raise InputError(f"--to {target} does not end in .ics: name such a file.")
    when = _time_of_day(at, zone)
    told = asked(learner, target_chance)
    page = page_of_learner(told.register, told.practice, told.learner, told.now, told.aim)
    entries = entries_of(page, told.learner.id, told.minutes_of())
    content = calendar_bytes(
        f"Rehearsals of {told.learner.called}", told.learner.id, entries, told.now, when
    )
    check_new({target: content})
    if told.learner.id in told.register.learners:
        register = RegisterFile.of(os.environ)
        note_for_a_wipe(lambda: note_reports(register, told.learner.id, {target: content}))
    write_owned({target: content})
    click.echo(f"{target}: {len(entries)} date{'' if len(entries) == 1 else 's'}.")
    coming = [entry.day for entry in entries if entry.day >= told.now.date()]
    if coming:
        click.echo(f"The first is on {min(coming).isoformat()}.")


def _time_of_day(at: str | None, zone: str | None) -> TimeOfDay | None:
    if at is None and zone is None:
        return None
    if at is None or zone is None:
        raise InputError("--at and --zone belong together: --at 18:30 --zone America/Chicago.")
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", at)
    if found is None:
        raise InputError(f'--at "{at}" is no time of day: write it as 18:30.')
    try:
        return TimeOfDay(time(int(found[1]), int(found[2])), ZoneInfo(zone))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InputError(
            f'--zone "{zone}" is not known: name one as the IANA does, such as America/Chicago.'
        ) from None
