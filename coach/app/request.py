"""What is to be practised: the skill, its settings, and how."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from coach.app.beginning import first_event
from coach.app.cylinder_in_use import cylinder_in_use
from coach.dialogue.events import SessionStarted
from coach.dialogue.first_questions import CYLINDER, REGION, Needs
from coach.edges.settings import Settings, with_values
from coach.procedure.cylinder_fill import fill_choices
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way


@dataclass(frozen=True, slots=True)
class Request:
    """What the user asked to practise, checked; `needs` is what the coach asks for first.

    `decided` are settings of the skill that the local program has decided, `filled` options that
    follow from the cylinder in use where `choices` has no other.
    """

    skill_file: SkillFile
    settings: Settings
    choices: Mapping[str, str]
    complications: tuple[str, ...] = ()
    wake_word: str | None = None
    way: Way = Way.LED
    learner: str = ""
    happenings: tuple[str, ...] = ()
    needs: Needs | None = None
    decided: frozenset[str] = frozenset()
    filled: Mapping[str, str] = field(default_factory=dict)

    @property
    def first(self) -> SessionStarted:
        """The event that starts the session."""
        return first_event(
            self.skill_file,
            self.settings,
            {**self.filled, **self.choices},
            self.complications,
            self.way,
            self.learner,
            self.happenings,
        )


def answered(request: Request, answers: Mapping[str, str]) -> Request:
    """The request with settings that were asked for; those of skills have a dot in their name."""
    skill = request.skill_file
    now = with_values(request.settings, answers)
    chosen = {
        setting: option
        for name, option in answers.items()
        for place, _, setting in [name.partition(".")]
        if place == skill.id and setting
    }
    filled = request.filled
    if {REGION, CYLINDER} & answers.keys():
        fitting = fill_choices(skill.settings, cylinder_in_use(now, skill.cylinders))
        filled = {name: each for name, each in fitting.items() if name not in request.decided}
    choices = {**request.choices, **chosen}
    return replace(request, settings=now, choices=choices, filled=filled)
