"""A burned area held against the parts of the body that the learner told of as burned."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning, Reading
from coach.core.units import Quantity
from coach.dialogue.progress import suggested
from coach.dialogue.state import State, ToldBurned
from coach.dialogue.turn import Turn
from coach.procedure.model import ReadingSpec, Step
from coach.trade.burned_parts import burned_parts, parts_at_most, published_area
from coach.trade.questions import Question
from coach.trade.spoken_sums import burned_area_words, burned_at_most_words

BOUNDED_FROM = 4
"""The way of talking in which parts told without how much of them bound the burned area."""


def note_burned_parts(turn: Turn, meaning: Meaning) -> None:
    """Keep the parts told of as burned, where the area is spoken of or asked for."""
    step = _step_of_area(turn.state, meaning)
    if step is None:
        return
    parts = burned_parts(meaning.text)
    at_most = parts is None
    if parts is None and _bounds(turn.state, meaning):
        parts = parts_at_most(meaning.text)
    if parts is None:
        return
    turn.state = replace(turn.state, burned=ToldBurned(step.id, parts, at_most))
    shares = {str(part): share for part, share in parts.shares}
    turn.note("burned-parts", step=step.id, palms=parts.palms, shares=shares, at_most=at_most)


def _bounds(state: State, meaning: Meaning) -> bool:
    """Whether parts told without how much of them bound the area: it is told with them, and no
    parts were told before to which they may be added."""
    told = any(reading.quantity is Quantity.BURNED_AREA for reading in meaning.readings)
    alone = state.burned is None or state.burned.at_most
    return told and alone and state.conversation >= BOUNDED_FROM


def _step_of_area(state: State, meaning: Meaning) -> Step | None:
    """The step whose burned area may be told now.

    It is one spoken of; where none surely is, one that is due, perhaps meant, or whose number is
    told.
    """
    mentioned = {mention.step for mention in meaning.steps if not mention.denied}
    due = suggested(state)
    perhaps = {*meaning.likely, *([due.id] if due else [])}
    heard = {reading.quantity for reading in meaning.readings}
    for step in state.skill.steps:
        areas = [spec for spec in step.readings if spec.burned_age_years is not None]
        told = step.id in perhaps or any(spec.quantity in heard for spec in areas)
        if areas and (step.id in mentioned or (not mentioned and told)):
            return step
    return None


def unlike_the_parts(state: State, step: Step, spec: ReadingSpec, reading: Reading) -> str:
    """What is said of an area that no published table gives for the parts told; "" of any other."""
    told, age = state.burned, spec.burned_age_years
    if told is None or told.step != step.id or age is None:
        return ""
    published = published_area(told.parts, age, state.skill_file.numbers.burns)
    if isinstance(published, Question):
        return published.words
    if told.at_most:
        above = reading.values[0] > published.high
        return burned_at_most_words(published.area) if above else ""
    if published.low <= reading.values[0] <= published.high:
        return ""
    return burned_area_words(published.area, by_palms=bool(told.parts.palms))
