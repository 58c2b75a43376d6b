"""Blood pressures: two numbers by ear, one by touch, and pairs that a teacher would question."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Reading
from coach.dialogue import lines
from coach.dialogue.state import AskedAnew, State
from coach.dialogue.turn import Turn
from coach.dialogue.units_asked import with_unit
from coach.procedure.model import ReadingSpec, Step, TakenBy
from coach.trade.blood_pressure import PressureSums, pressure_sums
from coach.trade.spoken_sums import pressure_words

TURNED_FROM = 4
"""The way of talking in which two numbers the wrong way round are asked for anew at once."""


def ask_for_all(turn: Turn, step: Step, spec: ReadingSpec, reading: Reading) -> bool:
    """Ask for both numbers of a pressure by ear, for the upper one alone of one by touch.

    False where as many were said as that way of taking it gives.
    """
    if as_many_as_wanted(spec, reading):
        return False
    turn.say(lines.UPPER_AND_LOWER if spec.by is TakenBy.EAR else lines.ONLY_UPPER)
    turn.note("other-numbers-wanted", step=step.id, reading=spec.name)
    turn.state = replace(turn.state, asked=step.id, pending=None)
    turn.led = True
    return True


def ask_for_the_higher_first(turn: Turn, step: Step, spec: ReadingSpec, reading: Reading) -> bool:
    """Ask anew for both numbers of a pressure of which the first is not the higher, as it has to
    be; false for any other number."""
    two = spec.by is TakenBy.EAR and len(reading.values) == 2
    if turn.state.conversation < TURNED_FROM or not two or reading.values[0] > reading.values[1]:
        return False
    turn.say(lines.FIRST_IS_HIGHER)
    turn.say(lines.sentence(with_unit(spec)))
    turn.note("turned-round", step=step.id, reading=spec.name)
    asked = step.id if step.id not in turn.state.done else None
    anew = AskedAnew(step.id, spec.name)
    turn.state = replace(turn.state, asked=asked, asked_anew=anew, pending=None)
    turn.led = True
    return True


def as_many_as_wanted(spec: ReadingSpec, reading: Reading) -> bool:
    """Whether as many numbers were said as that way of taking a pressure gives."""
    wanted = {TakenBy.EAR: 2, TakenBy.TOUCH: 1}.get(spec.by)
    return wanted is None or len(reading.values) == wanted


def unlikely_pair(state: State, spec: ReadingSpec, reading: Reading) -> str:
    """What is asked of two numbers that lie oddly close or far apart; "" of any others."""
    if spec.by is not TakenBy.EAR or len(reading.values) != 2:
        return ""
    sums = pressure_sums(*reading.values, state.skill_file.numbers.pressures)
    check = sums.check if isinstance(sums, PressureSums) else sums
    return check.words if check else ""


def sums_of(state: State, spec: ReadingSpec, reading: Reading) -> str:
    """Pulse pressure and mean, where the reading has them told; "" for any other number."""
    if not spec.sums or len(reading.values) != 2:
        return ""
    sums = pressure_sums(*reading.values, state.skill_file.numbers.pressures)
    return pressure_words(sums) if isinstance(sums, PressureSums) else ""
