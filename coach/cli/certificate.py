"""`coach certificate`: certificates with what has to be rehearsed by when."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence

import click

from coach.app.rehearsing import page_of_learner, whose
from coach.cli.rehearsal_options import aim_option, asked, caution, learner_option
from coach.core.errors import InputError
from coach.edges.register_file import RegisterFile
from coach.edges.skill_folders import skill_ids
from coach.procedure.wording import did_you_mean
from coach.records.names import name_key, tidy_name
from coach.records.register import Register
from coach.records.register_lines import CertificateDropped, CertificateHeld, RegisterRecord
from coach.records.roster import iso_day
from coach.rehearsal.learner_page import certificate_fields, certificate_lines


@click.command(
    epilog='Example: coach certificate "Basic course" --learner "Ana Lima" --until 2027-03-31',
    short_help="List certificates with what must be rehearsed by when, or note one.",
)
@click.argument("name", required=False)
@learner_option
@click.option("--until", metavar="YYYY-MM-DD", help="Note that NAME is valid until that day.")
@click.option(
    "--skill",
    "skills",
    metavar="SKILL",
    multiple=True,
    help="A skill that NAME is about; without, all that are practised.",
)
@click.option("--drop", is_flag=True, help="Mind NAME no longer.")
@aim_option
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(
    name: str | None,
    learner: str | None,
    until: str | None,
    skills: tuple[str, ...],
    drop: bool,
    target_chance: str | None,
    as_json: bool,
) -> None:
    """List a learner's certificates: until when, what must be rehearsed by when, time practised.

    With --until the certificate NAME is noted first, with --drop it is taken off the list.
    """
    if name is None and (until or skills or drop):
        raise InputError("Say which certificate: coach certificate NAME --until 2027-03-31.")
    if drop and (until or skills):
        raise InputError("--drop goes with neither --until nor --skill.")
    if skills and not until:
        raise InputError("--skill needs --until, the day until which the certificate is valid.")
    if name is not None and (until or drop):
        _note(name, learner, until, skills)
    told = asked(learner, target_chance)
    page = page_of_learner(told.register, told.practice, told.learner, told.now, told.aim)
    wanted = None if name is None or drop else name_key(tidy_name(name, "The certificate's name"))
    shown = [(c, needs) for c, needs in page.certificates if wanted in (None, name_key(c.name))]
    if as_json:
        click.echo(json.dumps([certificate_fields(c, needs, page.known) for c, needs in shown]))
        return
    for certificate, needs in shown:
        click.echo("\n".join(certificate_lines(certificate, needs, page.known, page.now)))
    if not shown:
        what = "no certificate" if wanted is None else f'no certificate "{name}"'
        click.echo(f"{told.learner.called} has {what} on record.")
    caution()


def _note(name: str, learner: str | None, until: str | None, skills: tuple[str, ...]) -> None:
    """Write the certificate into the register, or that it is minded no more."""
    name = tidy_name(name, "The certificate's name")
    valid_until = None if until is None else _day(until)
    for skill in skills:
        if skill not in skill_ids():
            advice = did_you_mean(skill, skill_ids(), "skills", "coach skills")
            raise InputError(f"There is no skill '{skill}': {advice}")
    file = RegisterFile.of(os.environ)

    def noted(register: Register) -> Sequence[RegisterRecord]:
        found = whose(register, learner)
        if not found.id:
            raise InputError(
                "A certificate is somebody's: give --learner, the name of one in the register."
            )
        if valid_until is not None:
            return (CertificateHeld(file.now(), found.id, name, valid_until, skills),)
        if (found.id, name_key(name)) not in register.certificates:
            raise InputError(f'{found.called} has no certificate "{name}".')
        return (CertificateDropped(file.now(), found.id, name),)

    file.add(noted)


def _day(text: str) -> str:
    try:
        return iso_day(text)
    except InputError as error:
        raise InputError(f"--until {error}") from None
