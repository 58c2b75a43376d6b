"""The local program whose rules are in force, as the settings name it."""

from __future__ import annotations

from dataclasses import replace

from coach.core.units import Unit
from coach.edges.local_program_file import load_local_program
from coach.edges.settings import DEFAULT, Settings
from coach.edges.skill_folders import local_program_path
from coach.procedure.in_force import RESERVE
from coach.procedure.local_facts import LocalProgram
from coach.trade.amounts import WrittenPressure


def program_in_force(settings: Settings) -> LocalProgram | None:
    """The program that the setting `program` names, read and checked; None without one.

    InputError for an unknown name, BrokenFileError with a line for each mistake in its file.
    """
    if settings.program is None:
        return None
    return load_local_program(local_program_path(settings.program))


def settings_by(program: LocalProgram | None, settings: Settings) -> Settings:
    """The settings, with what the program has otherwise where nobody gave another: the pressure
    that is kept back, the time of an attempt, and what a safety failure does to it."""
    if program is None:
        return settings
    scoring = program.scoring
    if scoring and scoring.time_limit_s and settings.origin("time-limit") == DEFAULT:
        settings = replace(settings, time_limit=scoring.time_limit_s)
    if scoring and scoring.safety_failure and settings.origin("safety-failure") == DEFAULT:
        settings = replace(settings, safety_failure=scoring.safety_failure)
    if settings.origin("reserve") != DEFAULT:
        return settings
    for change in program.changes:
        if change.fact == RESERVE and isinstance(change.written.value, float):
            kept = WrittenPressure(change.written.value, Unit(change.unit))
            return replace(settings, reserve=kept)
    return settings
