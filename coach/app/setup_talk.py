"""Talk about the settings, put together: what may be asked for, what is known, what is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.app.first_questions import keep
from coach.app.request import Request
from coach.dialogue.first_questions import every_need
from coach.dialogue.setup_talk import Known
from coach.edges.settings import DEFAULT
from coach.session.loop import Observer
from coach.session.ports import Ear
from coach.session.setup_ear import SetupEar


def setup_ear(
    request: Request,
    ear: Ear,
    say: Callable[[str], None],
    may_change: Callable[[], bool],
    may_speak: Callable[[], bool],
    observer: Observer,
) -> SetupEar:
    """The ear with talk about the settings taken out of what it hears.

    What the local program or the scenario has decided for the skill can neither be asked for nor
    changed.
    """
    skill_file, settings = request.skill_file, request.settings
    skill = skill_file.chosen({**request.filled, **request.choices})
    needs = every_need(skill, skill_file.cylinders, settings.region)
    scenario = skill_file.scenario.settings if skill_file.scenario else {}
    fixed = {f"{skill.id}.{name}" for name in (*request.decided, *scenario)}
    needs = replace(
        needs,
        names=tuple(name for name in needs.names if name not in fixed),
        settings={name: s for name, s in needs.settings.items() if name not in fixed},
    )
    of_skill = {name: skill.choices[name.partition(".")[2]] for name in needs.settings}
    general = {name: settings.text(name) for name in needs.names if name not in needs.settings}
    given = {name for name in general if settings.origin(name) != DEFAULT}
    given |= {name for name in of_skill if name.partition(".")[2] in request.choices}
    known = Known({**general, **of_skill}, given)
    return SetupEar(ear, needs, known, lambda a: keep(a, observer), say, may_change, may_speak)
