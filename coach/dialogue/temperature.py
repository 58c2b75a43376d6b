"""A body temperature that is told is said on both scales; one that cannot be is asked about.

No step waits for it; in a skill that says so it is heard whenever it comes.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.earlier_sessions import told_besides
from coach.dialogue.state import DoubtScore
from coach.dialogue.turn import About, Turn
from coach.trade.questions import Question
from coach.trade.spoken_sums import temperature_words
from coach.trade.temperature import body_temperature
from coach.trade.unit_conversions import DEGREES


def take_temperature(turn: Turn, meaning: Meaning) -> Meaning | None:
    """The meaning without a temperature that was told in it; None where none was, or has no place.

    A quiet coach only notes it.
    """
    has_place = any(step.thermometer for step in turn.state.skill.steps)
    told = told_besides(turn.state, meaning, Quantity.TEMPERATURE) if has_place else ()
    if not told:
        return None
    value, degree = told[0].values[0], DEGREES[told[0].unit] if told[0].unit_said else None
    body = body_temperature(value, turn.state.skill_file.numbers.temperatures, degree)
    data = {"value": value, "degree": str(degree) if degree else None}
    turn.note("temperature-told", **data, possible=not isinstance(body, Question))
    if not turn.state.quiet:
        question = body if isinstance(body, Question) else body.check
        if not isinstance(body, Question):
            turn.say(temperature_words(body), About.COUNT)
        if question is not None:
            turn.say(question.words)
            doubt = DoubtScore(lines.TEMPERATURE_AGAIN)
            turn.state = replace(turn.state, pending=turn.state.pending or doubt)
            turn.led = True
    others = tuple(
        reading
        for reading in meaning.readings
        if reading.quantity is not Quantity.TEMPERATURE and reading.values != (value,)
    )
    return replace(meaning, readings=others)
