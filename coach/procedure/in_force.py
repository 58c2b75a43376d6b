"""Which rules a skill is practised by: the program's, said and printed with where they differ."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from coach.core.units import Quantity
from coach.procedure.facts import OVERFILL, Amount, FactTable, in_words
from coach.procedure.left_out import lost_with
from coach.procedure.local_chart import WEAKER
from coach.procedure.local_cylinders import shown
from coach.procedure.local_facts import Change, LocalProgram
from coach.procedure.local_scoring import ScoringChange
from coach.procedure.local_skills import SkillChange
from coach.procedure.resolve import listed, mapping
from coach.procedure.worked_out import has_burned_area
from coach.procedure.yaml_tree import Json
from coach.trade.wording import MONTHS

RESERVE = "cylinder-reserve"
"""The fact that says what is kept in a cylinder."""

_OF_PRESSURES = (RESERVE, OVERFILL)
"""The facts that every skill rests on which asks for the pressure of a cylinder; so it does on the
cylinders themselves."""

_SPOKEN_UNITS = {
    "s": "seconds",
    "min": "minutes",
    "h": "hours",
    "mm": "millimeters",
    "cm": "centimeters",
    "in": "inches",
    "/min": "a minute",
    "L/min": "liters a minute",
    "L/L": "liters of gas from a liter",
    "L/lb": "liters of gas from a pound",
    "psi": "P S I",
    "lbf": "pounds",
    "°C": "degrees Celsius",
    "°F": "degrees Fahrenheit",
    "%": "percent",
    "mmHg": "millimeters of mercury",
    "cmH2O": "centimeters of water",
    "hPa": "hectopascals",
    "N": "newtons",
    "kgf": "kilograms",
    "mmHg/s": "millimeters of mercury a second",
    "mL": "milliliters",
    "L": "liters",
    "kPa": "kilopascals",
    "MPa": "megapascals",
    "mcg": "micrograms",
    "mg": "milligrams",
    "g": "grams",
    "kg": "kilograms",
    "mg/dL": "milligrams per deciliter",
    "Fr": "French",
    "size": "",
    "fraction": "",
}
"""How units are said; one that is not here is said as it is written."""


_OWN = ", in your program's own words"
"""Said where only the words of a step are less safe, or may be."""


@dataclass(frozen=True, slots=True)
class InForce:
    """The program whose rules a skill is practised by, and what of them is less safe.

    `weaker` has a sentence for each such rule and the program's reason for it, to be said aloud,
    then what it leaves out or tells in its own words, which nobody can hold against what is
    published. `scoring` is what the program does otherwise with an attempt that is assessed.
    """

    program: str
    date: str
    approved_by: str
    weaker: tuple[tuple[str, str], ...] = ()
    scoring: ScoringChange | None = None

    @property
    def key(self) -> str:
        """What tells these rules from others: the program and its date."""
        return f"{self.program}, {self.date}"

    @property
    def named(self) -> str:
        """The program with its date and who approved it, within a sentence."""
        return f"{self.program}, of {self._day}, approved by {self.approved_by}"

    @property
    def _day(self) -> str:
        year, month, day = self.date.split("-")
        return f"{MONTHS[int(month) - 1]} {int(day)}, {year}"


def in_force(
    program: LocalProgram, skill: str, facts: Iterable[str], written: Json, table: FactTable
) -> InForce:
    """What is in force for a skill that names these facts; `table` is the published one.

    `written` is the skill's content.
    """
    of_cylinders = _asks_for_pressure(written)
    named = {*facts, *(_OF_PRESSURES if of_cylinders else ())}
    weaker = [
        (_weaker_number(change, table), change.weakens)
        for change in program.weakenings()
        if change.fact in named and change.fact in table.facts
    ]
    if of_cylinders:
        weaker += [
            (f"Weaker than published: {size.weaker}.", size.weakens)
            for size in program.cylinders
            if size.weakens
        ]
    if program.chart is not None and has_burned_area(written):
        weaker.append((f"Weaker than published: {WEAKER}.", program.chart.weakens))
    if skill in program.skills:
        change = program.skills[skill]
        weaker += [
            (
                f"Weaker than published: {number.fact.about}, "
                f"{_said(Amount(value=number.now), number.fact.unit)} instead of "
                f"{_said(Amount(value=number.was), number.fact.unit)}.",
                change.weakens,
            )
            for number in change.weaker_options
        ]
        in_words_alone = change.weakened_by_words()
        weaker += [
            (f"Weaker than published{_OWN * (step in in_words_alone)}: {_steps([step])}.", reason)
            for step, reason in change.weakenings.items()
        ]
        weaker += _left_out(change)
        weaker += _own_words(change, written)
    scoring = program.scoring
    if scoring is not None and scoring.weakens:
        told = "; ".join(scoring.weaker)
        weaker.append((f"Weaker than published: the scoring, {told}.", scoring.weakens))
    return InForce(program.name, program.date, program.approved_by, tuple(weaker), scoring)


def _left_out(change: SkillChange) -> Iterator[tuple[str, str]]:
    """The steps left out without a reason for what is less safe: nothing goes in silence."""
    gone = {step: why for step, why in change.left_out().items() if step not in change.weakenings}
    if gone:
        yield f"Left out by your program: {_steps(gone)}.", _reasons(gone)


def _own_words(change: SkillChange, written: Json) -> Iterator[tuple[str, str]]:
    """The steps of safety that are told otherwise."""
    root = mapping(written)
    steps = {str(mapping(step).get("id")): mapping(step) for step in listed(root.get("steps"))}
    told = change.weakened_by_words()
    own = {
        step: why
        for step, why in change.own_words().items()
        if step in steps and step not in told and lost_with(step, steps, root.get("cautions"))
    }
    if own:
        yield f"In your program's own words: {_steps(own)}.", _reasons(own)


def _steps(named: Iterable[str]) -> str:
    names = [name.replace("-", " ") for name in named]
    return f"the step {names[0]}" if len(names) == 1 else f"the steps {', '.join(names)}"


def _reasons(named: Mapping[str, str]) -> str:
    reasons = [reason.rstrip(". ") for reason in dict.fromkeys(named.values())]
    return f"{'; '.join(reasons)}."


def _asks_for_pressure(written: Json) -> bool:
    parts: Iterable[Json] = written if isinstance(written, list) else mapping(written).values()
    asked = mapping(written).get("quantity") == str(Quantity.PRESSURE)
    return asked or any(_asks_for_pressure(p) for p in parts if isinstance(p, dict | list))


def _weaker_number(change: Change, table: FactTable) -> str:
    fact = table.facts[change.fact]
    if fact.kept is not None:
        return f"Weaker than published: the {fact.about}."
    now, was = _said(change.written, change.unit), _said(change.was, fact.unit)
    return f"Weaker than published: {fact.about}, {now} instead of {was}."


def _said(amount: Amount, unit: str) -> str:
    whole = amount.part("")
    if whole is not None:
        number = in_words(whole)
    elif amount.low is not None:
        number = f"at least {in_words(amount.low)}"
    else:
        number = f"at most {in_words(amount.high or 0)}"
    return f"{number} {_SPOKEN_UNITS.get(unit, unit)}".strip()


def exceptions_told(table: FactTable, but: Collection[str] = ()) -> Iterator[str]:
    """The defaults that are not the safest published number, with the reason, as lines to print.

    `but` are facts for which a program has a number of its own, and cylinders, by their names.
    """
    found = [fact for fact in table.facts.values() if fact.exception and fact.name not in but]
    sizes = [size for size in table.every_cylinder() if size.exception and size.name not in but]
    if found or sizes:
        yield ""
        yield "DEFAULTS THAT ARE NOT THE SAFEST PUBLISHED NUMBER"
    for fact in found:
        yield ""
        told = f"a {fact.kept}" if fact.kept else fact.amount.shown(fact.unit)
        yield f"{fact.name}: {told} ({fact.about}, {fact.population})"
        yield f"    because: {fact.exception}"
    for size in sizes:
        yield ""
        yield f"{size.name}: {shown(size)}"
        yield f"    because: {size.exception}"


def rules_told(program: LocalProgram, table: FactTable) -> Iterator[str]:
    """What a program does otherwise than the default, as lines to print; doses and sizes untold."""
    yield f"RULES IN FORCE: {program.name}"
    yield f"of {program.date}, approved by {program.approved_by}"
    for change in program.changes:
        fact = table.facts[change.fact]
        yield ""
        if fact.kept is not None:
            yield f"{change.fact}: its own {fact.kept}, only checked against the learner's"
        else:
            shown = (change.written.shown(change.unit), change.was.shown(fact.unit))
            yield f"{change.fact}: {' instead of '.join(shown)} ({fact.about}, {fact.population})"
        yield f"    because: {change.because}"
        if change.weakens:
            yield f"    LESS SAFE, and said aloud: {change.weakens}"
    for size in program.cylinders:
        yield ""
        yield size.told()
        yield f"    because: {size.because}"
        if size.weakens:
            yield f"    LESS SAFE, and said aloud: {size.weakens}"
    if program.chart is not None:
        yield ""
        yield from program.chart.told()
        yield f"    because: {program.chart.because}"
        yield f"    LESS SAFE, and said aloud: {program.chart.weakens}"
    if program.target_chance is not None:
        yield ""
        yield f"target-chance: {program.target_chance:g} (what its rehearsals aim at)"
    if program.scoring is not None:
        yield ""
        yield "scoring:"
        yield from (f"    {line}" for line in program.scoring.lines())
        if program.scoring.weakens:
            told = "; ".join(program.scoring.weaker)
            yield f"    LESS SAFE ({told}), and said aloud: {program.scoring.weakens}"
    for name, skill in program.skills.items():
        yield ""
        yield f"{name}:"
        yield from (f"    {line}" for line in skill.told())
        for step, reason in skill.weakenings.items():
            yield f"    LESS SAFE at {step}, and said aloud: {reason}"
        if skill.weakens:
            told = "; ".join(number.told() for number in skill.weaker_options)
            yield f"    LESS SAFE ({told}), and said aloud: {skill.weakens}"
