"""How a session begins: its settings checked, its complications drawn."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

from coach.core.errors import InputError
from coach.dialogue.events import SessionStarted
from coach.edges.settings import Settings
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.trade.cylinders import find_cylinder

CHANCE = 0.5
"""How often a complication comes in a live session for which no seed was given."""


def choices_from(pairs: Sequence[str], skill_file: SkillFile) -> dict[str, str]:
    """Settings of the skill from `name=value` words; InputError for what it does not have."""
    choices: dict[str, str] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name or not value:
            raise InputError(f"--set '{pair}' is not name=value: try --set patient=adult.")
        if choices.setdefault(name.strip(), value.strip()) != value.strip():
            raise InputError(f"--set gives '{name.strip()}' twice: keep one of the two.")
    skill_file.chosen(choices)
    return choices


def drawn(skill_file: SkillFile, seed: int | None, live: bool) -> tuple[str, ...]:
    """The complication that will come: one for a given seed, perhaps one in a live session."""
    known = [complication.id for complication in skill_file.complications]
    if not known or (seed is None and not live):
        return ()
    dice = random.Random(seed)
    if seed is None and dice.random() > CHANCE:
        return ()
    return (dice.choice(known),)


def first_event(
    skill_file: SkillFile,
    settings: Settings,
    choices: Mapping[str, str],
    complications: tuple[str, ...],
    way: Way = Way.LED,
    learner: str = "",
) -> SessionStarted:
    """The event that starts a session with these settings; `learner` is the learner's id."""
    cylinder = find_cylinder(settings.cylinder, settings.region)
    return SessionStarted(
        at_s=0.0,
        skill=skill_file.id,
        choices=dict(choices),
        complications=complications,
        region=str(settings.region),
        cylinder=cylinder.letter,
        factor_litres_per_psi=cylinder.litres_per_psi,
        reserve_psi=settings.reserve.pressure.psi,
        reserve_unit=settings.reserve.unit,
        highest_psi=cylinder.highest_fill.psi,
        nudge_seconds=settings.nudge_seconds,
        program=skill_file.in_force.key if skill_file.in_force else "",
        way=str(way),
        learner=learner,
        limit_seconds=settings.time_limit,
        hint_seconds=settings.hint_seconds,
        safety_ends=way is Way.ASSESSED and settings.safety_failure == "ends",
    )
