"""The chance of doing a skill right that rehearsals aim at."""

from __future__ import annotations

from coach.edges.settings import DEFAULT, Settings


def aim_in_force(settings: Settings) -> float:
    """The chance that rehearsals aim at: the user's, else the program's, else the usual one."""
    if settings.origin("target-chance") != DEFAULT:
        return settings.target_chance
    if settings.program is None:
        return settings.target_chance
    # All that skills are checked by comes with it; most who ask for the aim have no program.
    from coach.app.local_rules import program_in_force

    program = program_in_force(settings)
    told = None if program is None else program.target_chance
    return settings.target_chance if told is None else told
