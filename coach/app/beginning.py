"""How a session begins: its settings checked, its complications drawn."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace

from coach.app.cylinder_in_use import cylinder_in_use
from coach.core.errors import InputError
from coach.core.units import Unit
from coach.dialogue.events import CONVERSATION, SessionStarted
from coach.edges.scenario_files import load_scenario, scenarios_of
from coach.edges.settings import DEFAULT, Settings
from coach.procedure.scenario import Happening, Scenario
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way

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


def with_scenario(skill_file: SkillFile, name: str, way: Way) -> SkillFile:
    """The skill with a scenario to be played; InputError for one of another skill, or if it is led.

    A coach that leads tells what to do itself: there is nobody to find anything.
    """
    scenario = load_scenario(name)
    if scenario.skill != skill_file.id:
        raise InputError(
            f"The scenario '{scenario.id}' is for the skill {scenario.skill}, not for "
            f"{skill_file.id}: practise that, or choose another scenario."
        )
    if way is Way.LED:
        raise InputError("A scenario is for --way recall, assessed or drill: add one of them.")
    return replace(skill_file, scenario=scenario)


def scenario_drawn(skill: str, chosen: Mapping[str, str], seed: int | None) -> str | None:
    """A scenario for a drill that names none, of those that suit the settings chosen; None if the
    skill has none such. The same seed, the same one."""
    known = [
        scenario.id
        for scenario in scenarios_of(skill)
        if all(chosen.get(name, option) == option for name, option in scenario.settings.items())
    ]
    return random.Random(seed).choice(known) if known else None


def happenings_drawn(scenario: Scenario | None, seed: int | None) -> tuple[str, ...]:
    """What will happen of a scenario, as often as it is named: each time by the happening's own
    chance; the same seed, the same ones."""
    dice = random.Random(seed)
    known = scenario.happenings if scenario else ()
    first = [each for each in known if dice.random() < each.chance]
    return tuple(each.id for each in first for _ in range(_times(each, dice)))


def _times(each: Happening, dice: random.Random) -> int:
    """How often it comes that comes at all: until it does not come again."""
    times = 1
    while times < each.times and dice.random() < each.chance:
        times += 1
    return times


def _reserve_unit(settings: Settings) -> Unit:
    """The unit in which the reserve was given, else the one in which the gauge is read."""
    given = settings.origin("reserve") != DEFAULT or settings.reserve.unit is not Unit.PSI
    return settings.reserve.unit if given else settings.pressure_unit


def first_event(
    skill_file: SkillFile,
    settings: Settings,
    choices: Mapping[str, str],
    complications: tuple[str, ...],
    way: Way = Way.LED,
    learner: str = "",
    happenings: tuple[str, ...] = (),
) -> SessionStarted:
    """The event that starts a session with these settings; `learner` is the learner's id.

    The scenario of the skill file is played, with those `happenings`.
    """
    scenario = skill_file.scenario
    cylinder = cylinder_in_use(settings, skill_file.cylinders)
    return SessionStarted(
        at_s=0.0,
        skill=skill_file.id,
        choices=dict(choices),
        complications=complications,
        region=str(settings.region),
        cylinder=cylinder.letter,
        factor_litres_per_psi=cylinder.litres_per_psi,
        reserve_psi=settings.reserve.pressure.psi,
        reserve_unit=_reserve_unit(settings),
        highest_psi=cylinder.highest_fill.psi,
        overfill_percent=round(100 * skill_file.cylinders.overfill, 6),
        nudge_seconds=settings.nudge_seconds,
        program=skill_file.in_force.key if skill_file.in_force else "",
        way=str(way),
        learner=learner,
        limit_seconds=settings.time_limit,
        hint_seconds=settings.hint_seconds,
        scenario=scenario.id if scenario else "",
        happenings=happenings,
        pressure_unit=settings.pressure_unit,
        training_cylinder=settings.training_cylinder == "empty",
        safety_ends=way is Way.ASSESSED and settings.safety_failure == "ends",
        ends_as_told=way is not Way.LED,
        conversation=CONVERSATION,
    )
