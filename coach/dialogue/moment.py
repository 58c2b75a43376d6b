"""The moment the coach listens in, as the language and the recogniser need it."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from coach.core.meaning import Expectation
from coach.core.units import UNITS_OF, Pressure, Quantity, Unit
from coach.dialogue.complications import just_brought
from coach.dialogue.forbidden import counts, forbidden_now
from coach.dialogue.just_given import just_given
from coach.dialogue.progress import (
    awaits_a_number,
    in_hand,
    missing_first,
    open_steps,
    suggested,
)
from coach.dialogue.state import ReadBack, RunningClock, State, WhichUnit
from coach.dialogue.training import cylinder_asked
from coach.dialogue.turn import expectation
from coach.dialogue.units_asked import number_said
from coach.dialogue.weight import is_share
from coach.hearing.hypothesis import Hint
from coach.language.body import parts_named
from coach.language.carelessness import stems_said
from coach.language.commands import answer_phrases, command_phrases
from coach.language.context import Context, Range, StepWords, Words
from coach.language.finding_phrases import finding_phrases
from coach.language.listened_words import listened_for
from coach.language.training_cylinders import PHRASES as CYLINDER_PHRASES
from coach.procedure.model import Forbidden, HeardAs, ReadingSpec, Skill, Step, Wrong

TIME_ALONE_FROM = 4
"""The way of talking since which the time of day alone calls a time."""


def context_of(state: State) -> Context:
    """What may be spoken of now: the open steps, the suggested one first, then those done."""
    skill = state.skill
    due = suggested(state)
    still = [step for step in open_steps(state) if step is not due]
    rest = [step for step in skill.steps if step is not due and step not in still]
    ordered = [*([due] if due else []), *still, *rest]
    handled = in_hand(state)
    awaited = awaits_a_number(state)
    spec = awaited[1] if awaited else None
    question = state.pending.proposals[0] if isinstance(state.pending, ReadBack) else None
    given = just_given(state)
    if question is not None and (asked := state.step(question.step)) is not None:
        spec = next(s for s in asked.readings if s.name == question.name)
    unit = state.started.pressure_unit if state.started else Unit.PSI
    safety = safety_steps(skill)
    words = [
        _with_pressures_in(unit, step_words(skill, step, state.clock, state.done, safety))
        for step in ordered
    ]
    told = state.step(state.aloud_asked) if state.aloud_asked else None
    told = told if told is due else None
    called = due if due is not None and _calls_the_time(state, due) else None
    return Context(
        steps=(*words, *map(_forbidden_words, forbidden_now(state))),
        expect=Quantity.COUNT if state.counting_aloud else expectation(state),
        expect_range=_in_unit(unit, range_of(spec), spec.quantity) if spec else None,
        highest_psi=state.highest_psi,
        suggested=handled.id if handled else None,
        done=state.done,
        due=frozenset(s.id for s in open_steps(state) if missing_first(state, s) is None),
        in_question=question.reading.quantity
        if question
        else (given.quantity if given else just_brought(state)),
        who_asked=told.id if told and told.partner else None,
        who_named=told.partner.who if told and told.partner else "",
        time_asked=_time_due(state, told),
        time_due=called.id if called else None,
        time_of=called.since.says if called and called.since else "",
        cylinder_asked=cylinder_asked(state) is not None,
        cylinder_named=_takes_training_cylinder(skill),
        led=not state.quiet,
        without_unit=number_said(state.pending.reading)
        if isinstance(state.pending, WhichUnit)
        else "",
        besides=_heard_besides(skill),
    )


def _heard_besides(skill: Skill) -> frozenset[Quantity]:
    """The quantities that no step waits for, and that are heard whenever they are told."""
    found: set[Quantity] = set()
    if any(step.thermometer for step in skill.steps):
        found.add(Quantity.TEMPERATURE)
    if any(map(is_share, (spec for step in skill.steps for spec in step.readings))):
        found.add(Quantity.WEIGHT)
    return frozenset(found)


def _with_pressures_in(unit: Unit, words: StepWords) -> StepWords:
    """The words of a step whose pressure is taken in that unit where none is said."""
    if Quantity.PRESSURE not in words.ranges:
        return words
    ranges = {q: _in_unit(unit, allowed, q) for q, allowed in words.ranges.items()}
    return replace(words, ranges=ranges)


def _in_unit(unit: Unit, allowed: Range, quantity: Quantity) -> Range:
    """The range of a pressure in another unit; any other as it is."""
    if quantity is not Quantity.PRESSURE or allowed.unit not in UNITS_OF[Quantity.PRESSURE]:
        return allowed
    low, high = (
        Pressure.of(end, allowed.unit).in_unit(unit) for end in (allowed.low, allowed.high)
    )
    return allowed if unit is allowed.unit else replace(allowed, low=low, high=high, unit=unit)


def _takes_training_cylinder(skill: Skill) -> bool:
    return any(spec.assumed for step in skill.steps for spec in step.readings)


def _time_due(state: State, told: Step | None) -> str | None:
    """The step whose time of day may be said now; nobody asks for it where the coach is quiet."""
    lawful = (step for step in open_steps(state) if missing_first(state, step) is None)
    asked = lawful if state.quiet else (step for step in [told] if step is not None)
    timed = (step.id for step in asked if step.since and step.since.time_aloud)
    return next(timed, None)


def _calls_the_time(state: State, due: Step) -> bool:
    """Whether the step in hand is done by calling the time of day."""
    if due.since is None or not due.since.time_aloud or state.quiet:
        return False
    if state.conversation < TIME_ALONE_FROM:
        return False
    return missing_first(state, due) is None


def asked_context(skill: Skill, step_id: str | None, expect: Expectation | None) -> Context:
    """The moment in which the coach asks for that step, or with every step of the skill open."""
    due = next((step for step in skill.steps if step.id == step_id), None)
    ordered = [due] if due else sorted(skill.steps, key=lambda step: bool(step.complication))
    allowed = None
    if isinstance(expect, Quantity):
        specs = [spec for step in ordered for spec in step.readings]
        allowed = _joined([spec for spec in specs if spec.quantity is expect])
    done = _before(skill, due) if due else frozenset[str]()
    safety = safety_steps(skill)
    words = [step_words(skill, step, None, done, safety, both_clock_parts=True) for step in ordered]
    return Context(
        steps=(*words, *map(_forbidden_words, skill.forbidden)),
        expect=expect,
        expect_range=allowed,
        suggested=due.id if due else None,
        cylinder_asked=expect is Quantity.PRESSURE and _takes_training_cylinder(skill),
        cylinder_named=_takes_training_cylinder(skill),
        besides=_heard_besides(skill),
    )


def _before(skill: Skill, step: Step) -> frozenset[str]:
    """Every step that has to be done before this one may be."""
    found: set[str] = set()
    waiting = [first.step for first in step.after]
    while waiting:
        first = waiting.pop()
        if first not in found:
            found.add(first)
            waiting += [earlier.step for earlier in skill.step(first).after]
    return frozenset(found)


def _joined(specs: Sequence[ReadingSpec]) -> Range | None:
    """The numbers that any of several readings in one unit may show."""
    if not specs:
        return None
    same = [spec for spec in specs if spec.unit is specs[0].unit]
    return Range(min(s.low for s in same), max(s.high for s in same), specs[0].unit)


def hint_of(context: Context) -> Hint:
    """What a recogniser may expect to hear in that moment."""
    phrases: list[str] = []
    for step in context.steps:
        for words in (
            step.done,
            step.clock_start,
            step.clock_end,
            step.partner,
            *step.choices.values(),
        ):
            phrases += words.phrases
    if context.cylinder_asked:
        phrases += CYLINDER_PHRASES
    known = {word for phrase in (*phrases, *fixed_phrases()) for word in phrase.split()}
    for step in context.steps:
        phrases += finding_phrases(step.done, known)
    allowed = context.expect_range if isinstance(context.expect, Quantity) else None
    return Hint(
        context.expect,
        tuple(dict.fromkeys([*phrases, *fixed_phrases()])),
        (allowed.low, allowed.high) if allowed else None,
        listened_for(context.steps),
    )


def fixed_phrases() -> tuple[str, ...]:
    """Commands and answers, which may be said at any time."""
    return (*command_phrases(), *answer_phrases())


def safety_steps(skill: Skill) -> frozenset[str]:
    """Steps that must come first for safety, and those that something must come before."""
    first = {needed.step for step in skill.steps for needed in step.after if needed.safety}
    held = {step.id for step in skill.steps if any(needed.safety for needed in step.after)}
    return frozenset(first | held)


def step_words(
    skill: Skill,
    step: Step,
    clock: RunningClock | None,
    done: Set[str],
    safety: Set[str] = frozenset(),
    both_clock_parts: bool = False,
) -> StepWords:
    """The words of a step while those of `done` are; those that end its clock while it runs.

    `safety` are the steps that safety hangs on.
    """
    running = clock is not None and clock.step == step.id
    start = end = Words()
    if step.count is not None:
        start = _words(step.count.start)
    if step.pace is not None:
        start, end = _words(step.pace.start), _words(step.pace.end)
    if step.clock is not None:
        if both_clock_parts or not running:
            start = _words(step.clock.start)
        if both_clock_parts or running:
            end = _words(step.clock.end)
    choices: dict[str, Words] = {}
    if step.chooses:
        options = skill.settings[step.chooses].options
        choices = {name: _words(option.heard_as) for name, option in options.items()}
    ranges = {spec.quantity: range_of(spec) for spec in reversed(step.readings)}
    partner = _words(step.partner.heard_as) if step.partner else Words()
    for_two = step.partner is not None
    own = replace(
        _words(step.heard_as),
        wrong=tuple(line for one in step.wrong if not _has_time(one) for line in one.words),
        signs=tuple(
            line for one in step.wrong if _has_time(one) and counts(one, done) for line in one.words
        ),
    )
    texts = (step.say, step.name, step.how, step.aloud, *step.heard_as.phrases, *step.heard_as.keys)
    told = [words for part in (start, end, *choices.values()) for words in part.phrases]
    parts = parts_named((*texts, *told))
    return StepWords(
        *(step.id, own, start, end, choices, ranges, partner, for_two),
        history=step.history,
        parts=parts,
        safety=step.id in safety,
        said_ahead=_is_said_ahead(step),
        bids=step.say.split(" ")[0] in _BIDDING,
        ends_when_told=step.clock is not None and not step.clock.least_s,
        says=stems_said(step.say),
        texts=frozenset().union(*map(stems_said, (step.say, step.name, step.how, step.aloud))),
    )


_BIDDING = frozenset("Have Ask Tell Let".split())
"""First words of what the coach says of a step that somebody else does, or that is done by
telling him."""


def _is_said_ahead(step: Step) -> bool:
    """Whether it is done by saying in what time something will be done, and by little else."""
    times = (spec for spec in step.readings if spec.quantity is Quantity.TIME)
    only_that = step.say.startswith("Say ") and ", and " not in step.say
    how_often = step.say.startswith(("Say how often", "Stay, and say how often"))
    return (only_that or how_often) and any(spec.told_ahead for spec in times)


def _has_time(wrong: Wrong) -> bool:
    """Whether it counts from or until a step, and then whatever is told beside it."""
    return bool(wrong.begins or wrong.ends)


def _forbidden_words(act: Forbidden) -> StepWords:
    return StepWords(act.id, _words(act.heard_as), forbidden=True)


def range_of(spec: ReadingSpec) -> Range:
    """The numbers that a reading may show."""
    also = tuple(Range(one.low, one.high, one.unit) for one in spec.also)
    centimetres = spec.in_centimetres
    return Range(spec.low, spec.high, spec.unit, spec.lower, also, centimetres)


def _words(heard_as: HeardAs) -> Words:
    return Words(heard_as.phrases, heard_as.keys, heard_as.absent)
