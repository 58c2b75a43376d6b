"""What people say who are led by nobody: several things at once, to everybody around."""

from __future__ import annotations

import pytest

from coach.core.meaning import StepMention
from coach.core.units import Quantity, Unit
from coach.language.context import Context, Range, StepWords, Words
from coach.language.readings import find_readings
from coach.language.understand import understand

HELP = StepWords(
    "help",
    Words(keys=("call/called help/ambulance/911", "get/bring/sent aed/defibrillator")),
)
EXPLAIN = StepWords("explain", Words(keys=("tell/told/telling him/her",)))
PRICK = StepWords("prick", Words(keys=("prick/pricked finger",)))
VALVES = StepWords("valves", Words(keys=("valves there",)))
TUBING = StepWords("tubing", Words(keys=("tubing regulator",)))
UNTIL = StepWords("until", Words(keys=("until takes",)))
AFTERCARE = StepWords("aftercare", Words(keys=("needs/gets examined/seen",)))


def told(words: str, *steps: StepWords) -> list[str]:
    """The ids of the steps told as done."""
    found = understand(words, Context(steps)).steps
    return [mention.step for mention in found if not mention.denied]


@pytest.mark.parametrize(
    "words",
    [
        "you in the red shirt call an ambulance and bring the defibrillator",
        "somebody get the aed",
        "can you call for help please",
        "you, call for help",
    ],
)
def test_sending_somebody_for_help_is_done_by_saying_it(words: str) -> None:
    assert told(words, HELP) == ["help"]


@pytest.mark.parametrize(
    "words",
    [
        "you should call an ambulance",
        "somebody should get the aed",
        "if he gets worse somebody call for help",
        "did you call for help",
        "you don't call an ambulance for that",
        "they call an ambulance in the video",
    ],
)
def test_advice_and_talk_send_nobody(words: str) -> None:
    assert told(words, HELP) == []


def test_a_plan_that_was_told_is_told_and_not_done() -> None:
    words = "I told him I'll prick his finger for a sugar check and he agrees"
    assert told(words, EXPLAIN, PRICK) == ["explain"]
    assert told("I told him and I pricked his finger", EXPLAIN, PRICK) == ["explain", "prick"]


@pytest.mark.parametrize(
    "words", ["I tell him that he should breathe normally", "I'm telling him what I'm going to do"]
)
def test_telling_now_counts_as_told(words: str) -> None:
    assert told(words, EXPLAIN) == ["explain"]


def test_a_second_thing_follows_what_was_said_of_the_first() -> None:
    words = "the valves are there and they move and the tubing is pushed onto the regulator"
    assert told(words, VALVES, TUBING) == ["valves", "tubing"]


def test_until_somebody_comes_is_no_talk_of_others() -> None:
    assert told("until somebody takes over", UNTIL) == ["until"]
    assert told("somebody takes over until lunch", UNTIL) == []


def test_what_the_patient_needs_is_asked_for_by_saying_it() -> None:
    assert told("he still needs to be seen by a doctor", AFTERCARE) == ["aftercare"]


def test_a_time_of_day_is_for_the_step_that_tells_the_time() -> None:
    place = StepWords("place", Words(keys=("tourniquet on",)))
    moment = Context((place,), done=frozenset({"place"}), time_asked="time")
    assert understand("sixteen forty", moment).steps == (StepMention("time"),)
    again = understand("it went on at fourteen twenty, the tourniquet is on", moment)
    assert StepMention("time") in again.steps


ROW = Range(30.0, 30.0, Unit.COUNTED)
RATE = Range(100.0, 120.0, Unit.PER_MINUTE)


@pytest.mark.parametrize(
    "words",
    ["a hundred and ten a minute, thirty compressions to two breaths", "110 a minute, 30 to 2"],
)
@pytest.mark.parametrize("asked", [Quantity.RATE, Quantity.COUNT])
def test_the_row_before_two_breaths(words: str, asked: Quantity) -> None:
    """Thirty compressions to two breaths: European Resuscitation Council guidelines 2021."""
    allowed = {Quantity.RATE: RATE, Quantity.COUNT: ROW}
    found = find_readings(words, asked, allowed[asked], allowed)
    said = [(reading.quantity, reading.values) for reading in found]
    assert said == [(Quantity.RATE, (110.0,)), (Quantity.COUNT, (30.0,))]


def test_from_one_flow_to_another_is_no_row() -> None:
    flow = Range(10.0, 15.0, Unit.LITRES_PER_MINUTE)
    found = find_readings("turned down from ten to two", Quantity.FLOW, flow)
    assert [reading.values for reading in found] == [(2.0,)]
