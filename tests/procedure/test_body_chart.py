"""The chart of the body and the rule of nines in a table of facts and in a program's file."""

from __future__ import annotations

import pytest
import yaml
from skill_samples import FACTS_SCHEMA, LOCAL_SCHEMA, line_of

from coach.core.problem import Problem
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.bibliography import bibliography
from coach.procedure.fact_file import parse_facts
from coach.procedure.facts import EMPTY, FactTable
from coach.procedure.in_force import rules_told
from coach.procedure.local_facts import LOCAL, LocalProgram, parse_local_facts
from coach.procedure.nines_facts import NINES_FACTS
from coach.trade.burns import ChartPart

SOURCES = """\
sources:
  booklet: {name: "An invented booklet, second edition", year: 2020, standing: textbook}
"""
CHART = """\
body-chart:
  population: all ages
  from-years: [0, 7]
  parts:
    head: [20, 10]
    neck: 2
    front: 13
    back: 13
    buttocks: 5
    genitals: 1
    upper-arms: 8
    forearms: 6
    hands: 5
    thighs: [10, 15]
    lower-legs: [10, 15]
    feet: 7
  sources: [booklet]
"""
NINES = """\
facts:
  burn-head: {about: a share, population: adult, value: 9, unit: "%", sources: [booklet]}
  burn-front: {about: a share, population: adult, value: 18, unit: "%", sources: [booklet]}
  burn-back: {about: a share, population: adult, value: 18, unit: "%", sources: [booklet]}
  burn-arm: {about: a share, population: adult, value: 9, unit: "%", sources: [booklet]}
  burn-leg: {about: a share, population: adult, value: 18, unit: "%", sources: [booklet]}
  burn-genitals: {about: a share, population: adult, value: 1, unit: "%", sources: [booklet]}
  burn-grows-from: {about: an age, population: child, value: 1, unit: years, sources: [booklet]}
  burn-grown-at: {about: an age, population: child, value: 10, unit: years, sources: [booklet]}
"""


def problems(text: str, beside: FactTable = EMPTY) -> tuple[Problem, ...]:
    return parse_facts(text, "folder/facts.yaml", FACTS_SCHEMA, beside).problems


def test_what_is_written_is_read() -> None:
    table = parse_facts(SOURCES + CHART, "folder/facts.yaml", FACTS_SCHEMA).table
    assert table is not None
    assert table.chart is not None
    assert table.chart.sources == ("booklet",)
    chart = table.chart.chart
    assert [chart.at(age)[ChartPart.HEAD] for age in (0, 6.9, 7, 90)] == [20, 20, 10, 10]
    assert chart.at(90)[ChartPart.FEET] == 7
    assert any("body-chart: the parts of the body" in line for line in bibliography(table, ()))


@pytest.mark.parametrize(
    ("old", "new", "at", "says"),
    [
        (
            "    neck: 2\n",
            "    neck: 3\n",
            "  parts:",
            "the parts of 'body-chart' come to 101 percent from 0 years on: they have to come to "
            "100 at every age, so mend what is wrong.",
        ),
        (
            "[20, 10]",
            "[20, 11]",
            "  parts:",
            "the parts of 'body-chart' come to 101 percent from 7 years on: they have to come to "
            "100 at every age, so mend what is wrong.",
        ),
        (
            "[10, 15]\n    lower",
            "[10, 15, 15]\n    lower",
            "    thighs:",
            "'thighs' of 'body-chart' has 3 numbers, but there are 2 ages: give one for each, or a "
            "single number that holds at every age.",
        ),
        (
            "[0, 7]",
            "[0, 7, 7]",
            "  from-years:",
            "'from-years' of 'body-chart' is 0, 7, 7: begin with 0, for birth, and let each age be "
            "above the one before.",
        ),
        (
            "[0, 7]",
            "[1, 7]",
            "  from-years:",
            "'from-years' of 'body-chart' is 1, 7: begin with 0, for birth, and let each age be "
            "above the one before.",
        ),
        (
            "    neck: 2\n",
            "",
            "  parts:",
            "'parts' of 'body-chart' has no 'neck': add its percent of the body: a list with one "
            "for each age, or one number.",
        ),
        (
            "    neck: 2\n",
            "    neck: two\n",
            "    neck: two",
            "'neck' of 'parts' of 'body-chart' must be a number or a list, not text: give percent "
            "of the body: a list with one for each age, or one number that holds at every age.",
        ),
        (
            "    neck: 2\n",
            "    nek: 2\n",
            "    nek: 2",
            "'parts' of 'body-chart' has an unknown key 'nek': did you mean 'neck'?",
        ),
        (
            "[booklet]",
            "[bocklet]",
            "  sources: [bocklet]",
            "'body-chart' names the source 'bocklet', which is not among the sources: did you "
            "mean 'booklet'?",
        ),
    ],
)
def test_a_mistake_in_the_chart_is_told_with_its_line(
    old: str, new: str, at: str, says: str
) -> None:
    assert CHART.count(old) == 1
    text = SOURCES + CHART.replace(old, new)
    assert problems(text) == (Problem("folder/facts.yaml", line_of(at, text), says),)


def test_a_chart_beside_the_program_s_is_no_addition() -> None:
    beside = facts_for(program_facts().parent)
    [problem] = problems(SOURCES + CHART, beside)
    assert problem.line == line_of("body-chart:", SOURCES + CHART)
    assert "is in the program's table already: take it out" in problem.message


def test_an_adult_s_parts_come_to_the_whole_body() -> None:
    assert not problems(SOURCES + NINES)
    text = SOURCES + NINES.replace("value: 18", "value: 17", 1)
    [problem] = problems(text)
    assert problem.line == line_of("  burn-head:", text)
    assert problem.message.startswith("the parts of an adult come to 99 percent with 'burn-head',")


def test_nobody_is_grown_up_before_growing() -> None:
    text = SOURCES + NINES.replace("value: 10, unit: years", "value: 1, unit: years")
    [problem] = problems(text)
    assert problem.line == line_of("  burn-grows-from:", text)
    assert problem.message == (
        "'burn-grows-from' is 1, not below the 1 of 'burn-grown-at': mend what is wrong."
    )


HEAD = """\
program: Riverside evening course
date: 2026-09-01
approved-by: the medical director of the invented county
"""
OWN = """\
body-chart:
  parts: {head: [21, 17, 13, 11, 9, 7], thighs: [9, 13, 16, 17, 18, 19]}
  because: Our wall chart has it.
  weakens: Nobody measures newborns here.
"""


def local(text: str) -> tuple[LocalProgram | None, tuple[Problem, ...]]:
    table = facts_for(program_facts().parent)
    return parse_local_facts(HEAD + text, "own.yaml", LOCAL_SCHEMA, table)


def test_a_program_s_parts_stand_in_the_chart() -> None:
    program, found = local(OWN)
    assert program, found
    table = facts_for(program_facts().parent)
    own = program.over(table).chart
    assert own is not None
    assert own.sources == (LOCAL,)
    assert own.chart.at(0)[ChartPart.HEAD] == 21
    assert own.chart.at(0)[ChartPart.FEET] == 7
    assert table.chart is not None
    assert table.chart.chart.at(0)[ChartPart.HEAD] == 19
    told = "\n".join(rules_told(program, table))
    assert "    head: 21, 17, 13, 11, 9, 7 %, instead of 19, 17, 13, 11, 9, 7 %" in told
    assert "feet" not in told
    assert "LESS SAFE, and said aloud: Nobody measures newborns here." in told


@pytest.mark.parametrize(
    ("old", "new", "at", "says"),
    [
        (
            "[9, 13,",
            "[10, 13,",
            "  parts:",
            "the parts of 'body-chart' come to 101 percent from 0 years on: they have to come to "
            "100 at every age, so mend what is wrong.",
        ),
        (
            "  weakens: Nobody measures newborns here.\n",
            "",
            "body-chart:",
            "'body-chart' weakens a safety rule (no side of it is known to be safer): say why in "
            "'weakens', which the coach says aloud, or take the change out.",
        ),
        (
            "  parts: {head: [21, 17, 13, 11, 9, 7], thighs: [9, 13, 16, 17, 18, 19]}\n",
            "",
            "body-chart:",
            "'body-chart' changes nothing: give 'parts', and 'from-years' if they do.",
        ),
        (
            "  parts:",
            "  from-years: [0, 2]\n  parts:",
            "  parts:",
            "'head' of 'body-chart' has 6 numbers, but there are 2 ages: give one for each, or a "
            "single number that holds at every age.",
        ),
    ],
)
def test_a_mistake_in_a_program_s_chart_is_told_with_its_line(
    old: str, new: str, at: str, says: str
) -> None:
    text = OWN.replace(old, new)
    _, found = local(text)
    assert Problem("own.yaml", line_of(at, HEAD + text), says) in found


def test_a_program_s_parts_of_the_rule_come_to_the_whole_body() -> None:
    head = "facts:\n  burn-head-infant: {value: 21, unit: '%', because: So., weakens: So.}\n"
    _, [problem] = local(head)
    assert problem.line == 5
    assert problem.message.startswith("the parts of an infant come to 103 percent with")
    # Healthwise prints 21, 10 and 13.5, and leaves the trunk for the rest of the body.
    legs = "  burn-leg-infant: {value: 12, unit: '%', because: So., weakens: So.}\n"
    program, found = local(head + legs)
    assert program, found


def test_all_facts_of_the_rule_are_in_the_table() -> None:
    written = yaml.safe_load(program_facts().read_text("utf-8"))["facts"]
    assert set(NINES_FACTS) <= set(written)


@pytest.mark.parametrize(
    ("fact", "says"),
    [
        (
            "coma-moderate: {value: 13, unit: counted, because: So.}",
            "'coma-moderate' is 13, not below the 13 of 'coma-mild': mend what is wrong.",
        ),
        (
            "birth-score-again: {value: 2.5, unit: min, because: So., weakens: So.}",
            "fact 'birth-score-again' is 2.5: give a whole number above zero.",
        ),
    ],
)
def test_numbers_that_make_no_sense_beside_each_other_are_told(fact: str, says: str) -> None:
    _, found = local(f"facts:\n  {fact}\n")
    assert [(problem.line, problem.message) for problem in found] == [(5, says)]
