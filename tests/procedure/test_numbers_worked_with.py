"""The numbers of what is worked out: a table that lacks one, and what is kept of them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from skill_samples import SKILL_SCHEMA, line_of

from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_files import load_skill
from coach.procedure.earlier_numbers import EARLIER
from coach.procedure.facts import Amount, FactTable
from coach.procedure.numbers import FACTS_OF, facts_worked_with
from coach.procedure.parse import parse_skill
from coach.procedure.skill_content import content_bytes, content_name, skill_file_of

STEP = """\
id: sums
title: What is worked out
minutes: 1
table: [a manikin]
sources: {common: "Common practice, no source"}
steps:
  - id: first
    name: the first
    say: Do it.
    why: It has to be done.
    how: With care.
    heard-as: {phrases: [i did the first]}
"""
PARTS = {
    "pulse-pressure-narrow": """\
    readings:
      - {name: pressure, quantity: blood-pressure, unit: mmHg, by: ear, low: "{no-fact.90}",
         high: "{no-fact.140}", lower-low: "{no-fact.60}", lower-high: "{no-fact.90}",
         ask: What is it?, sources: [common]}
""",
    "fastest-breaths": """\
    count: {of: breaths, seconds: "{no-fact.30}", low: "{no-fact.12}", high: "{no-fact.20}"}
""",
}
"""For a fact of each sum, what a step has that rests on it."""


def table_without(name: str, instead: Amount | None = None) -> FactTable:
    """The program's table without a fact, or with another amount of it."""
    table = facts_for(program_facts().parent)
    facts = {key: fact for key, fact in table.facts.items() if key != name}
    if instead is not None:
        facts[name] = replace(table.facts[name], amount=instead)
    return replace(table, facts=facts)


@pytest.mark.parametrize("name", PARTS)
def test_a_number_that_the_table_lacks_is_told_with_its_line(name: str) -> None:
    text = STEP + PARTS[name]
    assert not parse_skill(
        text, "sums.yaml", SKILL_SCHEMA, facts_for(program_facts().parent)
    ).problems
    [problem] = parse_skill(text, "sums.yaml", SKILL_SCHEMA, table_without(name)).problems
    assert problem.file == "sums.yaml"
    assert problem.line >= line_of("  - id: first", text)
    assert f"the table of facts has no '{name}'" in problem.message
    assert problem.message.endswith("add it to facts.yaml.")


@pytest.mark.parametrize("amount", [Amount(value="many"), Amount(low=1.0), Amount(high=2.0)])
def test_a_number_of_another_kind_is_none(amount: Amount) -> None:
    for name, part in PARTS.items():
        found = parse_skill(STEP + part, "sums.yaml", SKILL_SCHEMA, table_without(name, amount))
        assert f"has no '{name}' with" in found.problems[0].message


def test_every_sum_is_used_by_a_skill_and_has_a_part_here() -> None:
    for names in FACTS_OF.values():
        assert set(names) & set(PARTS)


def test_what_a_skill_works_with_is_kept_with_it_and_nothing_else() -> None:
    kept = json.loads(content_bytes(load_skill("vital-signs")))
    assert set(kept["numbers"]) == set(facts_worked_with(kept["written"]))
    assert kept["numbers"]["pulse-pressure-wide"]["value"] == 100
    assert "numbers" not in json.loads(content_bytes(load_skill("recovery-position")))


def test_a_skill_kept_before_there_were_numbers_has_those_of_then() -> None:
    kept = json.loads(content_bytes(load_skill("vital-signs")))
    del kept["numbers"]
    again = skill_file_of(json.dumps(kept).encode())
    assert again.numbers.amounts == {
        name: EARLIER[name] for name in facts_worked_with(kept["written"])
    }
    bounds = again.numbers.pressures
    assert (bounds.narrow_share, bounds.wide_mmhg) == (0.25, 100)
    assert (bounds.upper_mmhg, bounds.lower_mmhg) == ((40, 300), (0, 200))


def test_a_table_that_changes_changes_no_kept_skill() -> None:
    skill_file = load_skill("vital-signs")
    changed = {**skill_file.numbers.amounts, "pulse-pressure-wide": Amount(value=60.0)}
    other = replace(skill_file, numbers=replace(skill_file.numbers, amounts=changed))
    assert content_name(content_bytes(other)) != content_name(content_bytes(skill_file))
    assert skill_file_of(content_bytes(skill_file)).numbers.pressures.wide_mmhg == 100
    assert skill_file_of(content_bytes(other)).numbers.pressures.wide_mmhg == 60
