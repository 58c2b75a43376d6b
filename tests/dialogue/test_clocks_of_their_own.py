"""Time that has to last, is told every so often, or runs on from a step."""

from __future__ import annotations

from typing import Any

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.hearing.hypothesis import Hypothesis
from coach.language.times import names_a_time
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.report.summary import Count
from coach.session.ports import EarEvent, SpeechBegan, TextHeard

BLEEDING = """steps:
  - id: pressure
    name: the pressure
    say: Press on it, and do not look.
    why: A clot needs time.
    how: With the heel of your hand.
    heard-as: {phrases: [i pressed on it], keys: [pressed on]}
    clock:
      least-s: "{no-fact.180}"
      calls-every-s: "{no-fact.60}"
      start: {phrases: [pressing now]}
      end: {phrases: [letting go]}
      reached: Now look at it.
    sources: [common]
  - id: band
    name: the band
    say: Tighten the band, and call the time.
    why: Somebody has to know how long it was on.
    how: Look at a clock.
    heard-as: {phrases: [the band is tight], keys: [band tight/on]}
    since:
      says: the band has been on
      time-aloud: true
      calls-every-s: "{no-fact.120}"
    sources: [common]
"""


def skill() -> SkillFile:
    return bench_skill(TEXT.replace("steps:\n", BLEEDING, 1))


def run(*words: str | float) -> Run:
    return Run("I'm ready", *words, skill_file=skill())


def test_the_time_is_called_and_the_end_told() -> None:
    played = run("pressing now", 185.0, "letting go")
    calls = played.voice.lines[2:5]
    assert calls == ["One minute.", "Two minutes.", "Three minutes. Now look at it."]
    assert "That was three minutes and five seconds." in played.reply_to(2)
    assert played.done == ("pressure",)
    assert played.summary.clocks == (Count("pressure", 185.0, 0, 180),)
    assert not played.summary.clocks[0].under


PULSE = """steps:
  - id: pulse
    name: the pulse
    say: Feel for the pulse.
    why: It may be gone.
    how: At the neck.
    heard-as: {phrases: [i checked the pulse], keys: [checked pulse]}
    clock:
      limit-s: "{no-fact.10}"
      start: {phrases: [feeling for it]}
      end: {phrases: [there's a pulse]}
      over: Go on.
    sources: [common]
"""


def test_nobody_comes_out_of_what_only_ends() -> None:
    timed = bench_skill(TEXT.replace("steps:\n", PULSE, 1))
    played = Run("I'm ready", "done", "feeling for it", 7.0, "there's a pulse", skill_file=timed)
    asked = 'Say "feeling for it" as you start and "there\'s a pulse" at the end.'
    assert asked in played.reply_to(1)
    assert "That was seven seconds." in played.reply_to(3)
    late = Run("I'm ready", "feeling for it", 12.0, "there's a pulse", skill_file=timed)
    assert "That was twelve seconds; the limit is ten." in late.reply_to(2)


def test_a_look_or_feel_is_over_when_the_telling_of_it_begins_where_nobody_is_led() -> None:
    """A slow sentence is no slow hand; but what is counted in it was still going on."""

    def seconds(*words: EarEvent | str | float, **started: Any) -> float:
        text = TEXT.replace("steps:\n", PULSE, 1)
        way = {"way": "assessed", "ends_as_told": True, **started}
        run = Run("I'm ready", "feeling for it", *words, skill_file=bench_skill(text), started=way)
        return run.summary.clocks[0].seconds

    told = (9.0, SpeechBegan(), 3.0, "there's a pulse")
    assert seconds(*told) == 9.0
    assert seconds(*told, ends_as_told=False) == 12.0
    assert seconds(9.0, SpeechBegan(), 3.0, "nine ten, there's a pulse") == 12.0
    assert seconds(2.0, SpeechBegan(), TextHeard(Hypothesis("", 0.0)), 9.0, "there's a pulse") > 10
    way = {"way": "assessed", "ends_as_told": True}
    out = Run("I'm ready", "suctioning", 9.0, SpeechBegan(), 3.0, "out", started=way)
    assert out.summary.clocks[0].seconds == 12.0


def test_a_finding_stops_the_clock_and_credits_nothing() -> None:
    text = PULSE.replace("keys: [checked pulse]}", "keys: [no pulse], absent: [have pulse]}")
    text = text.replace("there's a pulse", "no pulse").replace(
        "how:", "found: Then wait.\n    how:"
    )
    timed = bench_skill(TEXT.replace("steps:\n", text, 1))
    played = Run("I'm ready", "feeling for it", 4.0, "I have a pulse", 9.0, skill_file=timed)
    assert played.state.clock is None and played.done == ()
    assert "Then wait." in played.reply_to(2) and "Go on." not in " ".join(played.voice.lines)
    ended = Run("I'm ready", "feeling for it", 4.0, "he has no pulse", skill_file=timed)
    assert ended.done == ("pulse",)
    assert "That was four seconds." in ended.reply_to(2)


def test_a_count_over_its_limit_is_given_up_once_another_step_is_done() -> None:
    timed = bench_skill(TEXT.replace("steps:\n", PULSE, 1))
    late = Run("I'm ready", "feeling for it", 12.0, "gloves on", 9.0, skill_file=timed)
    assert "Got it: your gloves. Feel for the pulse." in late.reply_to(2)
    assert late.events("clock-stopped") == [{"step": "pulse"}]
    soon = Run("I'm ready", "feeling for it", 4.0, "gloves on", 2.0, skill_file=timed)
    assert soon.events("clock-stopped") == []


def test_what_ended_too_early_is_not_done() -> None:
    played = run("pressing now", 40.0, "letting go")
    assert "That was forty seconds. It has to last three minutes." in played.reply_to(2)
    assert played.done == ()
    [count] = played.summary.clocks
    assert (count.under, count.over) == (True, False)
    assert count.as_text() == "40 s, less than the 180 s it has to last"
    assert run("pressing now", 40.0, "letting go", "pressing now", 180.0, "letting go").done == (
        "pressure",
    )


def test_it_does_not_end_by_itself_before_it_is_due() -> None:
    assert run("pressing now", 200.0, "letting go").done == ("pressure",)
    assert run("pressing now", 500.0).state.clock is None


def test_the_time_has_to_be_said() -> None:
    played = run("the band is on", "fourteen thirty two")
    assert played.reply_to(1) == "Say aloud what time it is by the clock."
    assert played.done == ("band",)
    assert run("the band is on at fourteen thirty two").done == ("band",)
    assert run("band on", "band on").events("time-not-said") == [{"step": "band"}] * 2


def test_how_long_it_has_been_on_is_told_when_asked_and_every_so_often() -> None:
    played = run("the band is tight, time is nine oh five", 125.0, 5.0, "how long have I got")
    assert "The band has been on for two minutes." in played.voice.lines
    assert "The band has been on for two minutes and ten seconds." in played.reply_to(2)


def test_a_pause_does_not_end_the_telling_of_what_runs_on() -> None:
    """Two minutes fell into the pause; four are told again."""
    played = run("the band is tight at ten fifteen", 100.0, "wait", 60.0, "go on", 85.0)
    assert "The band has been on for two minutes." not in played.voice.lines
    assert "The band has been on for four minutes." in played.voice.lines


def test_what_was_taken_back_runs_on_no_more() -> None:
    played = run("band tight at ten fifteen", "I didn't do that", 130.0)
    assert not any("has been on" in line for line in played.voice.lines)


# Times as the 24-hour clock of ISO 8601 allows them, in the words people say.
@pytest.mark.parametrize(
    "text",
    [
        "fourteen thirty two",
        "the time is nine oh five",
        "twelve hundred",
        "zero nine hundred",
        "half past two",
        "quarter to three",
        "three o'clock",
        "it's noon",
        "twenty three fifty nine",
        "fourteen hundred hours",
        "two fifteen",
        "twenty five past nine",
    ],
)
def test_a_time_is_heard(text: str) -> None:
    assert names_a_time(text)


@pytest.mark.parametrize(
    "text",
    ["the band is tight", "two turns", "fourteen seventy", "twenty five sixty", "at three", "half"],
)
def test_other_numbers_are_no_time(text: str) -> None:
    assert not names_a_time(text)


def test_what_runs_on_until_a_step_is_told_at_its_end_and_called_no_more() -> None:
    ends = BLEEDING.replace("      time-aloud: true\n", "      until: gloves\n")
    text = TEXT.replace("steps:\n", ends, 1)
    words = ("I'm ready", "the band is tight", 130.0, "my gloves are on", 300.0, "how long")
    played = Run(*words, skill_file=bench_skill(text))
    told = "The band has been on for two minutes and ten seconds."
    assert told in played.reply_to(2)
    said = [line for line in played.voice.lines if "has been on" in line]
    assert len(said) == 2
    assert "has been on" not in played.reply_to(3).removeprefix(told)


HELD_OUT = """  - id: arms
    name: the arms
    say: Have both arms held out, and say what they do.
    why: A weak one sinks.
    how: Palms up.
    heard-as: {phrases: [they stay level], keys: [arms level], absent: [arm sinks/sank]}
    clock:
      least-s: "{no-fact.10}"
      unless-found: true
      start: {phrases: [arms are out]}
      end: {phrases: [arms are down]}
      under: Too short.
    after:
      - {step: gloves, because: you hold them, safety: true}
    sources: [common]
"""


def held_out(*words: str | float, way: Way = Way.LED) -> Run:
    text = TEXT.replace("  - id: washer\n", HELD_OUT + "  - id: washer\n", 1)
    return Run(
        *("I'm ready", "my gloves are on", *words),
        skill_file=bench_skill(text),
        started={"way": way.value},
    )


@pytest.mark.parametrize("way", [Way.LED, Way.RECALL, Way.ASSESSED])
def test_a_finding_ends_what_has_to_last(way: Way) -> None:
    played = held_out("arms are out", 3.0, "the left arm sinks", way=way)
    assert played.done == ("gloves", "arms")
    assert played.summary.clocks == (Count("arms", 3.0, 0, 0),)
    assert not played.summary.clocks[0].under


@pytest.mark.parametrize("way", [Way.LED, Way.RECALL, Way.ASSESSED])
@pytest.mark.parametrize("words", ["no arm sinks", "they stay level", "arms are down"])
def test_without_a_finding_it_has_to_last(way: Way, words: str) -> None:
    assert held_out("arms are out", 3.0, words, way=way).done == ("gloves",)
    assert held_out("arms are out", 11.0, words, way=way).done == ("gloves", "arms")


def test_too_early_a_done_is_told() -> None:
    played = held_out("arms are out", 3.0, "done")
    assert "Too short." in played.reply_to(3)
    assert played.done == ("gloves",)
    assert held_out("arms are out", 11.0, "done").done == ("gloves", "arms")


def test_a_finding_needs_no_clock_but_what_comes_first() -> None:
    assert held_out("the left arm sinks").done == ("gloves", "arms")
    text = TEXT.replace("  - id: washer\n", HELD_OUT + "  - id: washer\n", 1)
    played = Run("I'm ready", "the left arm sinks", skill_file=bench_skill(text))
    assert "First your gloves" in played.reply_to(1)
    assert played.done == ()


def test_a_done_is_about_what_the_clock_runs_for() -> None:
    played = Run("I'm ready", "suctioning", 2.0, "done")
    assert played.state.clock is not None
    assert played.done == ()
