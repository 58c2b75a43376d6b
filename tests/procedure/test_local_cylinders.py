"""A program's own cylinders: they count, they are attributed, and none promises more in silence."""

from __future__ import annotations

import json

import pytest
from skill_samples import LOCAL_SCHEMA, SAMPLE, SKILL_SCHEMA, sample_table

from coach.core.units import Flow, Pressure, Unit
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.bibliography import bibliography
from coach.procedure.in_force import exceptions_told, in_force, rules_told
from coach.procedure.local_facts import LOCAL, LocalProgram, parse_local_facts
from coach.procedure.parse import parse_skill
from coach.procedure.resolve import mapping
from coach.procedure.yaml_tree import read_tree
from coach.trade.cylinders import Region
from coach.trade.oxygen import minutes_left

RIVER = """\
program: Riverside evening course
date: 2026-09-01
approved-by: the medical director of the invented county
cylinders:
  us:
    XL:
      contents: 3450
      factor: 1.56
      because: The label of ours says 3450 liters.
      weakens: We have the large ones only.
    D: {contents: 330, because: Ours are old ones.}
  uk:
    PD: {contents: 300, full: 200, unit: bar, usual: true, because: The vans carry them.}
"""


def read(text: str = RIVER) -> LocalProgram:
    program, problems = parse_local_facts(text, "river.yaml", LOCAL_SCHEMA, sample_table())
    assert program, problems
    return program


def test_a_changed_cylinder_stands_and_the_published_one_stays_beside_it() -> None:
    program = read()
    table = program.over(sample_table())
    xl = table.oxygen_cylinders().find("XL")
    # Courses print 1.56 for an M of 3,450 liters (trade texts: 3,450 by 2,200 is 1.568).
    assert (xl.full.litres, xl.full_pressure, xl.litres_per_psi) == (3450, Pressure(2200), 1.56)
    assert xl.sources == (LOCAL,)
    assert xl.differs["published"].factor == 1.36
    assert xl.differs["published"].sources == ("sheet",)
    assert xl.note == (
        "Riverside evening course has this cylinder otherwise: The label of ours says 3450 liters. "
        "It promises more time than what is published: We have the large ones only."
    )
    # the gauge that is believed is that of the table where the program says nothing of it
    assert xl.highest_fill == sample_table().oxygen_cylinders().find("XL").highest_fill
    assert sample_table().oxygen_cylinders().find("XL").litres_per_psi == 1.36


def test_the_table_s_printed_factor_does_not_outlive_its_contents() -> None:
    d = read().over(sample_table()).oxygen_cylinders().find("D")
    assert not d.printed
    assert d.litres_per_psi == 0.15  # 330 by 2,200


def test_a_size_that_is_not_listed_is_added_and_named_in_the_question() -> None:
    cylinders = read().over(sample_table()).oxygen_cylinders()
    own = cylinders.find("pd", Region.UK)
    assert own.full_pressure == Pressure.of(200, Unit.BAR)
    left = minutes_left(own.full_pressure, Pressure(0), own.litres_per_psi, Flow(10))
    assert 29.5 < left.minutes <= 30  # 300 liters at 10 a minute
    assert [cylinder.letter for cylinder in cylinders.usual(Region.UK)] == ["PD"]
    assert [cylinder.letter for cylinder in cylinders.usual(Region.US)] == ["D"]


def sample_rules(program: LocalProgram) -> list[tuple[str, str]]:
    tree, _ = read_tree(SAMPLE, "sample-skill.yaml")
    written = mapping(tree.value if tree else None)
    return list(in_force(program, "sample-skill", (), written, sample_table()).weaker)


def test_what_promises_more_is_said_aloud_where_a_pressure_is_asked_for() -> None:
    assert sample_rules(read()) == [
        (
            "Weaker than published: U S cylinder XL, factor 1.56 instead of 1.36.",
            "We have the large ones only.",
        )
    ]
    no_gauge = {"steps": [{"id": "gloves"}]}
    told = in_force(read(), "gloves", (), json.loads(json.dumps(no_gauge)), sample_table())
    assert told.weaker == ()


def test_the_rules_list_every_cylinder_with_its_reason() -> None:
    lines = list(rules_told(read(), sample_table()))
    at = lines.index(
        "US cylinder XL: 3,450 L at 2,200 psi, factor 1.56 instead of 3,000 L at 2,200 psi, "
        "factor 1.36"
    )
    assert lines[at + 1 : at + 3] == [
        "    because: The label of ours says 3450 liters.",
        "    LESS SAFE, and said aloud: We have the large ones only.",
    ]
    own = "UK cylinder PD: 300 L at 200 bar, factor 0.103 (not in the table)"
    assert lines[lines.index(own) + 1] == "    because: The vans carry them."


def test_a_skill_by_the_program_has_the_program_s_cylinders() -> None:
    for program, factor in ((None, 1.36), (read(), 1.56)):
        table = program.over(sample_table()) if program else sample_table()
        skill_file = parse_skill(SAMPLE, "sample-skill.yaml", SKILL_SCHEMA, table).skill_file
        assert skill_file
        assert skill_file.cylinders.find("XL").litres_per_psi == factor


def test_a_fact_of_another_folder_does_not_keep_a_program_from_its_cylinders() -> None:
    """The program's own folder may have facts that the skills beside the program do not know."""
    text = RIVER.replace(
        "cylinders:\n",
        "facts:\n  sample-wait: {value: 3, unit: min, because: So., weakens: So it is.}\n"
        "cylinders:\n",
    )
    program = read(text)
    table = sample_table()
    fewer = type(table)({}, table.sources, table.cylinders)
    assert program.over(fewer).oxygen_cylinders().find("XL").litres_per_psi == 1.56
    assert in_force(program, "sample-skill", ("sample-wait",), {}, fewer).weaker == ()


@pytest.mark.parametrize("weaker", ["factor: 1.4", "full: 2250\n      unit: psi"])
def test_either_way_of_promising_more_needs_a_reason(weaker: str) -> None:
    text = (
        "program: River\ndate: 2026-09-01\napproved-by: nobody real\ncylinders:\n  us:\n    XL:\n"
        f"      {weaker}\n      contents: 3100\n      because: So it is.\n"
    )
    program, problems = parse_local_facts(text, "river.yaml", LOCAL_SCHEMA, sample_table())
    assert program is None
    assert "weakens a safety rule" in problems[0].message


def test_the_bibliography_has_the_cylinders_and_where_texts_disagree() -> None:
    lines = list(bibliography(sample_table(), ()))
    booklet = lines.index("An invented booklet, second edition (textbook, 2020)")
    resting = lines[booklet : lines.index("", booklet)]
    assert "    US cylinder D: 350 L at 2,200 psi, factor 0.16" in resting
    assert "    US cylinder XL, printed: 3,450 L (factor 1.56), differs" in resting
    part = lines[lines.index("WHERE SOURCES DISAGREE") :]
    xl = part.index("US cylinder XL: what it holds, when its gauge shows what")
    assert part[xl + 1 : xl + 5] == [
        "    default: 3,000 L at 2,200 psi, factor 1.36 [An invented sheet (from memory)]",
        "        Many hold no more.",
        "    printed: 3,450 L (factor 1.56) [An invented booklet, second edition]",
        "        Most courses.",
    ]


def test_a_default_that_is_not_the_lowest_is_told_unless_the_program_has_its_own() -> None:
    table = facts_for(program_facts().parent)
    told = "\n".join(exceptions_told(table))
    exceptional = {size.name: size.exception for size in table.every_cylinder() if size.exception}
    assert exceptional
    for name, reason in exceptional.items():
        assert f"\n{name}: " in told
        assert reason in told
        assert f"\n{name}: " not in "\n".join(exceptions_told(table, exceptional))
