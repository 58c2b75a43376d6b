"""The numbers of what is worked out: a table that lacks one, and what is kept of them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from skill_samples import SKILL_SCHEMA, line_of

from coach.core.errors import InputError
from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_files import load_skill
from coach.procedure.facts import Amount, FactTable
from coach.procedure.numbers import FACTS_OF
from coach.procedure.oxygen_numbers import oxygen_numbers
from coach.procedure.parse import parse_skill
from coach.procedure.skill_content import content_bytes, content_name, skill_file_of
from coach.procedure.skill_file import SkillFile
from coach.procedure.worked_out import facts_worked_with
from coach.trade.birth_score import Sign
from coach.trade.burns import ChartPart
from coach.trade.rates import Counted

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
    "burn-palm-measured": """\
    readings:
      - {name: area, quantity: burned-area, unit: "%", low: "{no-fact.1}", high: "{no-fact.100}",
         burned: {age-years: "{no-fact.5}"}, ask: How much?, sources: [common]}
""",
    "temperature-measured": "    thermometer: true\n",
    "coma-mild": """\
    score: {of: consciousness}
    readings:
      - {name: eye, quantity: count, unit: counted, low: "{no-fact.1}", high: "{no-fact.4}",
         ask: The eyes?, sources: [common]}
      - {name: verbal, quantity: count, unit: counted, low: "{no-fact.1}", high: "{no-fact.5}",
         ask: The voice?, sources: [common]}
      - {name: motor, quantity: count, unit: counted, low: "{no-fact.1}", high: "{no-fact.6}",
         ask: The limbs?, sources: [common]}
""",
    "birth-score-last": """\
    score: {of: birth, minute: "{no-fact.5}"}
    readings:
"""
    + "".join(
        f"      - {{name: {sign}, quantity: count, unit: counted, low: '{{no-fact.0}}',\n"
        f"         high: '{{no-fact.2}}', ask: The {sign}?, sources: [common]}}\n"
        for sign in Sign
    ),
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


def test_a_chart_that_the_table_lacks_is_told_with_its_line() -> None:
    table = replace(facts_for(program_facts().parent), chart=None)
    text = STEP + PARTS["burn-palm-measured"]
    [problem] = parse_skill(text, "sums.yaml", SKILL_SCHEMA, table).problems
    assert problem.line == line_of("      - {name: area", text)
    assert problem.message == (
        "reading 'area' of step 'first' needs the parts of the body for a burned area, and the "
        "table of facts has no 'body-chart': add it to facts.yaml."
    )


@pytest.mark.parametrize("amount", [Amount(value="many"), Amount(low=1.0), Amount(high=2.0)])
def test_a_number_of_another_kind_is_none(amount: Amount) -> None:
    for name, part in PARTS.items():
        found = parse_skill(STEP + part, "sums.yaml", SKILL_SCHEMA, table_without(name, amount))
        assert f"has no '{name}' with" in found.problems[0].message


@pytest.mark.parametrize(
    ("name", "instead", "says"),
    [
        ("device-rate", None, "the file has no fact 'device-rate', which coach oxygen works with"),
        ("device-rate", Amount(value=3.0), "fact 'device-rate' has to be a range: give 'low' and"),
        ("liquid-vessel-most", Amount(low=3.0), "fact 'liquid-vessel-most' has to be one number"),
    ],
)
def test_a_number_of_oxygen_that_the_table_lacks_is_told(
    name: str, instead: Amount | None, says: str
) -> None:
    with pytest.raises(InputError, match=says):
        oxygen_numbers(table_without(name, instead), "the file")


def test_every_sum_is_used_by_a_skill_and_has_a_part_here() -> None:
    for names in FACTS_OF.values():
        assert set(names) & set(PARTS)


def test_what_a_skill_works_with_is_kept_with_it_and_nothing_else() -> None:
    kept = json.loads(content_bytes(load_skill("vital-signs")))
    assert set(kept["numbers"]) == set(facts_worked_with(kept["written"]))
    assert kept["numbers"]["pulse-pressure-wide"]["value"] == 100
    assert "numbers" not in json.loads(content_bytes(load_skill("recovery-position")))


def as_kept_before(skill: str) -> SkillFile:
    """A skill as it comes back from content of a program that kept no numbers."""
    kept = json.loads(content_bytes(load_skill(skill)))
    kept = {key: value for key, value in kept.items() if key not in ("numbers", "body-chart")}
    return skill_file_of(json.dumps(kept).encode())


def test_a_skill_kept_before_there_were_numbers_has_those_of_then() -> None:
    numbers = as_kept_before("vital-signs").numbers
    bounds = numbers.pressures
    assert (bounds.narrow_share, bounds.wide_mmhg) == (0.25, 100)
    assert (bounds.upper_mmhg, bounds.lower_mmhg) == ((40, 300), (0, 200))
    assert numbers.fastest.per_minute == {Counted.BREATHS: 120, Counted.PULSE: 320}
    assert numbers.chart is None


def test_a_burn_kept_before_there_were_numbers_has_the_tables_of_then() -> None:
    # As printed today: the published tables have not changed (the table of facts names them).
    then, now = as_kept_before("burns").numbers.burns, load_skill("burns").numbers.burns
    assert then == now


def test_a_chart_comes_back_from_what_is_kept() -> None:
    skill_file = load_skill("burns")
    assert skill_file.numbers.chart is not None
    percent = {**skill_file.numbers.chart.percent, ChartPart.HEAD: (20.0,) * 6}
    chart = replace(skill_file.numbers.chart, percent=percent)
    other = replace(skill_file, numbers=replace(skill_file.numbers, chart=chart))
    assert skill_file_of(content_bytes(other)).numbers == other.numbers


def test_a_table_that_changes_changes_no_kept_skill() -> None:
    skill_file = load_skill("vital-signs")
    changed = {**skill_file.numbers.amounts, "pulse-pressure-wide": Amount(value=60.0)}
    other = replace(skill_file, numbers=replace(skill_file.numbers, amounts=changed))
    assert content_name(content_bytes(other)) != content_name(content_bytes(skill_file))
    assert skill_file_of(content_bytes(skill_file)).numbers.pressures.wide_mmhg == 100
    assert skill_file_of(content_bytes(other)).numbers.pressures.wide_mmhg == 60
