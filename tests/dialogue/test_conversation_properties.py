"""Whatever is heard in whatever order, the conversation keeps its promises, in every skill."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.meaning import Command, Doubt, Kind, Meaning, Part, Reading, StepMention
from coach.core.units import UNITS_OF, Quantity
from coach.dialogue.effects import Finish, Listen, Say
from coach.dialogue.ending import summary_of
from coach.dialogue.engine import UnlawfulEventError, advance, new_state
from coach.dialogue.events import (
    Event,
    Heard,
    InputEnded,
    KeyPressed,
    SessionStarted,
    SpeechStarted,
    TimerFired,
)
from coach.dialogue.state import Mode, State
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.procedure.skill_file import SkillFile

SENTENCE_END = re.compile(r"[.?!](?= |$)")


@st.composite
def meanings(draw: st.DrawFn, skill_file: SkillFile) -> Meaning:
    """Anything that could be understood in a session of this skill."""
    steps = draw(
        st.lists(
            st.builds(
                StepMention,
                st.sampled_from(skill_file.step_ids),
                st.sampled_from([False, False, False, True]),
                st.sampled_from([Part.DONE, Part.DONE, Part.CLOCK_START, Part.CLOCK_END]),
            ),
            max_size=3,
            unique_by=lambda mention: mention.step,
        )
    )
    readings = draw(st.lists(_readings(), max_size=2))
    command = draw(st.none() | st.sampled_from([c for c in Command if c is not Command.QUIET]))
    answer = draw(st.sampled_from([None, None, "yes", "no"]))
    if command is not None and steps:
        command = None
    return Meaning(
        "words",
        Kind.STEP if steps else Kind.NONE,
        command,
        answer,
        tuple(steps),
        tuple(readings),
        likely=tuple(draw(st.lists(st.sampled_from(skill_file.step_ids), max_size=2, unique=True))),
    )


def _readings() -> st.SearchStrategy[Reading]:
    return st.sampled_from([q for q in Quantity if q is not Quantity.BLOOD_PRESSURE]).flatmap(
        lambda quantity: st.builds(
            Reading,
            st.just(quantity),
            st.tuples(st.floats(0, 3000, allow_nan=False)),
            st.sampled_from(UNITS_OF[quantity]),
            st.booleans(),
            st.none() | st.sampled_from(Doubt),
        )
    )


def events(skill_file: SkillFile) -> st.SearchStrategy[list[Event]]:
    """Random events, one second apart."""
    heard: st.SearchStrategy[Event] = meanings(skill_file).map(lambda meaning: Heard(0.0, meaning))
    other: st.SearchStrategy[Event] = st.sampled_from(
        [
            TimerFired(0.0, "stand"),
            TimerFired(0.0, "nudge"),
            TimerFired(0.0, "count"),
            KeyPressed(0.0, "yes"),
            KeyPressed(0.0, "next"),
            SpeechStarted(0.0),
        ]
    )
    return st.lists(heard | heard | other, max_size=40)


def at(event: Event, at_s: float) -> Event:
    """The same event at another time."""
    return replace(event, at_s=at_s)


def check_promises(state: State, effects: tuple[object, ...]) -> None:
    """What must hold after every event."""
    done_so_far: set[str] = set()
    for credit in state.credits:
        step = state.step(credit.step)
        if step is not None:
            open_first = {n.step for n in step.after if n.safety} - done_so_far
            taken_back = open_first - {c.step for c in state.credits}
            reopened = open_first & {c.step for c in state.credits}
            assert not open_first or taken_back or reopened, credit
        done_so_far.add(credit.step)
    assert len({credit.step for credit in state.credits}) == len(state.credits)
    assert not state.done & set(state.skipped)
    lines = [effect.text for effect in effects if isinstance(effect, Say)]
    announcements = [c.announce for c in state.skill.complications]
    for line in lines:
        rest = line
        for announcement in announcements:
            rest = rest.replace(announcement, "")
        assert len(SENTENCE_END.findall(rest)) <= 4, line
    if state.mode is Mode.ENDED:
        assert isinstance(effects[-1], Finish)


@pytest.mark.parametrize("skill_id", skill_ids())
@settings(max_examples=40)
@given(data=st.data())
def test_no_order_of_events_breaks_a_promise(skill_id: str, data: st.DataObject) -> None:
    skill_file = load_skill(skill_id)
    known = [complication.id for complication in skill_file.complications]
    came = data.draw(st.lists(st.sampled_from(known), max_size=1) if known else st.just([]))
    journal: list[Event] = [SessionStarted(0.0, skill_id, complications=tuple(came))]
    state, _ = advance(new_state(skill_file), journal[0])
    for second, event in enumerate(data.draw(events(skill_file)), start=1):
        happened = at(event, float(second))
        before = state
        try:
            state, effects = advance(state, happened)
        except UnlawfulEventError:
            assert state is before
            continue
        journal.append(happened)
        check_promises(state, effects)
    again = new_state(skill_file)
    for happened in journal:
        again, _ = advance(again, happened)
    assert again == state
    assert set(summary_of(state).done) | set(summary_of(state).missed) >= state.done


@pytest.mark.parametrize("skill_id", skill_ids())
def test_a_step_of_safety_is_never_credited_first(skill_id: str) -> None:
    skill_file = load_skill(skill_id)
    start = SessionStarted(0.0, skill_id)
    ready, _ = advance(new_state(skill_file), start)
    for step in ready.skill.steps:
        if not any(needed.safety for needed in step.after):
            continue
        mention = Meaning("words", Kind.STEP, steps=(StepMention(step.id),))
        state, effects = advance(ready, Heard(1.0, mention))
        assert step.id not in state.done
        said = " ".join(effect.text for effect in effects if isinstance(effect, Say))
        assert said.startswith("First "), (step.id, said)
        assert ", because " in said


@pytest.mark.parametrize("skill_id", skill_ids())
def test_the_coach_always_listens_until_the_end(skill_id: str) -> None:
    skill_file = load_skill(skill_id)
    state, effects = advance(new_state(skill_file), SessionStarted(0.0, skill_id))
    assert any(isinstance(effect, Listen) for effect in effects)
    state, effects = advance(state, Heard(1.0, Meaning("hm")))
    assert any(isinstance(effect, Listen) for effect in effects)
    state, effects = advance(state, InputEnded(2.0))
    assert state.mode is Mode.ENDED
    with pytest.raises(UnlawfulEventError):
        advance(state, Heard(3.0, Meaning("hello")))
