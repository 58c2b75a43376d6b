"""The options of `coach practice` that say how it is practised, and which of them go together."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from coach.core.errors import InputError


@dataclass(frozen=True, slots=True)
class Asked:
    """What the options of a session were, beside its settings."""

    typed: bool
    recording: str | None
    learner: str | None
    named: str | None
    only_first: bool
    spoken: bool
    keep: str | None
    seed: int | None
    wake: str | None
    as_json: bool

    @property
    def ways(self) -> tuple[str, ...]:
        """The options that say how to practise; without one it is live."""
        given = (("--typed", self.typed), ("--from", self.recording), ("--learner", self.learner))
        return tuple(name for name, value in given if value)

    @property
    def in_sound(self) -> bool:
        """Whether the coach speaks aloud or into a file."""
        return self.spoken or not (self.typed or self.learner)


def check_ways(asked: Asked, told: bool) -> None:
    """Refuse options that do not go together; `told`: options that a script says itself."""
    if len(asked.ways) > 1:
        raise click.UsageError(f"{' and '.join(asked.ways)} exclude each other: choose one.")
    if (asked.spoken or asked.named or asked.only_first) and not asked.learner:
        raise click.UsageError("--spoken, --named and --first need a --learner FILE.yaml.")
    if asked.learner and (told or asked.seed is not None):
        raise click.UsageError(
            "The scripts of --learner say --set, --seed, --region, --cylinder, --reserve, "
            "--pressure-unit and --training-cylinder themselves: leave them out."
        )
    if asked.learner and asked.wake is not None:
        raise click.UsageError("--wake is for people: a scripted --learner speaks to nobody else.")


def check_keep(asked: Asked, several: bool) -> None:
    """Refuse a --keep that could not be obeyed, before anything is opened or overwritten."""
    keep, recording = asked.keep, asked.recording
    if keep is None:
        return
    if not asked.in_sound:
        raise click.UsageError("--keep keeps sound: leave out --typed, or add --spoken.")
    if several:
        raise click.UsageError("--keep holds one session: choose a script by --named or --first.")
    path = Path(keep)
    if path.is_dir() or not path.absolute().parent.is_dir():
        raise InputError(f"--keep {keep} is not a file in a folder that exists: choose another.")
    if recording and path.exists() and Path(recording).exists() and path.samefile(recording):
        raise InputError(f"--keep {keep} would overwrite the recording: choose another file.")
