"""The bibliography of the table of facts, as lines to print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coach.procedure.chart_section import SECTION as CHART
from coach.procedure.facts import Amount, Fact, FactTable, Source
from coach.procedure.local_cylinders import shown
from coach.procedure.skill_file import SkillFile
from coach.trade.cylinders import Cylinder, OtherText

_KEPT = "only checked against the learner's own number"


def bibliography(table: FactTable, skills: Iterable[SkillFile]) -> Iterator[str]:
    """The sources with the facts and cylinders that rest on each, the disagreements, then the
    sources that skills name for what is no number."""
    yield "SOURCES, AND THE FACTS THAT REST ON THEM"
    for key, source in sorted(table.sources.items(), key=lambda item: item[1].name.lower()):
        yield ""
        yield f"{source.name} ({_described(source)})"
        if source.at:
            yield f"    {source.at}"
        resting = list(_resting(table, key))
        yield from resting or ["    no number: how and why it is done, or how it is worked out"]
    yield ""
    yield "WHERE SOURCES DISAGREE"
    for fact in table.facts.values():
        if fact.differs:
            yield ""
            yield from _disagreement(table, fact)
    for cylinder in table.every_cylinder():
        if cylinder.differs:
            yield ""
            yield from _other_sizes(table, cylinder)
    yield ""
    yield "SOURCES OF WHAT IS NO NUMBER"
    for skill in skills:
        own = [name for key, name in skill.sources.items() if key not in table.sources]
        if own:
            yield ""
            yield f"{skill.title}:"
            yield from (f"    {name}" for name in sorted(own, key=str.lower))


def _described(source: Source) -> str:
    marks = [
        source.standing,
        str(source.year) if source.year else "no year",
        *(["weak"] if source.weak else []),
        *(["from memory, not checked"] if source.from_memory else []),
    ]
    return ", ".join(marks)


def _resting(table: FactTable, key: str) -> Iterator[str]:
    for fact in table.facts.values():
        if key in fact.sources:
            default = ", the default" if fact.differs else ""
            yield f"    {fact.name}: {_shown(fact, fact.amount)}{default}"
        for name, differing in fact.differs.items():
            if key in differing.sources:
                yield f"    {fact.name}.{name}: {_shown(fact, differing.amount)}, differs"
    if table.chart and key in table.chart.sources:
        yield f"    {CHART}: the parts of the body by age, in percent ({table.chart.population})"
    for cylinder in table.every_cylinder():
        if key in cylinder.sources:
            default = ", the default" if cylinder.differs else ""
            yield f"    {cylinder.name}: {shown(cylinder)}{default}"
        for name, other in cylinder.differs.items():
            if key in other.sources:
                yield f"    {cylinder.name}, {name}: {_other_size(cylinder, other)}, differs"


def _disagreement(table: FactTable, fact: Fact) -> Iterator[str]:
    yield f"{fact.name}: {fact.about} ({fact.population})"
    yield from _default(table, fact, _shown(fact, fact.amount))
    for name, differing in fact.differs.items():
        told = f"{_shown(fact, differing.amount)} [{_names(table, differing.sources)}]"
        yield from _differing(name, told, differing.note)


def _other_sizes(table: FactTable, cylinder: Cylinder) -> Iterator[str]:
    yield f"{cylinder.name}: what it holds, when its gauge shows what"
    yield from _default(table, cylinder, shown(cylinder))
    for name, other in cylinder.differs.items():
        told = f"{_other_size(cylinder, other)} [{_names(table, other.sources)}]"
        yield from _differing(name, told, other.note)


def _default(table: FactTable, told: Fact | Cylinder, amount: str) -> Iterator[str]:
    """What counts where no program says otherwise, and why."""
    yield f"    default: {amount} [{_names(table, told.sources)}]"
    yield f"        {told.because}"
    if told.exception:
        yield f"        NOT THE SAFEST PUBLISHED: {told.exception}"


def _differing(name: str, told: str, note: str) -> Iterator[str]:
    """What another text gives."""
    yield f"    {name}: {told}"
    if note:
        yield f"        {note}"


def _other_size(cylinder: Cylinder, other: OtherText) -> str:
    """What another text gives, and what that comes to: "425 L at 2,216 psi (factor 0.192)"."""
    parts = []
    if other.full is not None:
        parts.append(f"{other.full.litres:,g} L")
    if other.full_pressure is not None:
        unit = cylinder.unit
        parts.append(f"at {other.full_pressure.in_unit(unit):,.0f} {unit}")
    factor = f"factor {cylinder.factor_of(other):.3g}"
    return f"{' '.join(parts)} ({factor})" if parts else factor


def _shown(fact: Fact, amount: Amount) -> str:
    return f"a {fact.kept}, {_KEPT}" if fact.kept else amount.shown(fact.unit)


def _names(table: FactTable, keys: Iterable[str]) -> str:
    return "; ".join(
        f"{source.name}{' (from memory)' if source.from_memory else ''}"
        for source in (table.sources[key] for key in keys)
    )
