"""Minutes of oxygen: told when they can be known, and taken back with the numbers behind them.

The bench cylinder is a D with 0.16 liters a psi and a reserve of 200 psi, so 1700 psi last
(1700 - 200) x 0.16 / 10 = 24 minutes at 10 liters a minute.
"""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT

from coach.dialogue.effects import Say
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, InputEnded, SessionResumed
from coach.dialogue.moment import context_of
from coach.dialogue.state import State
from coach.edges.skill_text import published_schema
from coach.language.understand import understand
from coach.procedure.parse import parse_skill
from coach.procedure.skill_file import SkillFile

MOUNTED = ("gloves on, washer fine, regulator on",)
READ = (*MOUNTED, "1700 psi", "yes")
FLOWS = (*READ, "ten liters a minute", "yes")
HOW_LONG = "how long have I got"
NEEDS = "I need the pressure and the flow"
FLOW_CLOSED = """
  - id: flow-closed
    name: closing the flow
    say: Turn the flow off.
    why: It saves oxygen.
    how: Turn it to zero.
    heard-as: {phrases: [the flow is turned off], keys: [closed flow]}
"""
PLAN = """
      - name: intended-flow
        quantity: flow
        unit: L/min
        low: "{no-fact.1}"
        high: "{no-fact.15}"
        ask: What flow do you intend?
        sources: [common]
"""


def changed_skill(before: str, added: str) -> SkillFile:
    """The bench skill with something more before a line of its text."""
    assert TEXT.count(before) == 1
    text = TEXT.replace(before, added + before)
    parsed = parse_skill(text, "bench.yaml", published_schema("skill.schema.json"))
    assert parsed.skill_file is not None, parsed.problems
    return parsed.skill_file


def with_closing() -> SkillFile:
    return changed_skill("  - id: suction\n", FLOW_CLOSED.lstrip("\n"))


def with_plan() -> SkillFile:
    return changed_skill("  - id: flow\n", PLAN.lstrip("\n"))


def last(run: Run) -> str:
    return run.reply_to(sum(name == "heard" for name, _ in run.observer.log) - 1)


def test_minutes_are_told_once_both_numbers_stand() -> None:
    run = Run(*FLOWS)
    assert "twenty-four minutes of oxygen at ten liters" in last(run)
    assert run.events("oxygen") == [{"minutes": 24, "flow": 10.0}]


def test_the_reserve_is_told_in_the_unit_of_the_gauge_as_a_gauge_shows_it() -> None:
    # 200 psi are 13.79 bar (NIST SP 811, appendix B.8), and no gauge has hundredths.
    in_bar = Run(*MOUNTED, "one hundred fifteen bar", "yes", "ten liters a minute", "yes")
    assert "keeping thirteen point eight bar in reserve" in last(in_bar)
    assert "keeping two hundred P S I in reserve" in last(Run(*FLOWS))


def test_both_numbers_in_one_breath_are_told_of_once() -> None:
    run = Run(*MOUNTED, "1700 psi and ten liters a minute", "yes")
    assert last(run).count("minutes of oxygen") == 1
    assert run.done[-2:] == ("gauge", "flow")


def test_without_the_numbers_the_coach_says_what_it_needs() -> None:
    assert NEEDS in last(Run(*MOUNTED, HOW_LONG))
    assert NEEDS in last(Run(*READ, HOW_LONG))
    assert NEEDS not in last(Run(*FLOWS, HOW_LONG))


def test_a_pressure_taken_back_takes_its_minutes_back() -> None:
    run = Run(*MOUNTED, "ten liters a minute", "yes", "1700 psi", "yes", "undo", HOW_LONG)
    assert "gauge" not in run.done
    assert NEEDS in last(run)
    assert run.summary.oxygen_minutes is None
    assert run.summary.readings == Run(*MOUNTED, "ten liters a minute", "yes").summary.readings


def test_a_flow_taken_back_takes_its_minutes_back_and_leaves_the_pressure() -> None:
    run = Run(*FLOWS, "undo", HOW_LONG)
    assert "flow" not in run.done
    assert NEEDS in last(run)
    assert run.summary.oxygen_minutes is None
    again = Run(*FLOWS, "undo", "fifteen liters a minute", "yes")
    assert "sixteen minutes of oxygen" in last(again)


def test_oxygen_used_before_the_flow_was_taken_back_stays_used() -> None:
    # Ten minutes at 10 L/min use 100 of 240 L; 140 L last fourteen minutes.
    run = Run(*FLOWS, 600.0, "undo", "ten liters a minute", "yes")
    assert "fourteen minutes of oxygen" in last(run)


def test_closing_the_flow_ends_the_minutes_and_undoing_it_brings_them_back() -> None:
    skill = with_closing()
    closed = Run(*FLOWS, "the flow is turned off", HOW_LONG, skill_file=skill)
    assert NEEDS in last(closed)
    assert closed.state.account is not None and closed.state.account.flow is not None
    assert closed.state.account.flow.litres_per_minute == 0
    # The flow ran on for the five minutes in which it was taken for closed: 240 - 50 L.
    words = (*FLOWS, "the flow is turned off", 300.0, "undo", HOW_LONG)
    assert "nineteen minutes of oxygen" in last(Run(*words, skill_file=skill))


def test_a_closing_without_a_flow_that_stands_leaves_none_when_it_is_undone() -> None:
    run = Run(*READ, "the flow is turned off", "undo", HOW_LONG, skill_file=with_closing())
    assert NEEDS in last(run)
    assert run.state.account is not None and run.state.account.flow is None


def test_a_plan_counts_until_it_is_taken_back_and_no_oxygen_runs() -> None:
    skill = with_plan()
    words = (*MOUNTED, "1700 psi", "yes", "ten liters a minute", "yes")
    planned = Run(*words, 600.0, HOW_LONG, skill_file=skill)
    assert "twenty-four minutes of oxygen" in last(planned)
    assert NEEDS in last(Run(*words, "undo", HOW_LONG, skill_file=skill))


def test_a_cylinder_at_its_reserve_is_to_be_changed_and_nothing_else_is_led_to() -> None:
    run = Run(*MOUNTED, "ten liters a minute", "yes", "two hundred psi", "yes")
    assert run.voice.lines[-2] == "Zero minutes above the reserve: change the cylinder."
    assert run.events("oxygen")[-1]["minutes"] == 0


def test_a_pressure_that_gets_low_is_told_when_asked() -> None:
    run = Run(*FLOWS, 1500.0, HOW_LONG)
    assert "Zero minutes above the reserve: change the cylinder." in last(run)


def resumed(run: Run, *words: str) -> tuple[State, str]:
    """The session gone on with after a break, and what is said to the last of the words."""
    state = new_state(run.state.skill_file)
    for event in run.journal.events:
        if not isinstance(event, InputEnded):
            state, _ = advance(state, event)
    state, effects = advance(state, SessionResumed(state.at_s))
    for text in words:
        heard = Heard(state.at_s + 1, understand(text, context_of(state)))
        state, effects = advance(state, heard)
    return state, " ".join(effect.text for effect in effects if isinstance(effect, Say))


def test_after_a_break_the_gauge_has_to_be_read_again() -> None:
    """Nobody knows for how long the oxygen ran on while the program was not there."""
    state, said = resumed(Run(*FLOWS), HOW_LONG)
    assert NEEDS in said
    assert state.done >= {"gauge", "flow"}
    _, said = resumed(Run(*FLOWS), "1200 psi", "yes")
    assert "sixteen minutes of oxygen" in said


@pytest.mark.parametrize("words", ["start over", "restart"])
def test_a_restart_forgets_the_oxygen_and_its_undoing_brings_it_back(words: str) -> None:
    run = Run(*FLOWS, words, HOW_LONG)
    assert NEEDS in last(run)
    assert run.summary.oxygen_minutes is None
    back = Run(*FLOWS, words, "undo", HOW_LONG)
    assert "twenty-four minutes of oxygen" in last(back)


def test_a_number_out_of_range_is_taken_only_when_the_same_one_is_insisted_on() -> None:
    run = Run(*READ, "four liters a minute", "yes", "four liters a minute", "yes")
    assert "flow" in run.done
    assert run.summary.readings[-1].in_range is False
    gauge = Run(*MOUNTED, "four thousand psi", "yes", "four thousand psi", "yes")
    assert "outside the usual range" in last(gauge)
    other = Run(*READ, "four liters a minute", "yes", "five liters a minute", "yes")
    assert "flow" not in other.done


def test_the_same_number_in_another_unit_is_another_number() -> None:
    four = ("four thousand psi", "yes")
    assert "gauge" in Run(*MOUNTED, *four, *four).done
    assert "gauge" not in Run(*MOUNTED, *four, "four thousand kilopascal", "no").done


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("the gauge reads 170", "one hundred seventy P S I; is that right?"),
        ("the gauge reads fifteen hundred", "fifteen hundred P S I; is that right?"),
        ("the gauge is at 15", "Fifteen P S I, or fifteen megapascals?"),
        ("the gauge reads nine thousand", "Nine thousand P S I, or nine thousand kilopascals?"),
        ("the gauge reads sixty hundred psi", "That cannot be: it goes from zero to"),
    ],
)
def test_a_later_gauge_without_its_unit_is_asked_about(words: str, asked: str) -> None:
    assert asked in Run("I'm ready", *FLOWS, words).reply_to(len(FLOWS) + 1)


def test_a_later_gauge_makes_other_minutes_only_after_a_yes() -> None:
    # (1500 - 200) x 0.16 / 10 is 20.8, told in whole minutes
    words = ("I'm ready", *FLOWS, "the gauge reads fifteen hundred")
    silent, affirmed = Run(*words, 3.0), Run(*words, "yes")
    assert "twenty minutes" not in silent.reply_to(len(words) - 1)
    assert "About twenty minutes of oxygen" in affirmed.reply_to(len(words))


def test_a_yes_to_which_unit_asks_again() -> None:
    played = Run("I'm ready", *FLOWS, "the gauge is at 15", "yes", "megapascals", "yes")
    assert played.reply_to(len(FLOWS) + 2) == played.reply_to(len(FLOWS) + 1)
    assert played.events("reading-stands")[-1]["unit"] == "MPa"


def test_a_journal_of_before_drops_a_later_gauge_without_its_unit() -> None:
    words = ("I'm ready", *FLOWS, "the gauge reads fifteen hundred", "yes")
    played = Run(*words, started={"conversation": 3})
    assert played.events("reading-stands")[0]["value"] == 1700.0
    assert len(played.events("reading-stands")) == 2
