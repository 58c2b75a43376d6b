"""A skill as a one-page guide: what stands on it, in order, apart from how it is laid out."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.units import Quantity, Unit
from coach.procedure.facts import in_words
from coach.procedure.in_force import InForce
from coach.procedure.model import (
    COUNTED,
    CountSpec,
    Forbidden,
    ReadingSpec,
    Repeat,
    Skill,
    Step,
    TakenBy,
)

CAUTION = (
    "Training aid only, never for patient care. Local protocol, medical direction and licensed "
    "practice decide; where they differ from this page, they are right."
)

HOW_TO_READ = (
    "The order is a suggestion, but for the marked steps: they come only after those named. "
    "Your own numbers go on the lines."
)

_LINE = "______"
"""Where a learner writes a number."""


@dataclass(frozen=True, slots=True)
class SheetStep:
    """A step as it stands on the guide.

    `only_after` are the numbers of the steps that must come first for safety, `better_after` of
    those that come first for other reasons, `if_it_came` of those that come first only where their
    complication came up, each with whether for safety. `asks` are the numbers to be read, each with
    its unit; their range is not told, since it is held against what the learner measures. `only_if`
    is said of a step that only exists after something has happened. `partner` is the other person
    of a step for two, `paced` the beats a minute, `again` what is then done once more.
    """

    number: int
    say: str
    how: str
    why: str
    aloud: str = ""
    only_after: tuple[int, ...] = ()
    if_it_came: tuple[tuple[int, bool], ...] = ()
    better_after: tuple[int, ...] = ()
    asks: tuple[str, ...] = ()
    seconds: int | None = None
    cautions: tuple[str, ...] = ()
    only_if: str = ""
    partner: str = ""
    paced: float | None = None
    again: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole guide; `chosen` says for what it was printed, `happens` what may come on the way.

    The `cautions` end with what must not happen. `program` names the local program whose rules are
    in force, with its date; `weaker` tells what of these is less safe than what is published.
    """

    title: str
    minutes: int
    chosen: tuple[str, ...]
    table: tuple[str, ...]
    steps: tuple[SheetStep, ...]
    cautions: tuple[str, ...]
    happens: tuple[str, ...] = ()
    program: str = ""
    weaker: tuple[str, ...] = ()


def sheet_of(skill: Skill, rules: InForce | None = None) -> Sheet:
    """The guide of a skill as chosen, with its complications as things that may happen.

    `rules` are those of the local program in force.
    """
    announced = {complication.id: complication.announce for complication in skill.complications}
    return Sheet(
        title=skill.title,
        minutes=skill.minutes,
        chosen=tuple(
            f"{name.replace('-', ' ')}: {_printed(skill.settings[name].options[option].says)}"
            for name, option in skill.choices.items()
        ),
        table=skill.table,
        steps=tuple(_step(step, skill, announced) for step in skill.steps),
        cautions=(*skill.cautions, *(_must_not(act) for act in skill.forbidden)),
        happens=tuple(
            announce
            for complication, announce in announced.items()
            if not any(step.complication == complication for step in skill.steps)
        ),
        program=rules.named if rules else "",
        weaker=tuple(_weaker(what, reason) for what, reason in rules.weaker) if rules else (),
    )


def _weaker(what: str, reason: str) -> str:
    """What of a program's rules is less safe, or in its own words, as a session says it aloud."""
    return f"{what} The reason that your program gives: {reason}"


def _step(step: Step, skill: Skill, announced: dict[str, str]) -> SheetStep:
    numbers = {other.id: number for number, other in enumerate(skill.steps, 1)}
    perhaps = {
        other.id for other in skill.steps if other.complication not in {"", step.complication}
    }
    known = [first for first in step.after if first.step in numbers]
    firsts = [(numbers[first.step], first.safety) for first in known if first.step not in perhaps]
    return SheetStep(
        number=numbers[step.id],
        say=_printed(step.say),
        how=_printed(step.how),
        why=_printed(step.why),
        aloud=_printed(step.aloud),
        only_after=tuple(sorted(number for number, safety in firsts if safety)),
        if_it_came=tuple(
            sorted((numbers[first.step], first.safety) for first in known if first.step in perhaps)
        ),
        better_after=tuple(sorted(number for number, safety in firsts if not safety)),
        asks=tuple(_asked(reading, step.count) for reading in step.readings),
        seconds=(step.clock.limit_s or None) if step.clock else None,
        cautions=step.cautions,
        only_if=announced.get(step.complication, "") if step.complication else "",
        partner=step.partner.who if step.partner else "",
        paced=step.pace.pattern.per_minute if step.pace else None,
        again=tuple(
            _again(repeat, numbers) for repeat in skill.repeats if repeat.steps[-1:] == (step.id,)
        ),
    )


def _again(repeat: Repeat, numbers: dict[str, int]) -> str:
    """ "From 5 again, 2 rounds in all"; ends sooner where a time is set."""
    rounds = repeat.name if repeat.times == 1 else f"{repeat.name}s"
    sooner = f", or {repeat.for_s} seconds" if repeat.for_s else ""
    return f"From {numbers[repeat.steps[0]]} again, {repeat.times} {rounds} in all{sooner}."


def _must_not(act: Forbidden) -> str:
    because = act.because.strip().rstrip(".")
    because = because[8:] if because.lower().startswith("because ") else because
    return f"Must not happen: {act.name}, because {because}."


def _printed(text: str) -> str:
    """Units that are spelled for the ear as they are written."""
    return text.replace("P S I", "psi")


def _asked(reading: ReadingSpec, count: CountSpec | None) -> str:
    if count is not None and reading.name == COUNTED:
        return f"{count.of} in {count.seconds} s {_LINE}, a minute {_LINE}"
    line = f"{_LINE} over {_LINE}" if reading.by is TakenBy.EAR else _LINE
    return f"{reading.name.replace('-', ' ')} {line} {_unit(reading)}".rstrip()


def _unit(reading: ReadingSpec) -> str:
    """The unit as the learner tells it; a gauge has its own."""
    if reading.quantity is Quantity.PRESSURE:
        return "psi or bar"
    if reading.in_centimetres:
        return "cm"
    return "" if reading.unit is Unit.COUNTED else str(reading.unit)


def told_of(step: SheetStep) -> tuple[str, ...]:
    """The short remarks beside a step, in the order in which they are looked for."""
    remarks = []
    if step.only_after:
        remarks.append(f"Only after {_listed(step.only_after)}.")
    if step.better_after:
        remarks.append(f"After {_listed(step.better_after)}.")
    remarks += [
        f"Where {number} came up, {'only ' if safety else ''}after it."
        for number, safety in step.if_it_came
    ]
    if step.seconds is not None:
        remarks.append(f"At most {in_words(step.seconds)} seconds, counted aloud.")
    if step.partner:
        remarks.append(f"For two: you or {step.partner}.")
    if step.paced is not None:
        remarks.append(f"To the beat, {in_words(step.paced)} a minute.")
    if step.aloud:
        remarks.append(f"Say aloud: {step.aloud[:1].lower()}{step.aloud[1:]}")
    remarks += [f"{asked[:1].upper()}{asked[1:]}" for asked in step.asks]
    remarks += step.again
    return tuple(remarks)


def _listed(numbers: tuple[int, ...]) -> str:
    texts = [str(number) for number in numbers]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"
