"""A total, or the parts of a score again, told otherwise than the learner's own points have it."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning
from coach.dialogue import lines
from coach.dialogue.impossible import BY_NAME_FROM
from coach.dialogue.points_in_a_row import parts_of
from coach.dialogue.scores import Score, score_words, whole_scores
from coach.dialogue.state import State
from coach.dialogue.turn import Turn
from coach.language.told_in_a_row import points_beside_names, totals_told
from coach.procedure.model import Scored, ScoreSpec, Step
from coach.trade.birth_score import POINTS_OF_SIGN, Sign
from coach.trade.consciousness import FULL_SCORE

Told = tuple[Step, Score]


def unlike_the_points(state: State, meaning: Meaning) -> Told | None:
    """The score of which another total or other parts are told than stand; None where none is.

    Where a score is taken twice, a total of either may be told.
    """
    if state.conversation < BY_NAME_FROM or not meaning.text:
        return None
    whole = whole_scores(state)
    if not whole:
        return None
    *_, (step, spec, score) = whole
    totals = totals_told(meaning.text, _most(spec))
    known = {each.total for _, _, each in whole}
    if score.total is not None and totals and known.isdisjoint(totals):
        return step, score
    reported = any(mention.step == step.id and not mention.denied for mention in meaning.steps)
    if reported and step.id not in state.done and _other_parts(state, spec, meaning):
        return step, score
    return None


def contradict_total(turn: Turn, unlike: Told) -> None:
    """Say what the learner's own points make; the report of the score is still to be given."""
    step, score = unlike
    turn.note("total-unlike-points", step=step.id, total=score.total)
    turn.say(lines.NOT_THE_SUM)
    turn.say(score_words(score))
    asked = step.id if step.id not in turn.state.done else turn.state.asked
    turn.state = replace(turn.state, asked=asked, pending=None, misses=0)
    turn.led = True


def _other_parts(state: State, spec: ScoreSpec, meaning: Meaning) -> bool:
    parts = parts_of(state, spec)
    told = points_beside_names(meaning.text, {each.name: names for _, each, names in parts})
    standing = {
        each.name: stands.values[0]
        for step, each, _ in parts
        if (stands := state.standing(step.id, each.name)) is not None
    }
    return any(standing.get(name, points) != points for name, points in told.items())


def _most(spec: ScoreSpec) -> int:
    return FULL_SCORE if spec.of is Scored.CONSCIOUSNESS else POINTS_OF_SIGN[1] * len(Sign)
