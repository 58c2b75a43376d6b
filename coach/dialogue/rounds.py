"""Steps that are done again and again: opened anew until it was often or long enough."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.oxygen import forget_numbers
from coach.dialogue.state import Round, State
from coach.dialogue.turn import Turn
from coach.procedure.model import Repeat, Step


def next_round(turn: Turn) -> None:
    """Open the steps of a repeat anew once all are done, while more rounds are due."""
    for repeat in turn.state.skill.repeats:
        round_ = _round(turn.state, repeat)
        if round_ is None or not set(repeat.steps) <= turn.state.done:
            continue
        over = repeat.for_s and turn.state.at_s - round_.begun_s >= repeat.for_s
        if round_.number >= repeat.times or over:
            continue
        _open(turn, repeat, Round(repeat.id, round_.number + 1, round_.begun_s))
        return


def begin_rounds(turn: Turn, step: Step) -> None:
    """A step is begun or done: with it the first round of each repeat that it belongs to."""
    for repeat in turn.state.skill.repeats:
        if step.id in repeat.steps and _round(turn.state, repeat) is None:
            first = Round(repeat.id, 1, turn.state.at_s)
            turn.state = replace(turn.state, rounds=(*turn.state.rounds, first))


def _round(state: State, repeat: Repeat) -> Round | None:
    """The round that a repeat is in; None before its first step."""
    return next((found for found in state.rounds if found.repeat == repeat.id), None)


def _open(turn: Turn, repeat: Repeat, round_: Round) -> None:
    forget_numbers(turn, repeat.steps)
    state = turn.state
    turn.state = replace(
        state,
        credits=tuple(credit for credit in state.credits if credit.step not in repeat.steps),
        skipped=tuple(step for step in state.skipped if step not in repeat.steps),
        timed=tuple(step for step in state.timed if step not in repeat.steps),
        rounds=(*(r for r in state.rounds if r.repeat != repeat.id), round_),
        last_credited=(),
        aloud_asked=None,
        focus=None,
        asked=None,
    )
    turn.note("round", repeat=repeat.id, number=round_.number, times=repeat.times)
    turn.go_on(lines.round_begins(repeat, round_.number))
