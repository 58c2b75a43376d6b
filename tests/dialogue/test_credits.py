"""What is credited, refused and taken back, step by step."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run

from coach.core.meaning import Kind, Meaning, StepMention
from coach.dialogue.effects import CutOff, Noted, Say
from coach.dialogue.engine import advance
from coach.dialogue.events import Heard
from coach.dialogue.state import Mode, State

UP_TO_MOUNT = ("gloves on, washer fine, regulator on",)
ALL_BUT_SUCTION = (
    *UP_TO_MOUNT,
    "1600 psi",
    "yes",
    "12 liters a minute",
    "yes",
    "mask is on",
)


def running(*words: str | float, **changes: object) -> State:
    state = replace(Run("I'm ready", *words).state, mode=Mode.RUNNING)
    return replace(state, **changes)  # type: ignore[arg-type]  # any field


def after(state: State, *mentions: StepMention) -> tuple[State, str, list[Noted], bool]:
    meaning = Meaning("words", Kind.STEP, steps=mentions)
    state, effects = advance(state, Heard(state.at_s + 1, meaning))
    said = " ".join(effect.text for effect in effects if isinstance(effect, Say))
    notes = [effect for effect in effects if isinstance(effect, Noted)]
    return state, said, notes, any(isinstance(effect, CutOff) for effect in effects)


def test_a_refusal_for_safety_cuts_in_one_for_order_does_not() -> None:
    _, said, notes, cut = after(running(), StepMention("mount"))
    assert said == "First the washer, because a bad washer leaks."
    assert cut and notes[0].data == {"step": "mount", "needs": "washer", "safety": True}
    _, said, notes, cut = after(running("the washer is whole"), StepMention("mount"))
    assert said == "First your gloves, because hands stay clean."
    assert not cut and notes[0].data["safety"] is False


def test_both_in_one_breath_in_the_unsafe_order_credits_only_the_first_of_them() -> None:
    both = (StepMention("mount"), StepMention("washer"))
    state, said, _, cut = after(running("gloves on"), *both)
    assert state.done == {"gloves", "washer"}
    assert "First the washer, then the regulator, because a bad washer leaks." in said
    assert (cut, state.asked) == (True, "mount")
    state, said, _, _ = after(running(), *both)
    assert state.done == {"washer"}
    assert "First your gloves" in said, "what is to be done next is told before the order"


def test_two_refusals_are_told_of_in_one_sentence() -> None:
    _, said, notes, _ = after(running(), StepMention("mount"), StepMention("gauge"))
    assert said.count("First ") == 1
    assert [note.name for note in notes if note.name == "too-early"] == ["too-early", "too-early"]


def test_a_done_step_mentioned_again_is_neither_refused_nor_credited_twice() -> None:
    state = running(*UP_TO_MOUNT)
    state, _, _, _ = after(state, StepMention("gloves", denied=True))
    state, said, notes, _ = after(state, StepMention("mount"))
    assert notes == []
    assert "First your gloves" not in said
    assert sorted(credit.step for credit in state.credits) == ["mount", "washer"]


def test_a_step_that_the_settings_leave_out_is_passed_over() -> None:
    state, _, notes, _ = after(running(), StepMention("swap"), StepMention("gloves"))
    assert state.done == {"gloves"}
    assert [note.name for note in notes] == ["step-done"]


def test_a_step_named_without_its_choice_leaves_the_choice() -> None:
    state, _, notes, _ = after(running(), StepMention("fit"))
    assert (set(state.done), dict(state.choices)) == ({"fit"}, {})
    state, _, notes, _ = after(running(), StepMention("fit", choice="cannula"))
    assert dict(state.choices) == {"device": "cannula"}
    assert notes[0].data == {"setting": "device", "option": "cannula"}
    state, _, notes, _ = after(state, StepMention("fit", choice="cannula"))
    assert notes == []
    state, _, notes, _ = after(state, StepMention("fit"))
    assert (dict(state.choices), notes) == ({"device": "cannula"}, [])


def test_a_choice_named_with_another_step_sets_nothing() -> None:
    state, _, _, _ = after(running(), StepMention("gloves", choice="cannula"))
    assert dict(state.choices) == {}


def test_a_denial_of_an_open_step_says_that_it_is_still_to_do() -> None:
    state, said, notes, _ = after(running(), StepMention("fit", denied=True))
    assert said.startswith("All right, still to do: the fit.")
    assert (state.asked, notes[0].name) == ("fit", "step-denied")


def test_a_bad_finding_says_what_to_do_and_leads_nowhere_else() -> None:
    state, said, notes, _ = after(running(), StepMention("washer", denied=True, found=True))
    assert said == "Turn it in the light."
    assert (state.asked, notes[0].name) == ("washer", "finding")


def test_a_bad_finding_takes_the_step_back_unless_others_were_built_upon_it() -> None:
    finding = StepMention("washer", denied=True, found=True)
    state, _, notes, _ = after(running("gloves on, washer fine"), finding)
    assert state.done == {"gloves"}
    state, _, notes, _ = after(running(*UP_TO_MOUNT), finding)
    assert state.done == {"gloves", "washer", "mount"}
    assert [note.name for note in notes] == ["finding"]
    left_out = running("skip it", "washer fine, regulator on")
    finding = StepMention("gloves", denied=True, found=True)
    assert after(left_out, finding)[0].asked == "gloves", "what is not done is to be looked at"


def test_done_again_is_believed_where_it_should_have_been_said_aloud() -> None:
    state = running("gloves on")
    meaning = Meaning("done", Kind.ANSWER, answer="yes", done_said=True)
    asked, _ = advance(state, Heard(state.at_s + 1, meaning))
    assert asked.aloud_asked == "washer"
    state, _ = advance(asked, Heard(asked.at_s + 1, meaning))
    assert "washer" in state.done
    told, _, notes, _ = after(asked, StepMention("washer"))
    assert "washer" in told.done
    assert [note.name for note in notes] == ["step-done"], "it was said aloud"


def test_undo_takes_back_all_that_one_breath_credited() -> None:
    run = Run("my gloves are on", "washer fine, regulator on", "undo")
    assert run.done == ("gloves",)


def test_the_end_counts_what_was_out_of_order() -> None:
    run = Run(*ALL_BUT_SUCTION, "suctioning", 5.0, "out")
    assert "All 7 steps done in about 1 minute. " in run.reply_to(7)
    early = Run("the washer is whole", *ALL_BUT_SUCTION, 110.0, "suctioning", 5.0, "out")
    assert "All 7 steps done in about 2 minutes, 1 out of the suggested order." in early.reply_to(8)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["my gloves are on"], "Ended with 1 step done; missed: the washer, the regulator,"),
        (["gloves on, washer fine"], "Ended with 2 steps done; missed: the regulator,"),
    ],
)
def test_an_early_end_says_what_was_done_and_missed(words: list[str], told: str) -> None:
    run = Run(*words, "stop", "yes")
    assert told in run.voice.lines[-1]
    assert run.events("ended") == [{"done": len(run.done), "missed": len(run.summary.missed)}]


def test_a_session_with_a_step_left_out_ends_by_itself() -> None:
    run = Run("skip it", *ALL_BUT_SUCTION[1:], "washer fine")
    assert run.state.mode is Mode.ENDED
    skipping = Run("I'm ready", *ALL_BUT_SUCTION, "skip it", "next")
    assert skipping.state.skipped == ("suction",)
    assert sum(name == "heard" for name, _ in skipping.observer.log) == 8


def test_a_complication_that_was_announced_comes_once() -> None:
    run = Run(*ALL_BUT_SUCTION, "swapped the mask", complications=("refused",))
    assert run.events("complication") == [{"complication": "refused", "reopened": ["flow"]}]
    assert run.state.choices == {"device": "cannula"}
    assert "flow" in run.summary.missed
