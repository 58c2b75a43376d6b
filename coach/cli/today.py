"""`coach today`: what to rehearse in the minutes there are."""

from __future__ import annotations

import json

import click

from coach.app.rehearsing import certificates_of
from coach.cli.rehearsal_options import Asked, aim_option, asked, caution, learner_option
from coach.core.plain import Fields
from coach.rehearsal.outlook import outlooks
from coach.rehearsal.spans import day_words
from coach.rehearsal.today import Proposed, Today, plan_today

LONGEST_MINUTES = 24 * 60


@click.command(
    epilog='Example: coach today --learner "Ana Lima" --minutes 15',
    short_help="Say what to rehearse in the minutes there are today.",
)
@learner_option
@click.option(
    "--minutes",
    type=click.IntRange(1, LONGEST_MINUTES),
    default=15,
    show_default=True,
    help="Minutes there are to practise.",
)
@aim_option
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(learner: str | None, minutes: int, target_chance: str | None, as_json: bool) -> None:
    """Say what to rehearse today, and why: what fades most, and what a certificate needs.

    A skill is due when the chance of doing it right has fallen to what is aimed at (the setting
    target-chance). Of what is due, the skills are chosen that bring most in the minutes given.
    """
    told = asked(learner, target_chance)
    known = outlooks(told.practice.attempts_of(told.learner.id), told.now, told.aim)
    certificates = certificates_of(told.register, told.learner.id, known)
    minutes_of = told.minutes_of()
    plan = plan_today(known, certificates, minutes_of, told.now, told.aim, minutes)
    if as_json:
        click.echo(json.dumps(_fields(plan, told)))
        return
    spent = sum(each.minutes for each in plan.chosen)
    click.echo(
        f"{told.learner.called}, {day_words(told.now.date())}: {spent} of {minutes} minutes."
    )
    width = max((len(each.skill) for each in plan.chosen), default=0)
    for each in plan.chosen:
        click.echo(f"  {each.skill:{width}}  {each.minutes:2} min  {each.sentence()}")
    click.echo(plan.closing())
    if not known and not plan.chosen:
        click.echo("Nothing is on record yet: begin with coach practice oral-airway.")
    caution()


def _fields(plan: Today, told: Asked) -> Fields:
    next_due = plan.next_due
    return {
        "learner": told.learner.called,
        "now": told.now.isoformat(timespec="seconds"),
        "minutes": plan.minutes,
        "target_chance": told.aim,
        "rehearse": [_proposed(each) for each in plan.chosen],
        "left": [_proposed(each) for each in plan.left],
        "next": None
        if next_due is None
        else {"skill": next_due[0], "day": next_due[1].isoformat()},
        "closing": plan.closing(),
    }


def _proposed(each: Proposed) -> Fields:
    chance = each.outlook.chance
    return {
        "skill": each.skill,
        "minutes": each.minutes,
        "chance": None if chance is None else round(chance, 4),
        "because": each.sentence(),
    }
