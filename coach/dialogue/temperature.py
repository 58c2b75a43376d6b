"""A body temperature that is told is said on both scales; one that cannot be is asked about.

No step waits for it; in a skill that says so it is heard whenever it comes.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning
from coach.dialogue import lines
from coach.dialogue.state import DoubtScore
from coach.dialogue.turn import About, Turn
from coach.language.numbers import find_numbers
from coach.trade.questions import Question
from coach.trade.spoken_sums import temperature_words
from coach.trade.temperature import Degree, body_temperature

_NAMED = frozenset("temperature temp thermometer".split())
_WORDS_BETWEEN = 5
"""Words between "temperature" and its number (our own choice): "his temp by mouth is about"."""

_DEGREES = {"celsius": Degree.CELSIUS, "centigrade": Degree.CELSIUS, "c": Degree.CELSIUS}
_DEGREES |= {"fahrenheit": Degree.FAHRENHEIT, "f": Degree.FAHRENHEIT}
_NOT_MEASURED = frozenset("if not no isn't wasn't under below over above than normally".split())


def temperature_told(text: str) -> tuple[float, Degree | None] | None:
    """The temperature that a sentence tells as measured, and its scale where one is named."""
    words = text.split()
    for number in find_numbers(words):
        after = [word for word in words[number.end : number.end + 2] if word != "degrees"]
        degree = _DEGREES.get(after[0]) if after else None
        before = words[max(0, number.start - _WORDS_BETWEEN) : number.start]
        named = not _NAMED.isdisjoint(before) or "degrees" in words[number.end : number.end + 1]
        if len(number.values) != 1 or not (named or degree):
            continue
        return None if not _NOT_MEASURED.isdisjoint(before) else (number.values[0], degree)
    return None


def take_temperature(turn: Turn, meaning: Meaning) -> Meaning | None:
    """The meaning without a temperature that was told in it; None where none was, or has no place.

    A quiet coach only notes it.
    """
    has_place = any(step.thermometer for step in turn.state.skill.steps)
    told = temperature_told(meaning.text) if has_place else None
    if told is None:
        return None
    value, degree = told
    body = body_temperature(value, degree)
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
    others = tuple(reading for reading in meaning.readings if reading.values != (value,))
    return replace(meaning, readings=others)
