"""Lets a wipe of a learner find the files that name them, wherever they lie."""

from __future__ import annotations

from collections.abc import Callable

import click

from coach.core.errors import CoachError


def note_for_a_wipe(note: Callable[[], None]) -> None:
    """Note a file that is about to be written; it is written even if that fails, which is told."""
    try:
        note()
    except CoachError as error:
        click.echo(f"coach: A wipe of a learner will not find this file: {error}", err=True)
