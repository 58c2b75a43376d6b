"""Whether an option that a program takes as its default works with a less safe published number."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coach.procedure.fact_references import FACT, split_reference
from coach.procedure.facts import Amount, Fact, FactTable, Safer
from coach.procedure.resolve import (
    BRACES,
    Choices,
    Facts,
    every_choice,
    facts_of,
    listed,
    mapping,
    written_fields,
)
from coach.procedure.skill_texts import every_text
from coach.procedure.yaml_tree import Json

_HELD_AGAINST = ("readings", "clock", "count", "pace")
"""What of a step holds the learner against a number; a number that is only told weakens nothing."""

_Used = dict[str, set[tuple[str, str]]]
"""By step, each fact by its name and the part of it that is named."""


@dataclass(frozen=True, slots=True)
class WeakerNumber:
    """A fact of which the option works with the less safe number: `now` instead of `was`."""

    fact: Fact
    now: float
    was: float

    def told(self) -> str:
        """Within a message to who wrote the file."""
        now, was = (Amount(value=number).shown(self.fact.unit) for number in (self.now, self.was))
        return f"{now} for '{self.fact.name}' instead of {was}, and {self.fact.safer} is safer"


def weaker_number(
    root: Mapping[str, Json], setting: str, option: str, table: FactTable
) -> WeakerNumber | None:
    """The first number that is less safe with the option than with the skill's own default.

    `root` is the skill's content before its facts are put in. Held against each other are only
    parts of one fact whose safer side the table names: another patient or device has facts of its
    own, and neither is the safer one.
    """
    settings = mapping(root.get("settings"))
    default = str(mapping(settings.get(setting)).get("default"))
    usual, own = (_used(root, setting, name) for name in (default, option))
    for step, named in own.items():
        before = usual.get(step, set())
        for name, part in sorted(named - before):
            fact = table.facts.get(name)
            if fact is None:
                continue
            for _, other in sorted(one for one in before if one[0] == name):
                now, was = fact.part(part), fact.part(other)
                if isinstance(now, float) and isinstance(was, float) and _worse(fact, now, was):
                    return WeakerNumber(fact, now, was)
    return None


def _worse(fact: Fact, now: float, was: float) -> bool:
    return (fact.safer == Safer.LOWER and now > was) or (fact.safer == Safer.HIGHER and now < was)


def _used(root: Mapping[str, Json], setting: str, option: str) -> _Used:
    facts = facts_of(root.get("settings"))
    used: _Used = {}
    for choices in every_choice({**facts, setting: {option: {}}}):
        for step in map(mapping, listed(root.get("steps"))):
            fields = written_fields(step, choices)
            if fields is not None:
                held = {key: fields[key][1] for key in _HELD_AGAINST if key in fields}
                used.setdefault(str(step.get("id")), set()).update(_named(held, choices, facts))
    return used


def _named(value: Json, choices: Choices, facts: Facts) -> Iterator[tuple[str, str]]:
    """The facts in texts, also those that stand behind what an option brings."""
    for _, text in every_text(value, ()):
        for reference in BRACES.findall(text):
            kind, _, rest = reference.partition(".")
            if kind == FACT:
                yield split_reference(rest)[:2]
            elif kind in facts and kind in choices:
                behind = facts[kind].get(choices[kind], {}).get(rest)
                if isinstance(behind, str):
                    yield from _named(behind, choices, {})
