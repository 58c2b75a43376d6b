"""Scores: worked out from the learner's own numbers, and told when the last of them stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.state import DoubtScore, State
from coach.dialogue.turn import About, Turn
from coach.procedure.model import Scored, ScoreSpec, Step
from coach.procedure.numbers import Numbers
from coach.trade.birth_score import BirthScore, Sign, birth_score
from coach.trade.consciousness import ConsciousnessScore, consciousness_score
from coach.trade.questions import Question
from coach.trade.spoken_sums import birth_words, consciousness_words

Score = BirthScore | ConsciousnessScore


def whole_scores(state: State) -> list[tuple[Step, ScoreSpec, Score]]:
    """The scores all parts of which stand, with the step that has each."""
    found: list[tuple[Step, ScoreSpec, Score]] = []
    for step in state.skill.steps:
        spec = step.score
        if spec is None or not state.done.issuperset(spec.parts):
            continue
        if all(reading.accepted for reading in state.readings if reading.step in spec.parts):
            score = _worked_out(spec, _points(state, spec), state.skill_file.numbers)
            if not isinstance(score, Question):
                found.append((step, spec, score))
    return found


def score_words(score: Score) -> str:
    """A score as it is told."""
    return birth_words(score) if isinstance(score, BirthScore) else consciousness_words(score)


def tell_scores(turn: Turn, part: Step) -> None:
    """A step is done, or a number of it changed: tell the scores that are whole now."""
    state = turn.state
    for step in state.skill.steps:
        spec = step.score
        if spec is None or part.id not in spec.parts or not state.done.issuperset(spec.parts):
            continue
        if all(reading.accepted for reading in state.readings if reading.step in spec.parts):
            _tell(turn, step, spec)


def _tell(turn: Turn, step: Step, spec: ScoreSpec) -> None:
    """Tell the sum; where it is odd, ask about it before anything else."""
    score = _worked_out(spec, _points(turn.state, spec), turn.state.skill_file.numbers)
    if isinstance(score, Question):
        turn.say(score.words)
        return
    turn.note("score-told", step=step.id, of=str(spec.of), total=score.total)
    turn.say(score_words(score), About.COUNT)
    if score.check is not None and not turn.state.quiet:
        turn.say(score.check.words)
        turn.state = replace(turn.state, pending=DoubtScore(lines.SCORE_AGAIN))


def _worked_out(spec: ScoreSpec, points: Mapping[str, float], numbers: Numbers) -> Score | Question:
    if spec.of is Scored.BIRTH:
        signs = {sign: points[sign] for sign in Sign if sign in points}
        return birth_score(signs, spec.minute, numbers.birth)
    eye, verbal, motor = (points.get(part) for part in ("eye", "verbal", "motor"))
    return consciousness_score(eye, verbal, motor, numbers.consciousness, spec.scale)


def _points(state: State, spec: ScoreSpec) -> dict[str, float]:
    return {
        reading.name: reading.values[0] for reading in state.readings if reading.step in spec.parts
    }
