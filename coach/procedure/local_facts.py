"""A program's own rules over the table of facts and the skills: who approved them, and when."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from coach.core.problem import Problem
from coach.core.units import UNITS_OF, Pressure, Quantity, Unit
from coach.procedure.chart_section import SECTION as CHART
from coach.procedure.fact_references import told_in
from coach.procedure.facts import (
    AMOUNT_KEYS,
    Amount,
    Differing,
    Fact,
    FactTable,
    Kept,
    Safer,
    Source,
)
from coach.procedure.local_chart import ChartChange, chart_change, local_chart_mistakes
from coach.procedure.local_cylinders import (
    CylinderChange,
    cylinder_changes,
    local_cylinder_mistakes,
)
from coach.procedure.local_scoring import (
    ScoringChange,
    scoring_change,
    scoring_mistakes,
    scoring_of,
)
from coach.procedure.local_skills import SkillChange, skill_change_mistakes, weaker_options
from coach.procedure.numbers import together_mistakes
from coach.procedure.resolve import mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.weakening import weakening_mistakes
from coach.procedure.weaker_option import WeakerNumber
from coach.procedure.wording import Mistake, did_you_mean, place
from coach.procedure.yaml_tree import Json, Path, read_tree
from coach.trade.cylinders import Cylinder, Region

LOCAL = "local-program"
"""Key of the source that a program's numbers rest on."""

PUBLISHED = "published"
"""Name under which the table's default stays with a changed fact, among what differs."""

_DATE = re.compile(r"(19|20)\d\d-\d\d-\d\d")


@dataclass(frozen=True, slots=True)
class Change:
    """One fact that a program changes; `weakens` is the reason where the patient is less safe.

    `now` is in the unit of the table, `written` as the program's file has it, in `unit`.
    """

    fact: str
    was: Amount
    now: Amount
    because: str
    written: Amount
    unit: str
    weakens: str = ""


@dataclass(frozen=True, slots=True)
class LocalProgram:
    """A program whose rules go before the default ones; `date` is written 2026-09-01.

    `skills` are the skills that it changes or turns off, by id. `target_chance` is the chance of
    doing a skill right that its rehearsals aim at (None: it leaves that to the setting). `scoring`
    is what it does otherwise with an attempt that is assessed. `cylinders` are the sizes that it
    has otherwise, or that the table lacks, `chart` is the chart of the body that it has otherwise.
    """

    name: str
    date: str
    approved_by: str
    changes: tuple[Change, ...]
    skills: Mapping[str, SkillChange] = field(default_factory=dict)
    target_chance: float | None = None
    scoring: ScoringChange | None = None
    cylinders: tuple[CylinderChange, ...] = ()
    chart: ChartChange | None = None

    def over(self, table: FactTable) -> FactTable:
        """The table with the program's numbers as defaults; the published ones stay beside them.

        Facts that this table does not have, since they stand beside other skills, are left out.
        """
        source = Source(
            LOCAL, f"{self.name}, approved by {self.approved_by}", "protocol", int(self.date[:4])
        )
        changed = {
            change.fact: _changed(table.facts[change.fact], change)
            for change in self.changes
            if change.fact in table.facts
        }
        cylinders: dict[Region, dict[str, Cylinder]] = {}
        for size in self.cylinders:
            cylinders.setdefault(size.now.region, {})[size.now.letter] = size.now
        chart = self.chart.now if self.chart else None
        return table.with_more(FactTable(changed, {LOCAL: source}, cylinders, chart))

    def weakenings(self) -> tuple[Change, ...]:
        """The changes that make a rule less safe, which have to be said aloud."""
        return tuple(change for change in self.changes if change.weakens)


def parse_local_facts(
    text: str,
    file: str,
    schema: Mapping[str, Any],
    table: FactTable,
    skills: Mapping[str, Mapping[str, Json]] | None = None,
    rule: Mapping[str, Json] | None = None,
) -> tuple[LocalProgram | None, tuple[Problem, ...]]:
    """The program of a file's text, or its problems sorted by line.

    `schema` is the published `local.schema.json`, `table` the facts that may be changed, `skills`
    the content of the skills that may be, by id, with shared steps in place, `rule` the published
    rule of scoring.
    """
    skills = {} if skills is None else skills
    tree, problems = read_tree(text, file)
    if tree is None:
        return None, problems
    found = {*problems, *schema_problems(tree, schema, file)}
    root = mapping(tree.value)
    for path, message in (
        *_mute(root, root, ()),
        *_mistakes(root, table),
        *skill_change_mistakes(root.get("skills"), skills, table),
        *scoring_mistakes(scoring_of(root), rule or {}),
        *local_cylinder_mistakes(root, table),
        *local_chart_mistakes(root, table),
        *together_mistakes(root, table),
    ):
        found.add(Problem(file, tree.line(path), message))
    if found:
        return None, tuple(sorted(found))
    changes = (
        _change(name, mapping(written), table.facts[name])
        for name, written in mapping(root.get("facts")).items()
    )
    return (
        LocalProgram(
            str(root["program"]),
            str(root["date"]),
            str(root["approved-by"]),
            tuple(changes),
            {
                name: _skill_change(
                    name,
                    tree.line(("skills", name)),
                    mapping(written),
                    tuple(weaker_options(mapping(written), skills[name], table).values()),
                )
                for name, written in mapping(root.get("skills")).items()
            },
            _target_chance(root),
            scoring_change(scoring_of(root), rule or {}),
            cylinder_changes(root, table, str(root["program"]), LOCAL),
            chart_change(root, table, LOCAL),
        ),
        (),
    )


def _target_chance(root: dict[str, Json]) -> float | None:
    told = root.get("target-chance")
    return float(told) if isinstance(told, int | float) else None


def _skill_change(
    name: str, line: int, written: dict[str, Json], weaker: tuple[WeakerNumber, ...]
) -> SkillChange:
    steps = mapping(written.get("steps"))
    return SkillChange(
        name,
        line,
        written,
        str(written.get("off", "")),
        {
            step: str(mapping(change)["weakens"])
            for step, change in steps.items()
            if "weakens" in mapping(change)
        },
        weaker,
        str(written.get("weakens", "")),
    )


def is_weaker(fact: Fact, now: Amount) -> bool:
    """Whether a number is less safe than the table's: on the wrong side of it, or a wider range.

    Where neither side is safer, as with a dose, or the table names none, any other number is; so
    are other words, which nothing can hold against the table's. A range whose safer side is named
    is less safe too when only its safe part is cut away.
    """
    was = fact.amount
    if isinstance(was.value, str):
        return now.value != was.value
    lower = _below(now.value, was.value) or _below(now.low, was.low)
    higher = _below(was.value, now.value) or _below(was.high, now.high)
    if was.value is None:
        return lower or higher or _moved(fact, now)
    if fact.safer == Safer.LOWER:
        return higher
    if fact.safer == Safer.HIGHER:
        return lower
    return lower or higher


def _moved(fact: Fact, now: Amount) -> bool:
    """Whether a range that is not wider keeps only what is less safe."""
    return (fact.safer == Safer.LOWER and _below(fact.amount.low, now.low)) or (
        fact.safer == Safer.HIGHER and _below(now.high, fact.amount.high)
    )


def _is_none_of_its_kind(now: Amount, was: Amount) -> bool:
    """Whether a number is nought or less where the table's is more: no safer limit, but a slip."""
    ends = ((now.value, was.value), (now.high, was.high))
    nought = any(_below(0.0, before) and not _below(0.0, value) for value, before in ends)
    return nought or (_below(now.low, 0.0) and not _below(was.low, 0.0))


def _side(fact: Fact, now: Amount) -> str:
    """Why a number counts as less safe, in words."""
    if isinstance(fact.amount.value, str):
        return "other words cannot be held against it"
    if fact.amount.value is None:
        return f"{fact.safer} is safer" if _moved(fact, now) else "a range grows wider"
    if fact.safer is None and fact.kept != Kept.DOSE:
        return "no side of it is known to be safer"
    either = fact.safer in (None, Safer.NEITHER)
    return "neither direction is safer" if either else f"{fact.safer} is safer"


def _below(one: str | float | None, other: str | float | None) -> bool:
    return isinstance(one, float) and isinstance(other, float) and one < other


def _mute(root: dict[str, Json], value: Json, path: Path) -> Iterator[Mistake]:
    """Texts without a letter or digit, which give no reason and name nobody; "%" is a unit."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key == "unit":
                continue
            yield from _mute(root, inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _mute(root, inner, (*path, number))
    elif isinstance(value, str) and value and not any(map(str.isalnum, value)):
        yield path, f"{place(root, path)} says nothing: write it in words."


def _is_a_day(written: str) -> bool:
    if _DATE.fullmatch(written) is None:
        return False
    year, month, day = map(int, written.split("-"))
    return 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]


def _mistakes(root: dict[str, Json], table: FactTable) -> Iterator[Mistake]:
    day = root.get("date")
    if isinstance(day, str) and not _is_a_day(day):
        yield ("date",), f"the date is '{day}': write a day of the calendar, as 2026-09-01."
    parts = {"facts", "cylinders", CHART, "skills", "target-chance", "scoring"}
    if not root.keys() & parts:
        yield (), "the file changes nothing: add 'facts', 'cylinders', 'skills' or 'scoring'."
    for name, written in mapping(root.get("facts")).items():
        path: Path = ("facts", name)
        fact = table.facts.get(name)
        if fact is None:
            yield (
                path,
                f"the table of facts has no '{name}' to change: "
                f"{did_you_mean(name, table.facts, 'facts', 'coach skills --sources')}",
            )
        elif isinstance(written, dict) and written:
            yield from _change_mistakes(root, path, written, fact)


def _in_the_tables(written: dict[str, Json], unit: str, fact: Fact) -> str:
    """What was written in the table's unit, where there is a way to it."""
    told = [
        f"{key} {round(converted, 1):g}"
        for key in AMOUNT_KEYS
        if isinstance(value := written.get(key), int | float)
        and (converted := told_in(value, unit, fact.unit)) is not None
    ]
    return f" ({', '.join(told)})" if told else ""


def _change_mistakes(
    root: dict[str, Json], path: Path, written: dict[str, Json], fact: Fact
) -> Iterator[Mistake]:
    where = place(root, path)
    given = {key for key in AMOUNT_KEYS if key in written}
    wanted = {
        key
        for key, value in zip(
            AMOUNT_KEYS, (fact.amount.value, fact.amount.low, fact.amount.high), strict=True
        )
        if value is not None
    }
    if given != wanted:
        keys = " and ".join(f"'{key}'" for key in AMOUNT_KEYS if key in wanted)
        yield (
            path,
            f"{where} must give {keys}, as the table does: it is {fact.amount.shown(fact.unit)}.",
        )
        return
    unit = written.get("unit")
    turned = {unit, fact.unit} <= _CYLINDER_PRESSURES
    if isinstance(unit, str) and unit != fact.unit and not turned:
        yield (
            (*path, "unit"),
            f"{where} is in {unit}, but the table's is in {fact.unit}: give the number in "
            f"{fact.unit}{_in_the_tables(written, unit, fact)}.",
        )
        return
    now = _in_unit(_amount(written), unit, fact.unit)
    if isinstance(now.value, str) != isinstance(fact.amount.value, str):
        kind = "words" if isinstance(fact.amount.value, str) else "a number"
        yield (*path, "value"), f"{where} must be {kind}, as in the table."
        return
    if not isinstance(now.value, str) and _is_none_of_its_kind(now, fact.amount):
        yield path, f"{where} is {now.shown(fact.unit)}: give a number above zero."
        return
    if _below(now.high, now.low):
        yield (*path, "low"), f"{where} has a low above its high: swap or mend them."
    told = is_weaker(fact, now) and _side(fact, now)
    weaker = f"the table has {fact.amount.shown(fact.unit)}, and {told}" if told else ""
    yield from weakening_mistakes(path, where, written, weaker)


_CYLINDER_PRESSURES = frozenset(map(str, UNITS_OF[Quantity.PRESSURE]))
"""Units of gauges, which differ from place to place: a program writes what its gauges read."""


def _in_unit(amount: Amount, unit: Json, wanted: str) -> Amount:
    """An amount in the unit of the table, to whole psi as a gauge is read, or tenths of the other
    units, so that it can be spoken."""
    if unit == wanted or not {unit, wanted} <= _CYLINDER_PRESSURES:
        return amount

    def turned(value: float | None) -> float | None:
        if value is None:
            return None
        told = Pressure.of(value, Unit(str(unit))).in_unit(Unit(wanted))
        return float(round(told)) if wanted == Unit.PSI else round(told, 1)

    value = amount.value
    return Amount(
        turned(value) if isinstance(value, float) else value,
        turned(amount.low),
        turned(amount.high),
    )


def _amount(written: dict[str, Json]) -> Amount:
    value, low, high = (
        float(found) if isinstance(found, int | float) else found
        for found in (written.get(key) for key in AMOUNT_KEYS)
    )
    return Amount(
        value=value if isinstance(value, str | float) else None,
        low=low if isinstance(low, float) else None,
        high=high if isinstance(high, float) else None,
    )


def _change(name: str, written: dict[str, Json], fact: Fact) -> Change:
    as_written, unit = _amount(written), str(written["unit"])
    return Change(
        name,
        fact.amount,
        _in_unit(as_written, unit, fact.unit),
        str(written["because"]),
        as_written,
        unit,
        str(written.get("weakens", "")),
    )


def _changed(fact: Fact, change: Change) -> Fact:
    return replace(
        fact,
        amount=change.now,
        sources=(LOCAL,),
        because=change.because,
        differs={**fact.differs, PUBLISHED: Differing(fact.amount, fact.sources, fact.because)},
    )
