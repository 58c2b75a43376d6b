"""A student who makes mistakes: what is said, act by act, and what is wrong with it."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from coach.core.units import Quantity, Unit
from coach.drill.mistakes import Act, Mistake, Wrong
from coach.procedure.model import Forbidden, ReadingSpec, Skill, Step
from coach.trade.wording import number_words, unit_words

WIDE = 1.4
"""A wrong number is so many times the highest that is right (or that part of the lowest)."""

FINDINGS = frozenset(
    {
        *(Quantity.PRESSURE, Quantity.SATURATION, Quantity.BLOOD_PRESSURE, Quantity.GLUCOSE),
        *(Quantity.PULSE_RATE, Quantity.BREATHING_RATE),
    }
)
"""What a gauge or a patient shows is no mistake of who reads it."""


def student_acts(skill: Skill, seed: int, many: int) -> tuple[Act, ...]:
    """A whole attempt with `many` mistakes, fewer if the skill has no room; the same seed, the same
    ones. Steps that only a complication brings are not in it."""
    dice = random.Random(seed)
    steps = [step for step in skill.steps if not step.complication and _spoken(step)]
    chosen: list[Mistake] = []
    possible = list(_possible(skill, steps))
    dice.shuffle(possible)
    for mistake in possible:
        if len(chosen) < many and not _clashes(mistake, chosen, steps):
            chosen.append(mistake)
    return tuple(_acts(skill, steps, chosen))


def _spoken(step: Step) -> bool:
    return bool(step.heard_as.phrases)


def _possible(skill: Skill, steps: Sequence[Step]) -> Iterator[Mistake]:
    known = {step.id: step for step in steps}
    for step in steps:
        for needed in step.after:
            first = known.get(needed.step)
            if first is not None and needed.safety:
                yield Mistake(Wrong.LEFT_OUT, first.id, f"leaving out {first.name}", needed.because)
                says = f"{step.name} came before {first.name}"
                yield Mistake(Wrong.TOO_EARLY, step.id, says, needed.because)
        for spec in step.readings:
            if (wrong := _wrong_value(spec)) is not None:
                right = f"it has to be {spec.low:g} to {spec.high:g} {spec.unit}"
                says = _wrong_words(step, spec, wrong)
                yield Mistake(Wrong.NUMBER, step.id, says, spec.outside or right)
    for act in skill.forbidden:
        if act.heard_as.phrases and (not act.begins or act.begins in known):
            yield Mistake(Wrong.FORBIDDEN, act.id, act.name, act.because)


def _clashes(mistake: Mistake, chosen: Sequence[Mistake], steps: Sequence[Step]) -> bool:
    """Whether two mistakes would be about the same step, or about one that leads to the other."""
    near = {mistake.about, *_firsts(mistake.about, steps)}
    return any(
        other.about in near or mistake.about in {other.about, *_firsts(other.about, steps)}
        for other in chosen
    )


def _firsts(step_id: str, steps: Sequence[Step]) -> set[str]:
    return {needed.step for step in steps if step.id == step_id for needed in step.after}


def _acts(skill: Skill, steps: Sequence[Step], mistakes: Sequence[Mistake]) -> Iterator[Act]:
    by_step = {mistake.about: mistake for mistake in mistakes}
    forbidden = {act.id: act for act in skill.forbidden}
    waiting: list[Mistake] = []
    for step in _in_order(steps, mistakes):
        mistake = by_step.get(step.id)
        if mistake is not None and mistake.wrong is Wrong.LEFT_OUT:
            waiting.append(mistake)
            continue
        own = (mistake,) if mistake is not None else ()
        yield Act(_said(step, mistake), (*waiting, *own))
        waiting = []
        for act_id, breach in by_step.items():
            act = forbidden.get(act_id)
            if act is not None and _begins_here(act, step, steps):
                yield Act(act.heard_as.phrases[0], (breach,))
    if waiting:
        yield Act("That's everything.", tuple(waiting))


def _begins_here(act: Forbidden, step: Step, steps: Sequence[Step]) -> bool:
    return step.id == (act.begins or steps[0].id)


def _in_order(steps: Sequence[Step], mistakes: Sequence[Mistake]) -> list[Step]:
    """The suggested order, with what comes too early put before what it has to wait for."""
    ordered = list(steps)
    for mistake in mistakes:
        if mistake.wrong is not Wrong.TOO_EARLY:
            continue
        step = next(step for step in steps if step.id == mistake.about)
        firsts = [n.step for n in step.after if n.safety and n.because == mistake.because]
        place = min(number for number, other in enumerate(ordered) if other.id in firsts)
        ordered.remove(step)
        ordered.insert(place, step)
    return ordered


def _wrong_words(step: Step, spec: ReadingSpec, value: float) -> str:
    """What the mistake of a wrong number says."""
    return f"{step.name} was said as {_in_words((value,), spec.unit)}"


def _said(step: Step, mistake: Mistake | None) -> str:
    """The words for a step, with its numbers; one of them is wrong if that is the mistake."""
    wrong = mistake.says if mistake is not None and mistake.wrong is Wrong.NUMBER else ""
    numbers: list[str] = []
    before: Quantity | None = None
    for spec in step.readings:
        value = _wrong_value(spec)
        if value is None or _wrong_words(step, spec, value) != wrong:
            value = _right_value(spec)
        else:
            wrong = ""
        values: tuple[float, ...] = (value,)
        if spec.quantity is Quantity.BLOOD_PRESSURE and spec.lower is not None:
            values = (*values, round(sum(spec.lower) / 2))
        # two of a kind in a row would be a number and its correction
        then = "then " if spec.quantity is before else ""
        numbers.append(then + _in_words(values, spec.unit))
        before = spec.quantity
    return ", ".join([step.heard_as.phrases[0], *numbers])


def _in_words(values: tuple[float, ...], unit: Unit) -> str:
    """A number as a person says it once: "ninety millimeters", "one twenty over eighty"."""
    said = " over ".join(number_words(value) for value in values)
    return f"{said} {unit_words(unit, values[0])}".strip()


def _right_value(spec: ReadingSpec) -> float:
    low = spec.low if spec.bad_below is None else spec.bad_below
    high = spec.high if spec.bad_above is None else spec.bad_above
    middle = (low + high) / 2
    return float(round(middle)) if high - low >= 2 else middle


def _wrong_value(spec: ReadingSpec) -> float | None:
    """A number outside the range that could well be said; None where no number is wrong."""
    if spec.quantity in FINDINGS:
        return None
    above = float(round(spec.high * WIDE + 1))
    below = float(round(spec.low / WIDE))
    return below if 0 < below < spec.low - 0.5 else above
