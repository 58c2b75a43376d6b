"""A meter that shows HI or LO has no number to give: that is a finding, asked about no more."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.dialogue import lines
from coach.language.meters import Beyond, beyond_the_meter
from coach.report.attempt import Way

# A meter shows 10 to 600 mg/dL as numbers (user guide dario-meter in procedures/facts.yaml).
METER = """steps:
  - id: result
    name: the result
    say: Read the result aloud.
    why: It tells low sugar from the rest.
    how: Say number and unit.
    heard-as: {phrases: [i read the glucose], keys: [meter shows/says/reads]}
    readings:
      - name: glucose
        quantity: glucose
        unit: mg/dL
        low: "{no-fact.10}"
        high: "{no-fact.600}"
        ask: What does the meter show?
        outside: Look for another cause.
        sources: [common]
"""
LOW_ALONE = METER.replace("no-fact.600", "no-fact.70")


def run(*words: str, meter: str = METER, conversation: int = 4, way: Way = Way.LED) -> Run:
    started = {"conversation": conversation, "way": way.value}
    skill_file = bench_skill(TEXT.replace("steps:\n", meter, 1))
    return Run("I'm ready", *words, skill_file=skill_file, started=started)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("the meter says HI", lines.TOO_HIGH_TO_SHOW),
        ("it just reads high", lines.TOO_HIGH_TO_SHOW),
        ("the meter shows LO", lines.TOO_LOW_TO_SHOW),
        ("the display is LO", lines.TOO_LOW_TO_SHOW),
    ],
)
def test_hi_and_lo_are_findings_without_a_number(words: str, said: str) -> None:
    played = run(words)
    assert played.reply_to(1).startswith(said)
    assert played.done == ("result",)
    assert not played.events("reading-stands")


@pytest.mark.parametrize(
    "words", ["the sugar is low", "it is high", "that is low", "the meter says error"]
)
def test_a_judgment_is_no_number_and_is_asked_about(words: str) -> None:
    played = run(words)
    assert beyond_the_meter(words) is None
    assert "result" not in played.done


def test_what_a_step_does_not_look_for_is_said_first_and_stands_when_said_again() -> None:
    played = run("the meter says HI", "it says HI", meter=LOW_ALONE)
    assert played.reply_to(1) == "Look for another cause."
    assert played.reply_to(2).startswith(lines.OUTSIDE_NOTED)
    assert played.done == ("result",)
    assert run("the meter says LO", meter=LOW_ALONE).done == ("result",)


def test_a_number_told_with_it_counts_as_a_number() -> None:
    played = run("it reads low, forty eight", "yes")
    assert [one["value"] for one in played.events("reading-stands")] == [48.0]


def test_sessions_of_before_and_quiet_ones_wait_for_a_number() -> None:
    assert "result" not in run("the meter says HI", conversation=3).done
    assert "result" not in run("the meter says HI", way=Way.ASSESSED).done


def test_the_side_is_told_by_the_word_on_the_display() -> None:
    assert beyond_the_meter("the meter only says hi") is Beyond.ABOVE
    assert beyond_the_meter("it reads low") is Beyond.BELOW
    assert beyond_the_meter("it reads low enough") is None
