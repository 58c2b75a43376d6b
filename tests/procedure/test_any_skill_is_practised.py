"""Whatever lawful skill is written, the engine practises it: no event breaks a session."""

from __future__ import annotations

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from skill_samples import parsed
from test_skill_properties import skills

from coach.core.meaning import Command, Kind, Meaning
from coach.dialogue.effects import Finish, Say
from coach.dialogue.ending import summary_of
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Event, Heard, InputEnded, KeyPressed, SessionStarted, TimerFired
from coach.dialogue.moment import context_of
from coach.dialogue.state import Mode
from coach.language.understand import understand

SAID = (
    *("i'm ready", "yes", "no", "done", "next", "why", "how", "what's left", "go back", "skip it"),
    *(
        "i didn't do that",
        "1700 psi",
        "fifteen",
        "go",
        "out",
        "start over",
        "help",
        "wait",
        "go on",
    ),
)


@given(skills(), st.data())
@settings(max_examples=60)
def test_no_lawful_skill_breaks_a_session(written: dict[str, object], data: st.DataObject) -> None:
    skill_file = parsed(yaml.safe_dump(written, allow_unicode=True, sort_keys=False)).skill_file
    assert skill_file
    steps = written["steps"]
    assert isinstance(steps, list)
    own = [key for step in steps for key in step["heard-as"]["keys"]]
    state, _ = advance(new_state(skill_file), SessionStarted(0.0, skill_file.id))
    at_s = 0.0
    for _ in range(data.draw(st.integers(0, 15))):
        at_s += 1.0
        text = data.draw(st.sampled_from([*SAID, *own]))
        events: tuple[Event, ...] = (
            Heard(at_s, understand(text, context_of(state))),
            KeyPressed(at_s, "next"),
            TimerFired(at_s, "nudge"),
            TimerFired(at_s, "count"),
            TimerFired(at_s, "stand"),
        )
        event = data.draw(st.sampled_from(events))
        before = state
        state, effects = advance(state, event)
        assert (state, effects) == advance(before, event)
        for effect in effects:
            if isinstance(effect, Say):
                assert effect.text
                assert "{" not in effect.text
        if state.mode is Mode.ENDED:
            assert any(isinstance(effect, Finish) for effect in effects)
            break
    if state.mode is not Mode.ENDED:
        stop = Meaning("stop", Kind.COMMAND, command=Command.STOP, confidence=1.0)
        state, _ = advance(state, Heard(at_s + 1, stop))
        state, _ = advance(state, InputEnded(at_s + 2))
    assert state.mode is Mode.ENDED
    summary = summary_of(state)
    assert {*summary.done, *summary.missed} == {step.id for step in state.skill.steps}
    assert "never for patient care" in summary.as_text()
