"""From a journal to a result: the same journal, skill and rule give the same bytes for ever."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coach.assessment.evidence import bare_dones, evidence_by_step, not_made_out, spoken
from coach.assessment.failures import possible_failures, safety_failures
from coach.assessment.marks import Facts, step_results
from coach.assessment.order import doubtful, orders_turned_round
from coach.assessment.perhaps_unsafe import perhaps_unsafe
from coach.assessment.replay import Moment, played_again
from coach.assessment.rule import NAMES_DOUBT, WEIGHS_DOUBT, Rule
from coach.assessment.shown_numbers import as_shown, told_besides
from coach.assessment.verdict import verdict_on
from coach.core.errors import InputError
from coach.dialogue.events import Heard, SessionStarted
from coach.dialogue.numbers import RATE
from coach.dialogue.state import Mode, Standing, State
from coach.language.questions import says
from coach.procedure.model import Step
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import NumberResult, Result, Spoken, Timed, Way
from coach.session.journal_contents import JournalContents
from coach.session.journal_lines import JournalOpened
from coach.trade.unit_conversions import converted_to

UNSAID = {
    "who-not-said": "Who does it was not said.",
    "time-not-said": "The time was not said.",
    "not-said-aloud": "Not said aloud.",
}
"""What an evaluator has to hear, by the note that says it was missing."""


def score(contents: JournalContents, skill_file: SkillFile, rule: Rule) -> Result:
    """The result of an attempt, finished or broken off.

    InputError for a journal that holds no attempt, and for one of another skill.
    """
    header, started = _beginning(contents, skill_file)
    moments = played_again(skill_file, contents.events)
    if not moments:
        raise InputError("The attempt was made by other rules than the skill that is given.")
    state = moments[-1].after
    badly_heard = not_made_out(moments, state.begun_s)
    facts = _facts(moments, badly_heard, rule, started.limit_seconds)
    steps = step_results(facts, rule)
    failures = safety_failures(state, facts.turned, steps)
    possible = possible_failures(facts.turned, steps) if facts.weighs_doubt else ()
    named = rule.method >= NAMES_DOUBT
    if named:
        possible = perhaps_unsafe(moments, badly_heard, steps, failures, possible)
    verdict, why = verdict_on(steps, failures, rule, possible)
    rules = skill_file.in_force
    return Result(
        attempt=contents.attempt,
        learner=started.learner,
        skill=skill_file.id,
        title=skill_file.title,
        skill_sha256=header.skill_sha256,
        choices=state.skill.choices,
        way=Way(started.way),
        scenario=started.scenario,
        program=rules.named if rules else "",
        started=header.started,
        seconds=0.0 if state.mode is Mode.READY else round(state.at_s - state.begun_s, 3),
        limit_s=started.limit_seconds,
        rule=rule.named,
        verdict=verdict,
        why=why,
        points=round(sum(step.points for step in steps), 3),
        out_of=round(sum(step.out_of for step in steps), 3),
        passed_from=rule.ready_from,
        hints=sum(facts.hints.values()),
        steps=steps,
        numbers=tuple(facts.numbers),
        failures=failures,
        possible=possible if named else (),
        timed=tuple(Timed(c.step, c.seconds, c.limit_s, c.least_s) for c in state.clocks),
        oxygen_minutes=state.told_minutes,
        spoken=spoken(moments, state.begun_s),
        cautions=state.skill.cautions,
        weaker=tuple(f"{what} {reason}" for what, reason in rules.weaker) if rules else (),
        oxygen_assumed=state.told_assumed,
    )


def _beginning(
    contents: JournalContents, skill_file: SkillFile
) -> tuple[JournalOpened, SessionStarted]:
    """How the attempt began; InputError where it did not, or is at another skill."""
    header = contents.header
    started = contents.events[0] if contents.events else None
    if header is None or not isinstance(started, SessionStarted):
        raise InputError("The journal holds no attempt: it broke off before it began.")
    if started.skill != skill_file.id:
        raise InputError(f"The attempt is at {started.skill}, not at {skill_file.id}.")
    return header, started


def _facts(
    moments: Sequence[Moment], badly_heard: tuple[Spoken, ...], rule: Rule, limit_s: float
) -> Facts:
    """What an attempt is judged by, worked out from the moments of it."""
    state = moments[-1].after
    begun_s = state.begun_s
    doubt = rule.method >= WEIGHS_DOUBT
    garbled = badly_heard
    done_s = _first_done(moments, begun_s)
    turned = orders_turned_round(moments, begun_s)
    if doubt:
        turned = doubtful(turned, badly_heard, done_s, state.skill)
        dones = bare_dones(moments, begun_s)
        garbled = tuple(sorted((*badly_heard, *dones), key=lambda said: said.at_s))
    return Facts(
        state=state,
        evidence=evidence_by_step(moments, begun_s),
        turned=turned,
        numbers=tuple(_numbers(state, moments, begun_s)),
        clocks={clock.step: clock for clock in state.clocks},
        done_s=done_s,
        rounds=_rounds(moments),
        unsaid=_unsaid(moments, state.skill.steps),
        hints=_hints(moments),
        limit_s=limit_s,
        not_made_out=garbled,
        weighs_doubt=doubt,
        garbled_rounds=_garbled_rounds(moments, garbled, begun_s) if doubt else {},
    )


def _numbers(state: State, moments: Sequence[Moment], begun_s: float) -> Iterator[NumberResult]:
    said: dict[tuple[str, str], set[str]] = {}
    for moment in moments:
        for data in moment.noted("reading-stands"):
            place = str(data["step"]), str(data["reading"])
            said.setdefault(place, set()).add(str(data["value"]))
    for standing in state.readings:
        bounds = _bounds(state, standing)
        if bounds is None:
            continue
        corrected = len(said.get((standing.step, standing.name), ())) > 1
        number = NumberResult(
            standing.step,
            standing.name,
            standing.values,
            str(standing.unit),
            *bounds,
            in_range=standing.in_range,
            corrected=corrected and not standing.assumed,
            at_s=round(standing.at_s - begun_s, 3),
            assumed=standing.assumed,
        )
        if not standing.assumed:
            number = as_shown(number, standing.quantity, standing.at_s, moments)
        yield number
    yield from told_besides(moments, begun_s)


def _bounds(state: State, standing: Standing) -> tuple[float, float] | None:
    """What a number is held against, in the unit it was said in, to three digits if the step has
    another; None for one that its step does not ask for.

    A size in French beside a range in millimeters has the ends of that, for want of a way between.
    """
    step = state.step(standing.step)
    if step is None:
        return None
    if standing.name == RATE and step.count is not None:
        return step.count.low, step.count.high
    spec = next((spec for spec in step.readings if spec.name == standing.name), None)
    if spec is None:
        return None
    if spec.unit is standing.unit:
        return spec.low, spec.high
    for other in spec.also:
        if other.unit is standing.unit:
            return other.low, other.high
    ends = (converted_to(end, spec.unit, standing.unit) for end in (spec.low, spec.high))
    low, high = (None if end is None else float(f"{end:.3g}") for end in ends)
    return (spec.low, spec.high) if low is None or high is None else (low, high)


def _first_done(moments: Sequence[Moment], begun_s: float) -> dict[str, float]:
    """When each step was first done for good: what was taken back counts from when it came back."""
    done: dict[str, float] = {}
    for moment in moments:
        for note in moment.notes:
            step = str(note.data.get("step", ""))
            if note.name == "step-done":
                done.setdefault(step, round(moment.event.at_s - begun_s, 3))
            elif note.name == "taken-back":
                done.pop(step, None)
    return done


def _rounds(moments: Sequence[Moment]) -> dict[str, int]:
    """In how many rounds of its repeat each step was done."""
    seen: set[tuple[str, int]] = set()
    rounds: dict[str, int] = {}
    for moment in moments:
        for note in moment.notes:
            if note.name != "step-done":
                continue
            step = str(note.data["step"])
            repeats = {r.id for r in moment.before.skill.repeats if step in r.steps}
            number = next((r.number for r in moment.before.rounds if r.repeat in repeats), 1)
            if repeats and (step, number) not in seen:
                seen.add((step, number))
                rounds[step] = rounds.get(step, 0) + 1
    return rounds


def _garbled_rounds(
    moments: Sequence[Moment], garbled: Sequence[Spoken], begun_s: float
) -> dict[str, Spoken]:
    """For each step that was left out of a round: what was not made out in that round."""
    done: dict[tuple[str, int], set[str]] = {}
    said: dict[tuple[str, int], Spoken] = {}
    waiting = list(garbled)
    for moment in moments:
        at_s = round(moment.event.at_s - begun_s, 3)
        for repeat in moment.before.skill.repeats:
            numbers = (r.number for r in moment.before.rounds if r.repeat == repeat.id)
            key = repeat.id, next(numbers, 1)
            here = done.setdefault(key, set())
            noted = moment.noted("step-done")
            here |= {str(data["step"]) for data in noted} & set(repeat.steps)
            if here and waiting and waiting[0].at_s <= at_s:
                said.setdefault(key, waiting[0])
        while waiting and waiting[0].at_s <= at_s:
            waiting.pop(0)
    repeats = {repeat.id: repeat for repeat in moments[-1].after.skill.repeats}
    return {
        step: spoken
        for (repeat, number), spoken in said.items()
        if repeat in repeats
        for step in repeats[repeat].steps
        if step not in done[repeat, number]
    }


def _unsaid(moments: Sequence[Moment], steps: Sequence[Step]) -> dict[str, tuple[str, ...]]:
    said = [m.event.meaning.text for m in moments if isinstance(m.event, Heard)]
    unsaid: dict[str, tuple[str, ...]] = {
        step.id: (f"Not said: {step.also_said.what}.",)
        for step in steps
        if step.also_said and not any(says(text, step.also_said.words) for text in said)
    }
    for moment in moments:
        for name, words in UNSAID.items():
            for data in moment.noted(name):
                step = str(data["step"])
                unsaid[step] = tuple(dict.fromkeys((*unsaid.get(step, ()), words)))
    return unsaid


def _hints(moments: Sequence[Moment]) -> dict[str, int]:
    hints: dict[str, int] = {}
    for moment in moments:
        for data in moment.noted("hint"):
            step = str(data["step"])
            hints[step] = hints.get(step, 0) + 1
    return hints
