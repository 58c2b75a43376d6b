"""Acts that must not happen: the coach warns at once and says why, and the report lists them."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from coach.core.meaning import StepMention
from coach.dialogue import lines
from coach.dialogue.state import Breach, State
from coach.dialogue.turn import About, Turn
from coach.procedure.model import Forbidden, Wrong


def forbidden_now(state: State) -> tuple[Forbidden, ...]:
    """The acts that must not happen at this moment."""
    return tuple(act for act in state.skill.forbidden if counts(act, state.done))


def counts(span: Forbidden | Wrong, done: Set[str]) -> bool:
    """Whether what counts from the end of one step until that of another counts now."""
    return (not span.begins or span.begins in done) and not (span.ends and span.ends in done)


def warn(turn: Turn, mentions: Sequence[StepMention]) -> bool:
    """Warn of each act that the learner says he does; false when none was spoken of at all.

    One that he says he does not do draws no word.
    """
    acts = {act.id: act for act in turn.state.skill.forbidden}
    now = {act.id for act in forbidden_now(turn.state)}
    spoken = [mention for mention in mentions if mention.step in acts]
    for mention in spoken:
        if mention.denied or mention.step not in now:
            continue
        act = acts[mention.step]
        breach = Breach(act.id, turn.state.at_s)
        turn.state = replace(
            turn.state, breaches=(*turn.state.breaches, breach), warned=(act.id, *turn.state.warned)
        )
        turn.note("must-not-happen", act=act.id)
        turn.urgent = True
        turn.say(lines.must_not(act), About.WARNING)
    return bool(spoken)


def take_back_warning(turn: Turn) -> bool:
    """Forget the acts of the last warning: the learner did not do them; false if there are none."""
    warned = turn.state.warned
    if not warned:
        return False
    names = [act.name for act in turn.state.skill.forbidden if act.id in warned]
    turn.state = replace(turn.state, breaches=turn.state.breaches[: -len(warned)], warned=())
    turn.note("warning-taken-back", acts=list(warned))
    turn.say(lines.sentence(f"taken back: {lines.listed(names)}"))
    return True
