"""A program's own numbers: they stand, they are attributed, and none weakens a rule silently."""

from __future__ import annotations

import pytest
from skill_samples import LOCAL, LOCAL_SCHEMA, SAMPLE, SKILL_SCHEMA, line_of, sample_table

from coach.procedure.facts import Amount
from coach.procedure.in_force import rules_told
from coach.procedure.local_facts import LOCAL as LOCAL_SOURCE
from coach.procedure.local_facts import LocalProgram, parse_local_facts
from coach.procedure.parse import parse_skill
from coach.rehearsal.aim import AIMS


def read(text: str = LOCAL) -> tuple[LocalProgram | None, list[str]]:
    program, problems = parse_local_facts(text, "river.yaml", LOCAL_SCHEMA, sample_table())
    return program, [f"{problem.line}: {problem.message}" for problem in problems]


def test_the_program_s_numbers_stand_and_the_published_ones_stay_beside_them() -> None:
    program, problems = read()
    assert program, problems
    table = program.over(sample_table())
    changed = table.facts["sample-pass-adult"]
    assert changed.part("") == 15.0
    assert changed.part("published") == 10.0
    assert changed.part("longer") == 15.0
    assert changed.differs["published"].sources == ("booklet",)
    assert changed.sources == (LOCAL_SOURCE,)
    assert table.sources[LOCAL_SOURCE].name == (
        "Riverside evening course, approved by the medical director of the invented county"
    )
    assert table.sources[LOCAL_SOURCE].year == 2026
    assert table.facts["sample-pass-infant"] == sample_table().facts["sample-pass-infant"]


def test_only_what_is_less_safe_has_to_be_said_aloud() -> None:
    program, _ = read()
    assert program
    (weaker,) = program.weakenings()
    assert (weaker.fact, weaker.was, weaker.now) == (
        "sample-pass-adult",
        Amount(value=10.0),
        Amount(value=15.0),
    )
    assert weaker.weakens == "The county's manikins need the longer pass."


@pytest.mark.parametrize(
    ("low", "high", "unit"), [(50, 160, "bar"), (5000, 16000, "kPa"), (5, 16, "MPa")]
)
def test_a_pressure_is_written_as_the_program_s_gauges_read(
    low: float, high: float, unit: str
) -> None:
    written = f"low: {low}\n    high: {high}\n    unit: {unit}"
    program, problems = read(LOCAL.replace("low: 700\n    high: 2400\n    unit: psi", written))
    assert program, problems
    change = next(each for each in program.changes if each.fact == "sample-pressure")
    # NIST SP 811, appendix B.8: 14.50377 psi to the bar; 725.19 and 2320.60 psi.
    assert change.now == Amount(low=725.0, high=2321.0)
    assert (change.written, change.unit) == (Amount(low=low, high=high), unit)
    told = " ".join(rules_told(program, sample_table()))
    assert f"sample-pressure: {change.written.shown(unit)} instead of 500 to 2,400 psi" in told


def test_a_pressure_that_is_less_safe_is_so_in_any_unit() -> None:
    written = "low: 30\n    high: 160\n    unit: bar"  # 435 psi, under the 500 of the table
    _, problems = read(LOCAL.replace("low: 700\n    high: 2400\n    unit: psi", written))
    assert [problem for problem in problems if "weakens a safety rule" in problem] == problems
    assert problems


def test_a_skill_counts_and_speaks_the_program_s_number() -> None:
    program, _ = read()
    assert program
    table = program.over(sample_table())
    skill_file = parse_skill(SAMPLE, "sample-skill.yaml", SKILL_SCHEMA, table).skill_file
    assert skill_file
    suction = skill_file.chosen({}).step("suction")
    assert suction.how == "At most 15 seconds."
    assert suction.clock
    assert suction.clock.limit_s == 15
    assert skill_file.sources[LOCAL_SOURCE].startswith("Riverside evening course")


# Each case: what is replaced in the program's file, by what, where, what must be said.
BROKEN = {
    "nobody approved": (
        "approved-by: the medical director of the invented county\n",
        "",
        "program: Riverside",
        "the file has no 'approved-by': add who approved the changes.",
    ),
    "date in words": (
        "date: 2026-09-01",
        "date: last fall",
        "date: last fall",
        "the date is 'last fall': write a day of the calendar, as 2026-09-01.",
    ),
    "unknown fact": (
        "  sample-pressure:",
        "  sample-presure:",
        "sample-presure",
        "the table of facts has no 'sample-presure' to change: did you mean 'sample-pressure'?",
    ),
    "another unit": (
        "unit: psi",
        "unit: mm",
        "unit: mm",
        "fact 'sample-pressure' is in mm, but the table's is in psi: give the number in psi.",
    ),
    "number for a range": (
        "    low: 700\n    high: 2400\n",
        "    value: 700\n",
        "  sample-pressure:",
        "fact 'sample-pressure' must give 'low' and 'high', as the table does: it is "
        "500 to 2,400 psi.",
    ),
    "words for a number": (
        "value: 15",
        "value: fifteen",
        "value: fifteen",
        "fact 'sample-pass-adult' must be a number, as in the table.",
    ),
    "weakened silently": (
        "    weakens: The county's manikins need the longer pass.\n",
        "",
        "  sample-pass-adult:",
        "fact 'sample-pass-adult' weakens a safety rule (the table has 10 s, and lower is safer): "
        "say why in 'weakens', which the coach says aloud, or take the change out.",
    ),
    "range widened silently": (
        "low: 700",
        "low: 300",
        "  sample-pressure:",
        "fact 'sample-pressure' weakens a safety rule (the table has 500 to 2,400 psi, and a range "
        "grows wider): say why",
    ),
    "weakens nothing": (
        "value: 15",
        "value: 8",
        "weakens:",
        "fact 'sample-pass-adult' weakens nothing: take 'weakens' out, and say in 'because' why",
    ),
    "a reason to tell a dose": (
        "because: The county keeps",
        "only-checked: no\n    because: The county keeps",
        "only-checked",
        "fact 'sample-pressure' has an unknown key 'only-checked': the keys are value, low,",
    ),
}


@pytest.mark.parametrize(("old", "new", "place", "says"), BROKEN.values(), ids=BROKEN.keys())
def test_one_mistake_is_one_problem_on_its_line(old: str, new: str, place: str, says: str) -> None:
    assert LOCAL.count(old) == 1
    broken = LOCAL.replace(old, new)
    program, problems = read(broken)
    assert program is None
    assert len(problems) == 1, problems
    assert problems[0].startswith(f"{line_of(place, broken)}: {says}")


@pytest.mark.parametrize(("value", "weaker"), [(4, False), (2, True), (8, True)])
def test_another_dose_weakens_whichever_way(value: int, weaker: bool) -> None:
    dose = f"  sample-dose: {{value: {value}, unit: mg, because: The county's own.}}\n"
    program, problems = read(LOCAL + dose)
    assert (program is None) is weaker
    assert [problem.partition(": ")[2] for problem in problems] == (
        [
            "fact 'sample-dose' weakens a safety rule (the table has 4 mg, and neither direction "
            "is safer): say why in 'weakens', which the coach says aloud, or take the change out."
        ]
        if weaker
        else []
    )


@pytest.mark.parametrize(("told", "aim"), [("", None), ("target-chance: 0.9\n", 0.9)])
def test_a_program_may_say_what_chance_rehearsals_aim_at(told: str, aim: float | None) -> None:
    program, problems = read(told + LOCAL)
    assert program, problems
    assert program.target_chance == aim


@pytest.mark.parametrize("wrong", ["1", "0.5", "high"])
def test_a_chance_that_no_plan_can_aim_at_is_a_mistake(wrong: str) -> None:
    program, problems = read(f"target-chance: {wrong}\n{LOCAL}")
    assert program is None
    assert len(problems) == 1 and problems[0].startswith("1: ")


def test_the_chances_allowed_are_those_of_the_setting() -> None:
    bounds = LOCAL_SCHEMA["properties"]["target-chance"]
    assert (bounds["minimum"], bounds["maximum"]) == AIMS
