"""A bad finding or number that the learner tells brings the steps of its complication."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.report.attempt import Way

STEPS = """steps:
  - id: clear
    name: the clearing
    say: Clear the mouth.
    why: Air has to pass.
    how: Turn the head and suction.
    heard-as: {phrases: [i cleared the mouth], keys: [cleared/clear mouth]}
    complication: blocked
  - id: look
    name: the look
    say: Look into the mouth.
    why: What lies there blocks the air.
    how: Open it and look.
    heard-as: {phrases: [nothing is in the way], keys: [airway open/free], absent: [vomit]}
    found: Then clear it first.
    brings: blocked
    after:
      - {step: clear, because: air has to pass, safety: true}
"""
COMES = """complications:
  - id: blocked
    after: gloves
    announce: The patient throws up.
    reopens: [look]
    sources: [common]
"""


def run(*words: str, complications: tuple[str, ...] = ()) -> Run:
    text = TEXT.replace("steps:\n", STEPS, 1).replace("complications:\n", COMES, 1)
    return Run("let's go", *words, complications=complications, skill_file=bench_skill(text))


def test_what_is_found_opens_its_steps_and_is_not_announced() -> None:
    played = run("there is vomit", "the airway is open", "i cleared the mouth", "airway is open")
    assert played.reply_to(1) == "Then clear it first. Clear the mouth."
    assert "First the clearing" in played.reply_to(2)
    assert played.done == ("clear", "look")


def test_what_is_not_found_opens_nothing() -> None:
    played = run("there is no vomit")
    assert played.done == ("look",)
    assert "clear" not in [step.id for step in played.state.skill.steps]


def test_the_look_is_done_with_its_finding_where_nothing_opens_it_again() -> None:
    text = TEXT.replace("steps:\n", STEPS, 1)
    text = text.replace("complications:\n", COMES.replace("reopens: [look]", "reopens: []"), 1)
    first = "    after:\n      - {step: clear, because: air has to pass, safety: true}\n"
    played = Run("let's go", "there is vomit", skill_file=bench_skill(text.replace(first, "", 1)))
    assert played.done == ("look",)
    assert played.reply_to(1).startswith("Then clear it first. Clear the mouth.")
    waits = Run("let's go", "there is vomit", skill_file=bench_skill(text))
    assert waits.done == ()


def test_found_again_it_is_only_said_what_to_do() -> None:
    played = run("there is vomit", "i cleared the mouth", "there is vomit")
    assert played.reply_to(3).startswith("Then clear it first.")
    assert played.done == ("clear",)


def test_what_was_found_is_not_drawn_any_more() -> None:
    played = run("there is vomit", "my gloves are on", complications=("blocked",))
    assert "throws up" not in played.reply_to(2)
    drawn = run("my gloves are on", complications=("blocked",))
    assert "The patient throws up." in drawn.reply_to(1)


NUMBER = """    readings:
      - name: saturation
        quantity: saturation
        unit: "%"
        low: "{no-fact.50}"
        high: "{no-fact.100}"
        bad-below: "{no-fact.94}"
        ask: What is the saturation?
        sources: [common]
"""


def measured(*words: str) -> Run:
    first = "    after:\n      - {step: clear, because: air has to pass, safety: true}\n"
    text = TEXT.replace("steps:\n", STEPS.replace(first, NUMBER, 1), 1)
    text = text.replace("complications:\n", COMES.replace("reopens: [look]", "reopens: []"), 1)
    return Run("let's go", *words, skill_file=bench_skill(text))


def test_a_bad_number_stands_and_brings_what_follows() -> None:
    played = measured("the airway is open", "ninety three percent", "yes")
    assert played.done == ("look",)
    assert played.reply_to(3).startswith("Then clear it first. Clear the mouth.")
    assert measured("the airway is open", "93 percent", "yes", "i cleared the mouth").done == (
        "look",
        "clear",
    )


@pytest.mark.parametrize("number", ["ninety four percent", "ninety nine percent"])
def test_a_good_number_brings_nothing(number: str) -> None:
    played = measured("the airway is open", number, "yes")
    assert played.done == ("look",)
    assert "clear" not in [step.id for step in played.state.skill.steps]


def test_a_number_that_is_taken_back_before_it_stands_brings_nothing() -> None:
    played = measured("the airway is open", "eighty six percent", "no", "ninety six percent", "yes")
    assert played.done == ("look",)
    assert "clear" not in [step.id for step in played.state.skill.steps]


def test_where_nobody_is_led_a_bad_number_brings_it_too() -> None:
    first = "    after:\n      - {step: clear, because: air has to pass, safety: true}\n"
    text = TEXT.replace("steps:\n", STEPS.replace(first, NUMBER, 1), 1)
    text = text.replace("complications:\n", COMES.replace("reopens: [look]", "reopens: []"), 1)
    alone = {"way": Way.ASSESSED}
    played = Run("go", "airway is open, 86 percent", skill_file=bench_skill(text), started=alone)
    assert played.done == ("look",)
    assert "clear" in [step.id for step in played.state.skill.steps]
    assert "Then clear it first." not in " ".join(played.voice.lines)


def open_now(played: Run) -> list[str]:
    done = {credit.step for credit in played.state.credits}
    return [step.id for step in played.state.skill.steps if step.id not in done]


_AFTER = "    after:\n      - {step: clear, because"
REOPENED = TEXT.replace("steps:\n", STEPS.replace(_AFTER, NUMBER + _AFTER, 1), 1).replace(
    "complications:\n", COMES, 1
)
"""The number has to be read anew once what it brought is done."""


@pytest.mark.parametrize("way", [Way.LED, Way.RECALL, Way.ASSESSED])
@pytest.mark.parametrize("again", ["no, ninety six", "sorry, it is ninety six percent"])
def test_what_a_wrong_number_brought_goes_with_it(way: Way, again: str) -> None:
    words = ["the airway is open, eighty six percent"]
    played = Run(
        *("let's go", *words, *(["yes"] if way is Way.LED else [])),
        *(again, *(["yes"] if way is Way.LED else [])),
        skill_file=bench_skill(REOPENED),
        started={"way": way.value},
    )
    assert "clear" not in [step.id for step in played.state.skill.steps]
    assert played.done == ("look",)
    assert [reading.values for reading in played.state.readings] == [(96.0,)]


def corrected(*words: str, complications: tuple[str, ...] = ()) -> Run:
    return Run(
        *("let's go", "the airway is open, eighty six percent", "yes", *words),
        skill_file=bench_skill(REOPENED),
        complications=complications,
    )


def test_it_is_said_that_there_is_no_need_any_more() -> None:
    played = corrected("no, ninety six", "yes")
    assert "Nine six, ninety-six percent" in played.reply_to(3)
    assert "Then there is no need any more for the clearing." in played.reply_to(4)


def test_until_the_other_number_stands_all_is_as_it_was() -> None:
    played = corrected("no, ninety six", "no")
    assert "clear" in open_now(played)
    assert "look" in open_now(played)


def test_a_number_as_bad_as_before_changes_nothing() -> None:
    played = corrected("no, eighty eight", "yes")
    assert {"clear", "look"} <= set(open_now(played))
    assert "First the clearing" in corrected("ninety six percent").reply_to(3)


def test_what_was_done_for_it_stays_done() -> None:
    played = corrected("i cleared the mouth", "no, it was ninety six percent", "yes")
    assert played.done == ("clear", "look")
    assert "clear" in [step.id for step in played.state.skill.steps]


def test_undone_it_takes_along_what_it_brought() -> None:
    played = corrected("I didn't do that")
    assert "clear" not in [step.id for step in played.state.skill.steps]
    assert played.done == ()


def test_what_was_drawn_may_still_come() -> None:
    played = corrected("no, ninety six", "yes", "my gloves are on", complications=("blocked",))
    assert "The patient throws up." in played.reply_to(5)
