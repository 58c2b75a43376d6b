"""`coach learner`: one learner's page."""

from __future__ import annotations

import json

import click

from coach.app.rehearsing import page_of_learner
from coach.cli.rehearsal_options import aim_option, asked, caution


@click.command(
    epilog='Example: coach learner "Ana Lima"',
    short_help="Show one learner: last results, chance now, next date, time practised.",
)
@click.argument("name", required=False)
@aim_option
@click.option("--json", "as_json", is_flag=True, help="Print one line of JSON.")
def command(name: str | None, target_chance: str | None, as_json: bool) -> None:
    """Show the learner NAME: of each skill the last results, the chance now and the next date.

    The certificates follow, with what has to be rehearsed by when.
    """
    told = asked(name, target_chance)
    page = page_of_learner(told.register, told.practice, told.learner, told.now, told.aim)
    if as_json:
        click.echo(json.dumps(page.as_json()))
        return
    click.echo(page.as_text())
    caution()
