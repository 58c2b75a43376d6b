"""The bibliography of the table of facts, as lines to print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coach.procedure.facts import Amount, Fact, FactTable, Source
from coach.procedure.skill_file import SkillFile

_KEPT = "only checked against the learner's own number"


def bibliography(table: FactTable, skills: Iterable[SkillFile]) -> Iterator[str]:
    """The sources with the facts that rest on each, the disagreements, then the sources that
    skills name for what is no number."""
    yield "SOURCES, AND THE FACTS THAT REST ON THEM"
    for key, source in sorted(table.sources.items(), key=lambda item: item[1].name.lower()):
        yield ""
        yield f"{source.name} ({_described(source)})"
        if source.at:
            yield f"    {source.at}"
        resting = list(_resting(table, key))
        yield from resting or ["    no number: what skills say of how and why"]
    yield ""
    yield "WHERE SOURCES DISAGREE"
    for fact in table.facts.values():
        if fact.differs:
            yield ""
            yield from _disagreement(table, fact)
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


def _disagreement(table: FactTable, fact: Fact) -> Iterator[str]:
    yield f"{fact.name}: {fact.about} ({fact.population})"
    yield f"    default: {_shown(fact, fact.amount)} [{_names(table, fact.sources)}]"
    yield f"        {fact.because}"
    if fact.exception:
        yield f"        NOT THE SAFEST PUBLISHED: {fact.exception}"
    for name, differing in fact.differs.items():
        told = f"{_shown(fact, differing.amount)} [{_names(table, differing.sources)}]"
        yield f"    {name}: {told}"
        if differing.note:
            yield f"        {differing.note}"


def _shown(fact: Fact, amount: Amount) -> str:
    return f"a {fact.kept}, {_KEPT}" if fact.kept else amount.shown(fact.unit)


def _names(table: FactTable, keys: Iterable[str]) -> str:
    return "; ".join(
        f"{source.name}{' (from memory)' if source.from_memory else ''}"
        for source in (table.sources[key] for key in keys)
    )
