"""A question for the dose: it is never told, and where to look for it is, whatever else goes on."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.patient import scenario_of
from coach.dialogue.turn import About, Turn
from coach.language.dose_questions import asks_for_dose
from coach.language.questions import asked_about

NEVER_TOLD_FROM = 4
"""The way of talking in which a question for the dose is answered."""


def answer_dose_question(turn: Turn, meaning: Meaning) -> bool:
    """Say that no dose is told; false for anything else, and for what a scenario tells itself."""
    state = turn.state
    tells = meaning.steps or meaning.readings or meaning.command or meaning.answer
    specs = (spec for step in state.skill.steps for spec in step.readings)
    of_a_drug = any(spec.quantity is Quantity.DOSE for spec in specs)
    if state.conversation < NEVER_TOLD_FROM or tells or not asks_for_dose(meaning.text, of_a_drug):
        return False
    scenario = scenario_of(state)
    shown = {f.id: f.asked for f in scenario.findings if f.asked} if scenario else {}
    if asked_about(meaning.text, shown):
        return False
    turn.note("dose-asked", text=meaning.text)
    turn.state = replace(turn.state, misses=0)
    turn.say(lines.DOSE_NEVER_TOLD, About.FRAME)
    return True
