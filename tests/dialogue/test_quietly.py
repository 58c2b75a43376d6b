"""A quiet coach: notes everything, leads and corrects nobody, hints only in recall."""

from __future__ import annotations

from typing import Any

from bench_session import Run

from coach.dialogue.lines import NO_HELP, NO_RESTART
from coach.edges.skill_files import load_skill
from coach.session.ports import EarEvent

RIGHT = (
    "I'm ready",
    "my gloves are on",
    "the washer is whole",
    "the regulator is on",
    "it reads seventeen hundred psi",
    "the flow is set, twelve liters a minute",
    "the mask is on",
    "suctioning",
    4.0,
    "out",
)
"""The bench skill from its first step to its last."""


def run(*words: EarEvent | str | float, way: str = "assessed", **more: Any) -> Run:
    """A session in that way."""
    return Run(*words, started={"way": way, **more})


def lines_of(one: Run) -> list[str]:
    """What the coach said after the introduction."""
    return one.voice.lines[2:]


def test_an_assessment_is_silent_from_the_beginning_to_its_end() -> None:
    """No step is named, nothing is credited aloud, no number is read back."""
    one = run(*RIGHT)
    assert set(one.done) == {"gloves", "washer", "mount", "gauge", "flow", "fit", "suction"}
    assert lines_of(one) == [
        "That is the end of this attempt. This is practice only, never patient care: local "
        "protocol and medical direction decide."
    ]


def test_the_first_sentence_has_the_caution_and_says_how_to_end() -> None:
    """So that the learner knows what the silence means."""
    one = run(*RIGHT, limit_seconds=300.0)
    assert "never patient care" in one.voice.lines[0]
    assert "I keep quiet" in one.voice.lines[1]
    assert "say finish" in one.voice.lines[1]
    assert "you have five minutes" in one.voice.lines[1]


def test_ready_again_amid_the_attempt_is_told_that_it_has_begun() -> None:
    """A "yes" begins it in silence; "say I'm ready to begin" then was not true any more."""
    one = run("yes", "I'm ready", "wait", "go on", "my gloves are on")
    assert lines_of(one)[0] == "The attempt is under way."
    assert not any("to begin" in line for line in lines_of(one))
    assert one.done == ("gloves",)


def test_a_wrong_order_is_noted_and_not_refused() -> None:
    """The regulator goes on before the washer was looked at: done, and judged afterwards."""
    one = run("I'm ready", "the regulator is on", "the washer is whole")
    assert one.done == ("mount", "washer")
    assert not any("first" in line.lower() for line in lines_of(one))


def test_a_bare_done_credits_nothing() -> None:
    """Nobody heard what was done: it is kept as unclear."""
    one = run("I'm ready", "done")
    assert one.done == ()
    assert one.events("unclear")[0]["steps"] == ["gloves"]


def test_a_number_is_corrected_without_its_unit() -> None:
    """What was said first does not stand any more."""
    one = run("the regulator is on", "it reads seven hundred psi", "no, seventeen hundred")
    (reading,) = one.summary.readings
    assert reading.values == (1700.0,)


def test_a_number_out_of_range_stands_as_it_was_said() -> None:
    """It is for the judgement to say that it is wrong."""
    one = run("the regulator is on", "the flow is set, four liters a minute")
    (reading,) = one.summary.readings
    assert reading.values == (4.0,)
    assert not reading.in_range
    assert "flow" in one.done


def test_help_is_refused_in_an_assessment() -> None:
    """Whatever it is asked by."""
    for words in ("next", "why", "how", "what's left", "help"):
        assert lines_of(run("I'm ready", words))[0] == NO_HELP, words
    assert lines_of(run("I'm ready", "start over"))[0] == NO_RESTART


def test_recall_hints_the_smallest_first() -> None:
    """What it is good for, its name, the sentence, then how; no more after that."""
    one = run("I'm ready", *["next"] * 4, way="recall")
    assert lines_of(one)[:4] == [
        "They keep you clean.",
        "Think of your gloves.",
        "Put on your gloves.",
        "Pull them over the wrists.",
    ]
    assert [data["level"] for data in one.events("hint")] == [1, 2, 3, 4]


def test_recall_hints_by_itself_after_the_pause_that_was_set() -> None:
    """Each further pause gives a larger hint; an assessment never does."""
    one = run("I'm ready", 31.0, way="recall", hint_seconds=10.0)
    assert lines_of(one)[:3] == [
        "They keep you clean.",
        "Think of your gloves.",
        "Put on your gloves.",
    ]
    assert not run("I'm ready", 300.0).events("hint")


def test_what_is_left_is_told_as_a_number_only() -> None:
    """The names would be the hints."""
    one = run("I'm ready", "my gloves are on", "what's left", way="recall")
    assert lines_of(one)[0] == "Six steps to go."


def test_the_time_is_called_once_and_the_attempt_goes_on() -> None:
    """What comes later is late; that is for the judgement."""
    one = run("I'm ready", 61.0, "my gloves are on", limit_seconds=60.0)
    assert lines_of(one)[0] == "Time: that was one minute."
    assert one.done == ("gloves",)


def test_the_first_safety_failure_ends_it_where_the_program_says_so() -> None:
    """The regulator before the washer."""
    one = run("I'm ready", "the regulator is on", "the washer is whole", safety_ends=True)
    assert one.done == ("mount",)
    assert one.events("ended-for-safety")


def test_what_the_patient_shows_is_said() -> None:
    """A complication comes as in any other way."""
    one = Run(
        "I'm ready", "the mask is on", complications=("refused",), started={"way": "assessed"}
    )
    assert "The patient pulls the mask off." in lines_of(one)


def test_this_is_real_silences_it_too() -> None:
    """With the reminder, and nothing after it."""
    one = run("I'm ready", "this is real", "my gloves are on")
    assert lines_of(one)[0] == "Call for help now."
    assert one.done == ()
    assert one.state.silenced


def test_the_coach_is_the_clock_of_a_count_and_nothing_more() -> None:
    """ "Go" and "stop counting" are said; what was counted and the rate are not read back."""
    skill_file = load_skill("vital-signs")
    step = next(s for s in skill_file.chosen({}).steps if s.count is not None)
    assert step.count is not None
    words = (
        "I'm ready",
        step.count.start.phrases[0],
        float(step.count.seconds) + 1,
        "I counted eight",
    )
    one = Run(*words, skill_file=skill_file, started={"skill": "vital-signs", "way": "assessed"})
    assert lines_of(one)[:2] == ["Go.", "Stop counting."]
    assert not any("a minute" in line for line in lines_of(one))
    rates = [reading for reading in one.summary.readings if reading.name == "rate"]
    assert rates[0].values == (8.0 * 60 / step.count.seconds,)


def test_a_rate_worked_out_alone_is_taken_as_it_is() -> None:
    """With the learner's own watch: for the only step in whose range it lies."""
    skill_file = load_skill("vital-signs")
    started = {"skill": "vital-signs", "way": "assessed"}
    said = ("I'm ready", "respirations are sixteen a minute")
    one = Run(*said, skill_file=skill_file, started=started)
    rates = {reading.step: reading for reading in one.summary.readings if reading.name == "rate"}
    assert rates["breaths"].values == (16.0,)
    assert rates["breaths"].in_range


def test_an_assessment_is_not_started_over_in_a_pause_either() -> None:
    """What was done before the pause stays done, and stays judged."""
    one = run("I'm ready", "my gloves are on", "wait", "start over", "go on")
    assert NO_RESTART in one.voice.lines
    assert one.done == ("gloves",)


def test_an_old_attempt_started_over_in_a_pause_comes_to_what_it_came_to() -> None:
    """Then the pause let it start over, and its result must stay the same for ever."""
    words = ("I'm ready", "my gloves are on", "wait", "start over", "go on")
    assert run(*words, conversation=1).done == ()


def test_a_pause_gives_no_help_in_an_assessment() -> None:
    """It is said, as it is outside of one."""
    one = run("I'm ready", "wait", "help")
    assert NO_HELP in one.voice.lines
