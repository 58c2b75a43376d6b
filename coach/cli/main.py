"""The `coach` command: finds the subcommand, turns failures into sentences and an exit code."""

from __future__ import annotations

import contextlib
import gc
import importlib
import io
import os
import signal
import sys
import threading
from collections.abc import Sequence

import click

from coach import __version__
from coach.core.errors import CoachError, MissingError

INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it (128 + SIGINT)."""

UNWRAPPED = 10_000
"""Line width of help that goes into a pipe: it is never wrapped."""

OBJECTS_BETWEEN_COLLECTIONS = 20_000
"""New objects until Python looks for rings of them that nobody needs. Its own 700 (2,000 from 3.12)
has it look through all modules again and again while they are imported, and through every row."""

COMMANDS = {
    "practice": "coach.cli.practice",
    "assess": "coach.cli.assess",
    "catch": "coach.cli.catch",
    "today": "coach.cli.today",
    "learner": "coach.cli.learner",
    "certificate": "coach.cli.certificate",
    "calendar": "coach.cli.calendar",
    "class": "coach.cli.class_",
    "judge": "coach.cli.judge",
    "records": "coach.cli.records",
    "skills": "coach.cli.skills",
    "oxygen": "coach.cli.oxygen",
    "pace": "coach.cli.pace",
    "understand": "coach.cli.understand",
    "hear": "coach.cli.hear",
    "new": "coach.cli.new",
    "check": "coach.cli.check",
    "report": "coach.cli.report",
    "sheet": "coach.cli.sheet",
    "walk": "coach.cli.walk",
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

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command named first; UsageError says which one was probably meant."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-"):
            from coach.procedure.wording import did_you_mean

            advice = did_you_mean(name, COMMANDS, "commands")
            raise click.UsageError(f"There is no command '{name}': {advice}", ctx)
        return super().resolve_command(ctx, args)


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
    _print_what_can_be_printed()
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    width = 100 if sys.stdout is not None and sys.stdout.isatty() else UNWRAPPED
    try:
        result = program.main(
            args=list(arguments) if arguments is not None else None,
            prog_name="coach",
            standalone_mode=False,
            max_content_width=width,
            terminal_width=None if width < UNWRAPPED else UNWRAPPED,
        )
        if sys.stdout is not None:
            sys.stdout.flush()
    except (click.Abort, KeyboardInterrupt):
        _let_another_interrupt_end_it()
        click.echo("Stopped.", err=True)
        return INTERRUPTED
    except click.ClickException as wrong:
        wrong.show()
        return 1
    except CoachError as failure:
        click.echo(f"coach: {failure}", err=True)
        return failure.exit_code
    except (BrokenPipeError, SystemExit):
        # Whoever read the output has had enough; click makes a SystemExit of it.
        _print_no_more()
        return 0
    except OSError as error:
        _print_no_more()
        what = error.filename or "The output"
        reason = error.strerror or error
        click.echo(f"coach: {what} could not be read or written ({reason}).", err=True)
        return MissingError.exit_code
    return result if isinstance(result, int) else 0


def _let_another_interrupt_end_it() -> None:
    """Python would print a traceback for one that comes while it shuts down."""
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_DFL)


def _print_what_can_be_printed() -> None:
    """Let a letter that the terminal's encoding lacks become a question mark, not a failure."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _print_no_more() -> None:
    """Keep the interpreter from trying again, at its end, to write what could not be written."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        handle = sys.stdout.fileno()
        os.dup2(os.open(os.devnull, os.O_WRONLY), handle)
