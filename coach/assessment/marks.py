"""The mark of each step: what it came to, with its points and the reason in a sentence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from coach.assessment.order import TurnedRound
from coach.assessment.rule import Rule
from coach.dialogue.state import State
from coach.procedure.model import Repeat, Step
from coach.report.attempt import (
    ORDER_UNSURE,
    Evidence,
    Mark,
    NumberResult,
    Spoken,
    StepResult,
    Tells,
)
from coach.report.summary import Count

ASSUMED = "Its pressure was assumed for a training cylinder: the step counts neither way."


@dataclass(frozen=True, slots=True)
class Facts:
    """All that the marks rest on.

    `done_s` is when each step was first done, in seconds from the beginning, `rounds` in how many
    rounds of its repeat, `unsaid` what was not said with a step that has to be said. `limit_s` is
    the time limit of the attempt, 0 for none. `not_made_out` is what the learner said that was
    heard badly and meant nothing, `garbled_rounds` the same for steps left out of a round;
    `weighs_doubt`: by the second method of weighing it.
    """

    state: State
    evidence: Mapping[str, tuple[Evidence, ...]]
    turned: Sequence[TurnedRound]
    numbers: Sequence[NumberResult]
    clocks: Mapping[str, Count]
    done_s: Mapping[str, float]
    rounds: Mapping[str, int]
    unsaid: Mapping[str, Sequence[str]]
    hints: Mapping[str, int]
    limit_s: float
    not_made_out: Sequence[Spoken] = ()
    garbled_rounds: Mapping[str, Spoken] = field(default_factory=dict)
    weighs_doubt: bool = False

    def name(self, step_id: str) -> str:
        """The name of a step for people."""
        step = self.state.step(step_id)
        return step.name if step else step_id


@dataclass(frozen=True, slots=True)
class _Judged:
    mark: Mark
    keeps: float
    why: str


def step_results(facts: Facts, rule: Rule) -> tuple[StepResult, ...]:
    """A result for each step of the skill as it stood at the end, in the suggested order."""
    skill = facts.state.skill
    needed_for_safety = {n.step for step in skill.steps for n in step.after if n.safety}
    results = []
    for step in skill.steps:
        safety = step.id in needed_for_safety
        worth = rule.safety_points if safety else rule.step_points
        hints = facts.hints.get(step.id, 0)
        judged = _judged(step, facts, rule)
        if any(number.assumed for number in facts.numbers if number.step == step.id):
            worth = 0.0  # nothing was read, so nothing is earned by it and nothing lost
            judged = replace(judged, why=f"{judged.why} {ASSUMED}".strip())
        keeps = judged.keeps * (rule.hints[min(hints, len(rule.hints)) - 1] if hints else 1.0)
        results.append(
            StepResult(
                step=step.id,
                name=step.name,
                mark=judged.mark,
                points=round(worth * keeps, 3),
                out_of=worth,
                at_s=facts.done_s.get(step.id),
                why=_with_hints(judged.why, hints),
                safety=safety,
                hints=hints,
                evidence=facts.evidence.get(step.id, ()),
            )
        )
    return tuple(results)


def _with_hints(why: str, hints: int) -> str:
    if not hints:
        return why
    given = "one hint" if hints == 1 else f"{hints} hints"
    return f"{why} After {given}." if why else f"After {given}."


def _judged(step: Step, facts: Facts, rule: Rule) -> _Judged:
    repeat = next((r for r in facts.state.skill.repeats if step.id in r.steps), None)
    rounds = facts.rounds.get(step.id, 0)
    if repeat is not None and rounds:
        due = _rounds_due(facts.state, repeat)
        if rounds < due:
            why = f"Done in {rounds} of {due} rounds."
            if (said := facts.garbled_rounds.get(step.id)) is not None:
                return _Judged(Mark.UNCLEAR, 0.0, f"{why[:-1]}, but {_not_made_out(said)}")
            return _Judged(Mark.MISSED, rounds / due, why)
    elif step.id not in facts.state.done:
        return _not_done(step, facts)
    sure = _surest(facts.evidence.get(step.id, ()))
    if sure < rule.sure_from:
        return _Judged(Mark.UNCLEAR, 0.0, f"Heard, but only {100 * sure:.0f} % sure.")
    return _done(step, facts, rule)


def _rounds_due(state: State, repeat: Repeat) -> int:
    """How many rounds there had to be: all, or those that fitted into its time."""
    reached = next((r.number for r in state.rounds if r.repeat == repeat.id), 1)
    begun_s = next((r.begun_s for r in state.rounds if r.repeat == repeat.id), state.at_s)
    over = repeat.for_s and state.at_s - begun_s >= repeat.for_s
    return reached if over else repeat.times


def _not_done(step: Step, facts: Facts) -> _Judged:
    """Missed, or unclear where something of it was heard and not taken back."""
    pieces = facts.evidence.get(step.id, ())
    heard = [p for p in pieces if p.tells is not Tells.HINT]
    clock = facts.clocks.get(step.id)
    if heard and heard[-1].tells in {Tells.DENIED, Tells.FOUND}:
        said = "said not to be done" if heard[-1].tells is Tells.DENIED else "found to be wrong"
        return _Judged(Mark.MISSED, 0.0, f'Last {said}: "{heard[-1].text}".')
    if clock is not None and clock.under:
        why = f"Ended after {clock.seconds:g} seconds; it has to last {clock.least_s}."
        return _Judged(Mark.MISSED, 0.0, why)
    timed = [p.tells for p in heard if p.tells in {Tells.BEGUN, Tells.ENDED}]
    if step.pace is not None and timed and timed[-1] is Tells.ENDED:
        why = f"It ended too soon; it has to last {step.pace.least_s} seconds."
        return _Judged(Mark.MISSED, 0.0, why)
    if step.readings and any(p.tells in {Tells.DONE, Tells.PERHAPS} for p in heard):
        return _Judged(Mark.UNCLEAR, 0.0, "Spoken of, but its number was not heard.")
    if any(p.tells is Tells.BEGUN for p in heard):
        return _Judged(Mark.UNCLEAR, 0.0, "Its beginning was heard, its end was not.")
    if heard:
        last = heard[-1]
        doubt = f', in doubt for "{last.doubted}"' if last.doubted else ""
        return _Judged(Mark.UNCLEAR, 0.0, f'Perhaps meant by: "{last.text}"{doubt}.')
    garbled = _perhaps_said(step, facts)
    if garbled is not None:
        return _Judged(Mark.UNCLEAR, 0.0, f"Not heard, but {_not_made_out(garbled)}")
    return _Judged(Mark.MISSED, 0.0, "Nothing was heard of it.")


def _not_made_out(said: Spoken) -> str:
    minutes, seconds = divmod(int(said.at_s), 60)
    return f'at {minutes}:{seconds:02d} something was not made out: "{said.text}".'


def _perhaps_said(step: Step, facts: Facts) -> Spoken | None:
    """What was not made out between the steps done before and after this one, in their order."""
    order = [each.id for each in facts.state.skill.steps]
    place = order.index(step.id)
    before = [facts.done_s[s] for s in order[:place] if s in facts.done_s]
    after = [facts.done_s[s] for s in order[place + 1 :] if s in facts.done_s]
    begin_s = before[-1] if before else 0.0
    end_s = after[0] if after else float("inf")
    if facts.weighs_doubt:
        # steps may have come in another order: what bounds the place is what lies nearest to it
        end_s = min(after, default=float("inf"))
        begin_s = max((at_s for at_s in before if at_s <= end_s), default=0.0)
    return next((s for s in facts.not_made_out if begin_s <= s.at_s <= max(begin_s, end_s)), None)


def _surest(pieces: Sequence[Evidence]) -> float:
    told = {Tells.DONE, Tells.NUMBER, Tells.ENDED}
    return max((piece.sure for piece in pieces if piece.tells in told), default=1.0)


def _done(step: Step, facts: Facts, rule: Rule) -> _Judged:
    """Done: in which way it falls short, the weightiest first; every shortfall costs."""
    keeps, reasons, mark = 1.0, [], Mark.DONE
    wrong = next((t for t in facts.turned if _still_wrong(t, step.id)), None)
    if wrong is not None and wrong.unsure:
        return _Judged(
            Mark.UNCLEAR,
            0.0,
            f"{ORDER_UNSURE} {facts.name(wrong.first)}: what was said before it was not made out.",
        )
    if wrong is not None:
        mark, keeps = Mark.OUT_OF_ORDER, keeps * rule.out_of_order
        reasons.append(f"Done before {facts.name(wrong.first)}: {wrong.because.rstrip('.')}.")
    clock = facts.clocks.get(step.id)
    if clock is not None and clock.over:
        mark = Mark.LATE if mark is Mark.DONE else mark
        keeps *= rule.late
        reasons.append(f"It took {clock.seconds:g} seconds; the limit is {clock.limit_s}.")
    at_s = facts.done_s.get(step.id, 0.0)
    if 0 < facts.limit_s < at_s:
        mark = Mark.LATE if mark is Mark.DONE else mark
        keeps *= rule.late
        after = max(1, round(at_s - facts.limit_s))
        reasons.append(f"Done {after} second{'' if after == 1 else 's'} after the time limit.")
    outside = [n for n in facts.numbers if n.step == step.id and not n.in_range]
    if outside:
        keeps *= rule.wrong_number
        reasons.append("Its number was outside the range.")
    for what in facts.unsaid.get(step.id, ()):
        keeps *= rule.unsaid
        reasons.append(what)
    return _Judged(mark, keeps, " ".join(reasons))


def _still_wrong(turned: TurnedRound, step: str) -> bool:
    """Whether a step counts as out of order: what had to come first came later, and the step was
    not done again. What never came is a step missed, not an order turned round."""
    return turned.step == step and turned.made_up and not turned.put_right
