"""A recogniser writes no punctuation: every dialogue has to go as well without any."""

from __future__ import annotations

from dataclasses import replace

import pytest
from as_recognised import as_recognised
from dialogue_sessions import ALL, played

from coach.app.script import Exchange, Played, shortfalls
from coach.dialogue.ending import summary_of
from coach.procedure.dialogue_file import Dialogue

COUNTED = "counted aloud: no number is for the coach"
OTHERWISE = {
    "Twenty-eight, twenty-nine, thirty, breath, breath.": COUNTED,
    "Twenty nine thirty, the chest rises, one two.": COUNTED,
}
"""What is understood otherwise without its pauses, and why; the session goes the same."""


OTHER_ENDS = {
    "seconds and minutes at their edges": "the pauses let the knee be heard before the far hand, "
    "which was told before it; without them both come in their order",
}
"""Dialogues that end otherwise without pauses, and why."""


def without_punctuation(dialogue: Dialogue) -> Dialogue:
    """The dialogue as it is heard, not read."""
    turns = tuple(
        turn if turn.learner is None else replace(turn, learner=as_recognised(turn.learner))
        for turn in dialogue.turns
    )
    return replace(dialogue, turns=turns)


def outcome(exchange: Exchange, counted: bool) -> object:
    """What a turn led to: numbers, answers and commands, and the step that is waited for."""
    heard = [(m.command, m.answer, m.readings, m.done_said) for m in exchange.meanings]
    return exchange.step, None if counted else heard


def end_of(session: Played) -> object:
    """What a session came to; steps told in one breath come in the order of their words."""
    summary = summary_of(session.state)
    return (
        *map(frozenset, (summary.done, summary.missed, summary.out_of_order)),
        summary.readings,
        summary.forbidden,
    )


@pytest.mark.parametrize(
    ("skill", "dialogue"), ALL, ids=[f"{skill}: {dialogue.name}" for skill, dialogue in ALL]
)
def test_the_dialogue_goes_the_same_without_punctuation(skill: str, dialogue: Dialogue) -> None:
    written = played(skill, dialogue)
    bare = without_punctuation(dialogue)
    heard = played(skill, bare)
    found = [str(shortfall) for shortfall in shortfalls(heard)]
    for before, after in zip(written.exchanges, heard.exchanges, strict=False):
        counted = before.turn is not None and before.turn.learner in OTHERWISE
        if outcome(before, counted) != outcome(after, counted):
            line = before.turn.line if before.turn else dialogue.line
            found.append(f"line {line}: {outcome(before, counted)}, but {outcome(after, counted)}")
            break
    if dialogue.name not in OTHER_ENDS and end_of(heard) != end_of(written):
        found.append(f"line {dialogue.line}: {end_of(written)}, but in the end {end_of(heard)}")
    assert not found, "\n".join(f"{skill}.dialogues.yaml, {line}" for line in found)


def test_what_is_understood_otherwise_is_still_said_somewhere() -> None:
    said = {turn.learner for _, dialogue in ALL for turn in dialogue.turns}
    assert set(OTHERWISE) <= said
