"""The `coach` command: finds the subcommand, turns failures into sentences and an exit code."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence

import click

from coach import __version__
from coach.core.errors import CoachError

INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it (128 + SIGINT)."""

UNWRAPPED = 10_000
"""Line width of help that goes into a pipe: it is never wrapped."""

COMMANDS = {
    "practice": "coach.cli.practice",
    "skills": "coach.cli.skills",
    "oxygen": "coach.cli.oxygen",
    "understand": "coach.cli.understand",
    "hear": "coach.cli.hear",
    "check": "coach.cli.check",
    "devices": "coach.cli.devices",
    "models": "coach.cli.models",
    "settings": "coach.cli.settings",
}
"""Each module holds a click command named `command`; it is imported only when it is asked for."""


class LateGroup(click.Group):
    """A group whose commands are imported when used: `skills` never loads an audio library."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Command names in the order of COMMANDS."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[cmd_name]).command
        return command


@click.group(
    cls=LateGroup,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example: coach practice oral-airway",
)
@click.version_option(__version__, prog_name="coach")
@click.pass_context
def program(ctx: click.Context) -> None:
    """Practise basic-life-support skills hands-free, led by voice.

    A training aid only, never for patient care: local protocol, medical direction and licensed
    practice decide.
    """
    if ctx.invoked_subcommand is None:
        from coach.cli.overview import overview

        overview()


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the program; the exit code is 0 done, 1 wrong input, 2 missing, 130 interrupted."""
    try:
        result = program.main(
            args=list(arguments) if arguments is not None else None,
            prog_name="coach",
            standalone_mode=False,
            max_content_width=100 if sys.stdout.isatty() else UNWRAPPED,
            terminal_width=None if sys.stdout.isatty() else UNWRAPPED,
        )
        sys.stdout.flush()
    except click.exceptions.Exit as finished:
        return finished.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped.", err=True)
        return INTERRUPTED
    except click.ClickException as wrong:
        wrong.show()
        return 1
    except CoachError as failure:
        click.echo(f"coach: {failure}", err=True)
        return failure.exit_code
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return result if isinstance(result, int) else 0
