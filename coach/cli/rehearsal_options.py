"""What the commands that plan rehearsals have in common: whose plan, and from which records."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

import click

from coach.app.aim import aim_in_force
from coach.app.local_rules import program_in_force
from coach.app.records import up_to_date
from coach.app.rehearsing import Everything, RecordedPractice, Whose, whose
from coach.cli.observers import tell_beside
from coach.edges.settings import Settings, load_settings
from coach.edges.skill_minutes import minutes_of_skills
from coach.edges.time_zone import local_zone
from coach.records.register import Register
from coach.report.summary import CAUTION

Command = TypeVar("Command", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Asked:
    """What a command works with.

    `now` is the wall clock in the time zone of this machine, `aim` the chance that is aimed at.
    """

    register: Register
    practice: Everything
    learner: Whose
    settings: Settings
    now: datetime
    aim: float

    def minutes_of(self) -> dict[str, int]:
        """Minutes of each skill that can be practised here, by the local program's rules."""
        return dict(minutes_of_skills(program_in_force(self.settings)))


def learner_option(command: Command) -> Command:
    """`--learner NAME`."""
    return click.option(
        "--learner", metavar="NAME", help="Whose; not needed where there is only one learner."
    )(command)


def aim_option(command: Command) -> Command:
    """`--target-chance`, as in the settings."""
    return click.option(
        "--target-chance",
        metavar="CHANCE",
        help="Chance of doing a skill right that is aimed at, 0.6 to 0.95.",
    )(command)


def asked(name: str | None, target_chance: str | None) -> Asked:
    """Everything a command needs; InputError for an unknown learner or a wrong number."""
    settings = load_settings({"target_chance": target_chance}, os.environ)
    here = up_to_date(os.environ, tell_beside)
    register = here.register.read()
    return Asked(
        register,
        RecordedPractice(here.records),
        whose(register, name, in_part=True),
        settings,
        now(),
        aim_in_force(settings),
    )


def now() -> datetime:
    """The wall clock, in the time zone of this machine."""
    return datetime.now(local_zone(os.environ))


def caution() -> None:
    """Say what a plan is not."""
    click.echo(f"\n{CAUTION}")
