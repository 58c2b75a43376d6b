"""The moment of a practice as options: what `understand` and `hear` are told of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from coach.app.moment import EXPECTATIONS

Command = TypeVar("Command", bound=Callable[..., Any])


def moment_options(command: Command) -> Command:
    """`--skill`, `--step` and `--expect`."""
    *most, last = EXPECTATIONS
    for option in (
        click.option(
            "--expect",
            metavar="WHAT",
            help=f"What was just asked: {', '.join(most)} or {last}.",
        ),
        click.option(
            "--step", metavar="STEP", help="The step being asked for; without it all are open."
        ),
        click.option("--skill", required=True, metavar="SKILL", help="The skill being practised."),
    ):
        command = option(command)
    return command
