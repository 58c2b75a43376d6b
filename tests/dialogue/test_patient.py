"""A scenario played: what is shown to who asks or acts, numbers that answer, things that happen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from bench_session import Run
from bench_skill import bench_skill

from coach.app.beginning import happenings_drawn
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.events import CONVERSATION
from coach.edges.skill_text import published_schema
from coach.procedure.scenario import Scenario
from coach.procedure.scenario_file import parse_scenario
from coach.session.ports import EarEvent

TEXT = """
id: bench-case
title: A case for the bench
skill: bench
dispatch: Ida Moor, forty, sits on a stool and breathes fast.
findings:
  - id: saturation
    asked: [saturation, oximeter]
    says: The oximeter shows {value} percent.
    value:
      quantity: saturation
      unit: "%"
      start: 84
      changes:
        - {after: fit, towards: 96, half-s: 30}
  - id: gauge
    shown-by: mount
    says: The gauge reads {value} P S I.
    value: {quantity: pressure, unit: psi, start: 1700}
  - id: lips
    asked: [lips, color/colour]
    says: The lips are blue.
    later:
      - {after: fit, says: The lips are pink.}
happenings:
  - id: low
    after: gloves
    starts: {gauge: 300}
  - id: water
    at-s: 40
    says: She asks for water.
  - id: torn
    after: mount
    reopens: [washer]
    says: The washer tears.
"""


def scenario(text: str = TEXT) -> Scenario:
    schema = published_schema("scenario.schema.json")
    found, problems = parse_scenario(text, "bench-case.scenario.yaml", schema, bench_skill())
    assert found is not None, problems
    return found


def run(
    *words: EarEvent | str | float, way: str = "assessed", happenings: tuple[str, ...] = ()
) -> Run:
    started: dict[str, Any] = {"way": way, "scenario": "bench-case", "happenings": happenings}
    return Run(*words, skill_file=replace(bench_skill(), scenario=scenario()), started=started)


def found(one: Run) -> list[str]:
    """What was said after the introduction, without the last line."""
    return one.voice.lines[3:-1]


def test_the_dispatch_is_said_before_the_beginning() -> None:
    """After the caution."""
    assert run().voice.lines[1] == "Ida Moor, forty, sits on a stool and breathes fast."


@pytest.mark.parametrize(
    "words",
    [
        "what's the saturation?",
        "what is her saturation",
        "okay coach tell me the oximeter",
        "can i have the saturation please",
    ],
)
def test_who_asks_is_told(words: str) -> None:
    """In the words people use, with or without a question mark."""
    assert found(run("I'm ready", words)) == ["The oximeter shows 84 percent."]


def test_nobody_is_told_what_was_not_asked() -> None:
    """Naming it is no question, nor is a question about something else."""
    assert found(run("I'm ready", "my gloves are on", "the saturation matters here")) == []
    assert found(run("I'm ready", "what is the weather")) == []


@pytest.mark.parametrize(
    "words",
    ["what's the pulse?", "is the chest rising", "so does he have any pain", "any allergies"],
)
def test_a_question_without_a_finding_is_answered_and_nothing_invented(words: str) -> None:
    """Silence would leave the learner waiting for an answer that nobody has."""
    assert found(run("I'm ready", words)) == [lines.NOTHING_KNOWN]
    assert found(run("I'm ready", "can you hold the head", "give me the blood pressure cuff")) == []


def test_an_attempt_of_before_is_played_again_without_that_answer() -> None:
    """Its journal comes to the same bytes."""
    old = {"way": "assessed", "scenario": "bench-case", "conversation": 1}
    case = replace(bench_skill(), scenario=scenario())
    assert found(Run("I'm ready", "how is her pulse?", skill_file=case, started=old)) == []


@pytest.mark.parametrize(("limit_s", "calls"), [(60.0, 0), (90.0, 1)])
def test_a_minute_that_ends_the_time_is_called_once(limit_s: float, calls: int) -> None:
    """ "Time: that was one minute" says it; "One minute gone" with it would say it twice."""
    started = {"way": "drill", "scenario": "bench-case", "limit_seconds": limit_s}
    case = replace(bench_skill(), scenario=scenario())
    said = Run("I'm ready", 100.0, skill_file=case, started=started).voice.lines
    assert sum("One minute gone" in line for line in said) == calls
    assert sum("Time: that was" in line for line in said) == 1


def test_the_number_answers_to_what_was_done() -> None:
    """Half of the way to 96 in each 30 seconds after the mask is on: 84, 90, 93."""
    one = run(
        "I'm ready", "the mask is on", "what's the saturation", 30.0, "and the saturation now?"
    )
    assert found(one)[0] == "The oximeter shows 84 percent."
    later = run("I'm ready", "the mask is on", 30.0, "what's the saturation")
    assert found(later) == ["The oximeter shows 90 percent."]
    latest = run("I'm ready", "the mask is on", 60.0, "what's the saturation")
    assert found(latest) == ["The oximeter shows 93 percent."]


DEGREES = """  - id: warmth
    asked: [temperature]
    says: The thermometer shows {value} degrees.
    value:
      quantity: temperature
      unit: °C
      start: 37.04
      changes:
        - {after: fit, towards: 35, half-s: 30}
  - id: sugar
    asked: [sugar]
    says: The meter shows {value}.
    value: {quantity: glucose, unit: mmol/L, start: 5.52}
  - id: area
    asked: [burn look]
    says: Half of the arm has blisters.
    value: {quantity: burned-area, unit: "%", start: 4.5, within: 1}
happenings:
"""


def measured(*words: EarEvent | str | float, conversation: int = CONVERSATION) -> Run:
    played = scenario(TEXT.replace("happenings:\n", DEGREES))
    started = {"way": "assessed", "scenario": "bench-case", "conversation": conversation}
    return Run(*words, skill_file=replace(bench_skill(), scenario=played), started=started)


def test_degrees_and_millimoles_are_shown_in_tenths() -> None:
    """As their meters show them: 37.0 is half of the way to 35 at 36.0 after thirty seconds."""
    words = ("I'm ready", "what's the temperature", "the mask is on", 30.0)
    one = measured(*words, "what's the temperature", "what is her sugar?")
    assert found(one) == [
        "The thermometer shows 37 degrees.",
        "The thermometer shows 36 degrees.",
        "The meter shows 5.5.",
    ]
    later = measured("I'm ready", "the mask is on", 10.0, "what's the temperature")
    # 35 + 2.04 / 2 ** (10 / 30) = 36.62
    assert found(later) == ["The thermometer shows 36.6 degrees."]
    old = measured("I'm ready", "what's her sugar?", conversation=2)
    assert found(old) == ["The meter shows 6."]


def test_what_is_to_be_estimated_is_remembered_and_not_said() -> None:
    """The learner sees the blisters, and not the percent."""
    one = measured("I'm ready", "how does the burn look")
    assert found(one) == ["Half of the arm has blisters."]
    [told] = one.state.told
    assert (told.quantity, told.value, told.within) == (Quantity.BURNED_AREA, 4.5, 1.0)


def test_what_is_said_changes_with_what_was_done() -> None:
    """Blue, then pink."""
    one = run("I'm ready", "what color are her lips", "the mask is on", "what color are her lips")
    assert found(one) == ["The lips are blue.", "The lips are pink."]


def test_an_act_shows_what_it_reveals_and_what_was_drawn_counts() -> None:
    """The gauge is seen once the regulator is on; it reads low where that was drawn."""
    words = ("I'm ready", "my gloves are on", "the washer is whole", "the regulator is on")
    assert found(run(*words)) == ["The gauge reads 1700 P S I."]
    assert found(run(*words, happenings=("low",))) == ["The gauge reads 300 P S I."]


def test_something_happens_at_its_time_once() -> None:
    """Only where it was drawn."""
    assert found(run("I'm ready", 120.0, happenings=("water",))) == ["She asks for water."]
    assert found(run("I'm ready", 120.0)) == []


def test_what_a_happening_opens_again_has_to_be_done_again() -> None:
    """The washer was looked at, and tears afterwards."""
    words = ("I'm ready", "the washer is whole", "the regulator is on")
    one = run(*words, happenings=("torn",))
    assert "The washer tears." in " ".join(found(one))
    assert one.done == ("mount",)
    again = run(*words, "the washer is whole", happenings=("torn",))
    assert set(again.done) == {"mount", "washer"}


MORE = """  - id: sick
    after: fit
    says: She pulls it off.
    complication: refused
    times: 3
    again-s: 30
  - id: thirst
    at-s: 40
    says: She is thirsty.
    times: 2
    again-s: 25
"""


def more(*words: EarEvent | str | float, happenings: tuple[str, ...], way: str = "drill") -> Run:
    played = scenario(TEXT + MORE)
    started: dict[str, Any] = {"way": way, "scenario": "bench-case", "happenings": happenings}
    return Run(*words, skill_file=replace(bench_skill(), scenario=played), started=started)


SWAPPED = ("the mask is on", "i swapped the mask for the cannula")


@pytest.mark.parametrize("times", [1, 2, 3])
def test_what_was_drawn_more_often_comes_again_once_it_was_dealt_with(times: int) -> None:
    rest: tuple[str | float, ...] = (31.0, SWAPPED[1]) * 3
    played = more("I'm ready", *SWAPPED, *rest, happenings=("sick",) * times)
    assert played.state.happened == ("sick",) * times
    assert "swap" in played.done
    once = more("I'm ready", *SWAPPED, 31.0, happenings=("sick",) * times)
    assert ("swap" in once.done) is (times == 1)


def test_what_was_not_dealt_with_does_not_come_again() -> None:
    played = more("I'm ready", "the mask is on", 120.0, 120.0, happenings=("sick", "sick"))
    assert played.state.happened == ("sick",)


def test_what_brings_nothing_comes_again_after_its_seconds() -> None:
    one = more("I'm ready", 64.0, happenings=("thirst", "thirst"), way="assessed")
    assert found(one) == ["She is thirsty."]
    two = more("I'm ready", 300.0, happenings=("thirst", "thirst"), way="assessed")
    assert found(two) == ["She is thirsty."] * 2
    drawn_once = more("I'm ready", 300.0, happenings=("thirst",), way="assessed")
    assert found(drawn_once) == ["She is thirsty."]


def test_how_often_is_drawn_by_the_chance_and_the_seed() -> None:
    text = TEXT + MORE.replace("    times: 3", "    times: 3\n    chance: 0.5")
    draws = [happenings_drawn(scenario(text), seed).count("sick") for seed in range(4000)]
    assert draws == [happenings_drawn(scenario(text), seed).count("sick") for seed in range(4000)]
    # of one half each time: never 1/2, once 1/4, twice 1/8, three times 1/8; 4 standard errors
    for times, share in enumerate((0.5, 0.25, 0.125, 0.125)):
        error = (share * (1 - share) / len(draws)) ** 0.5
        assert abs(draws.count(times) / len(draws) - share) < 4 * error


def test_a_question_credits_no_step() -> None:
    """ "Is the mask on?" is not the word that it is."""
    assert run("I'm ready", "what color are the lips, is the mask on").done == ()


def test_the_coach_is_the_clock_in_a_drill() -> None:
    """Each minute is called."""
    one = run("I'm ready", 125.0, way="drill")
    assert found(one) == ["One minute gone.", "Two minutes gone."]


@pytest.mark.parametrize(
    ("changed", "instead", "message"),
    [
        ("after: fit, says", "after: fitt, says", "bench has no step 'fitt'"),
        ("shown-by: mount", "shown-by: mounted", "bench has no step 'mounted'"),
        ("starts: {gauge: 300}", "starts: {gauges: 300}", "no finding 'gauges' has a value"),
        ("    at-s: 40\n", "", "needs one of the two: 'after' a step, or 'at-s' seconds"),
        ("says: The lips are blue.", "says: The lips are {value}.", "has no value"),
        ("unit: psi, start", "unit: L/min, start", "pressure is not given in L/min"),
        ("asked: [lips, color/colour]\n    ", "", "nobody can find 'lips'"),
        ("id: torn", "id: water", "there are two happenings 'water'"),
        ("    at-s: 40\n", "    at-s: 40\n    times: 2\n", "both 'times' and 'again-s'"),
        ("    at-s: 40\n", "    at-s: 40\n    again-s: 9\n", "both 'times' and 'again-s'"),
        ("start: 84", "start: 840", "saturation goes from 35 to 100 %, and 840 is not within that"),
        ("towards: 96", "towards: 196", "goes from 35 to 100 %, and 196 is not within that"),
        ("{gauge: 300}", "{gauge: 30000}", "pressure goes from 0 to 4800 psi, and 30000 is not"),
        ("psi, start: 1700", "psi, start: 1700, within: 50", "nobody estimates what was told"),
        (
            "pressure, unit: psi, start: 1700",
            "temperature, unit: °F, start: 36.6",
            "temperature goes from 55.4 to 115.7 °F, and 36.6 is not within that",
        ),
        (
            "pressure, unit: psi, start: 1700",
            "weight, unit: °C, start: 36.6",
            "weight is not given in °C: use kg, lb.",
        ),
        (
            "pressure, unit: psi, start: 1700",
            "weight, unit: lb, start: 980",
            "weight goes from 4.4092 to 771.62 lb, and 980 is not within that",
        ),
        (
            "pressure, unit: psi, start: 1700",
            "burned-area, unit: '%', start: 140",
            "burned-area goes from 0 to 100 %, and 140 is not within that",
        ),
    ],
)
def test_mistakes_are_told_with_their_line(changed: str, instead: str, message: str) -> None:
    """What a schema cannot see."""
    assert changed in TEXT
    schema = published_schema("scenario.schema.json")
    text = TEXT.replace(changed, instead)
    found_, problems = parse_scenario(text, "bench-case.scenario.yaml", schema, bench_skill())
    assert found_ is None
    assert any(message in problem.message for problem in problems), problems
    assert all(problem.line > 1 for problem in problems)


def test_what_was_due_in_a_pause_comes_after_it() -> None:
    """She asks for water at 40 seconds; the pause was from 20 to 80."""
    one = run("I'm ready", 20.0, "wait", 60.0, "go on", 5.0, happenings=("water",))
    assert found(one) == ["Paused. Say go on when you are ready.", "She asks for water."]


def test_a_pause_does_not_end_the_calling_of_minutes() -> None:
    """The minute that fell into it is not called, the next one is."""
    words = ("I'm ready", 50.0, "wait", 20.0, "go on", 60.0)
    assert found(run(*words, way="drill")) == [
        "Paused. Say go on when you are ready.",
        "Two minutes gone.",
    ]


def test_what_happens_by_itself_happens_again_after_a_start_anew() -> None:
    """As long after it as after the first beginning."""
    words = ("I'm ready", 50.0, "start over", 39.0, "my gloves are on", 2.0)
    one = run(*words, way="recall", happenings=("water",))
    said = [line for line in found(one) if line in {"She asks for water.", "From the start."}]
    assert said == ["She asks for water.", "From the start.", "She asks for water."]
    assert one.events("happened") == [{"happening": "water"}] * 2


def test_what_was_to_come_once_more_in_a_pause_comes_after_it() -> None:
    """At 40 seconds, and 25 after that, which fell into the pause."""
    words = ("I'm ready", 45.0, "wait", 40.0, "go on", 30.0)
    one = more(*words, happenings=("thirst", "thirst"), way="recall")
    assert one.events("happened") == [{"happening": "thirst"}] * 2
