"""No program makes a rule less safe in silence: by numbers, defaults, words, or steps left out."""

from __future__ import annotations

from pathlib import Path

import pytest
from skill_samples import LOCAL_SCHEMA, sample_table

from coach.app.heard_words import program_word_problems
from coach.edges.local_program_file import load_local_program
from coach.edges.skill_files import load_skill
from coach.edges.skill_text import BrokenFileError
from coach.procedure.facts import Amount, Fact, Kept, Safer
from coach.procedure.local_facts import is_weaker, parse_local_facts

HEAD = "program: Lakeside\ndate: 2026-10-01\napproved-by: Dr. A. Muster\n"


def fact(amount: Amount, safer: Safer | None = None, kept: Kept | None = None) -> Fact:
    return Fact("pass", "a pass", "adult", "s", amount, ("booklet",), safer=safer, kept=kept)


@pytest.mark.parametrize(
    ("was", "safer", "now", "weaker"),
    [
        # Nobody said which side is safer: a breath every thirty seconds is not to pass.
        (Amount(value=6.0), None, Amount(value=30.0), True),
        (Amount(value=6.0), None, Amount(value=3.0), True),
        (Amount(value=6.0), None, Amount(value=6.0), False),
        (Amount(value=10.0), Safer.LOWER, Amount(value=9.0), False),
        (Amount(value=10.0), Safer.LOWER, Amount(value=11.0), True),
        (Amount(value=10.0), Safer.HIGHER, Amount(value=9.0), True),
        # Words can be held against nothing.
        (Amount(value="two thirds"), None, Amount(value="all of it"), True),
        (Amount(value="two thirds"), Safer.LOWER, Amount(value="two thirds"), False),
        # A narrower range is safer, unless only its less safe end is left.
        (Amount(low=80.0, high=150.0), Safer.LOWER, Amount(low=149.0, high=150.0), True),
        (Amount(low=80.0, high=150.0), Safer.LOWER, Amount(low=80.0, high=120.0), False),
        (Amount(low=6.0, high=10.0), Safer.HIGHER, Amount(low=6.0, high=6.5), True),
        (Amount(low=6.0, high=10.0), Safer.HIGHER, Amount(low=8.0, high=10.0), False),
        (Amount(low=6.0, high=10.0), None, Amount(low=8.0, high=9.0), False),
    ],
)
def test_which_numbers_are_less_safe(
    was: Amount, safer: Safer | None, now: Amount, weaker: bool
) -> None:
    assert is_weaker(fact(was, safer), now) is weaker


@pytest.mark.parametrize("day", ["2026-02-31", "2026-13-01", "2026-00-10", "26-01-01"])
def test_a_day_that_no_calendar_has_is_a_mistake(day: str) -> None:
    text = f"program: Lakeside\ndate: '{day}'\napproved-by: Dr. A. Muster\ntarget-chance: 0.9\n"
    program, problems = parse_local_facts(text, "lake.yaml", LOCAL_SCHEMA, sample_table())
    assert program is None
    assert [problem.message for problem in problems] == [
        f"the date is '{day}': write a day of the calendar, as 2026-09-01."
    ]


def written(folder: Path, skills: str) -> Path:
    path = folder / "lake.local.yaml"
    path.write_text(f"{HEAD}skills:\n{skills}", "utf-8")
    return path


@pytest.mark.parametrize(
    ("skill", "setting", "option", "says"),
    [
        ("suction", "limit", "longer", "15 s for 'suction-pass-adult' instead of 10 s, and lower"),
        ("burns", "cooling", "short", "5 min for 'burn-cooling' instead of 20 min, and higher"),
        ("oral-glucose", "threshold", "traditional", "60 mg/dL for 'low-glucose' instead of 70"),
    ],
)
def test_a_default_with_a_less_safe_number_needs_a_reason_and_is_said_aloud(
    skill: str, setting: str, option: str, says: str, tmp_path: Path
) -> None:
    change = f"  {skill}:\n    because: Our way.\n    settings: {{{setting}: {option}}}\n"
    with pytest.raises(BrokenFileError) as refused:
        load_local_program(written(tmp_path, change))
    (problem,) = refused.value.problems
    assert problem.line == 7
    assert f"setting '{setting}' of skill '{skill}' weakens a safety rule ({says}" in str(problem)
    program = load_local_program(written(tmp_path, f"{change}    weakens: So we drill.\n"))
    rules = load_skill(skill, program).in_force
    assert rules
    (told,) = rules.weaker
    assert told[0].startswith("Weaker than published: ") and told[1] == "So we drill."


def test_a_reason_for_a_default_that_is_no_less_safe_is_a_mistake(tmp_path: Path) -> None:
    change = (
        "  epinephrine-auto-injector:\n    because: Our way.\n    settings: {hold: long}\n"
        "    weakens: It does not.\n"
    )
    with pytest.raises(BrokenFileError, match="weakens nothing by its settings"):
        load_local_program(written(tmp_path, change))


@pytest.mark.parametrize(
    ("skill", "setting", "option"),
    [
        ("suction", "patient", "infant"),
        ("oxygen-delivery", "device", "nasal-cannula"),
        ("naloxone-nasal", "device", "strong-spray"),
        ("consciousness-scale", "level", "pain"),
    ],
)
def test_another_patient_or_device_is_no_less_safe(
    skill: str, setting: str, option: str, tmp_path: Path
) -> None:
    change = f"  {skill}:\n    because: Our way.\n    settings: {{{setting}: {option}}}\n"
    assert load_local_program(written(tmp_path, change)).skills[skill].weaker_options == ()


def test_a_step_left_out_or_told_otherwise_is_never_left_unsaid(tmp_path: Path) -> None:
    change = (
        "  oral-airway:\n    steps:\n"
        "      unresponsive: {because: We say so., found: Put it in all the same.}\n"
        "  suction:\n    steps:\n      rinse: {because: We have no water., left-out: true}\n"
    )
    program = load_local_program(written(tmp_path, change))
    said = [load_skill(name, program).in_force for name in ("oral-airway", "suction")]
    assert [rules.weaker if rules else None for rules in said] == [
        (("In your program's own words: the step unresponsive.", "We say so."),),
        (("Left out by your program: the step rinse.", "We have no water."),),
    ]


@pytest.mark.parametrize("phrase", ["no gloves on", "i have no gloves"])
def test_no_phrase_credits_a_step_by_its_denial(phrase: str, tmp_path: Path) -> None:
    change = f"  suction:\n    steps:\n      gloves: {{because: Our way., phrases: [{phrase}]}}\n"
    (problem,) = program_word_problems(written(tmp_path, change))
    assert f'"{phrase}", says that the step was not done' in problem.message


@pytest.mark.parametrize(
    ("skill", "step", "words", "says"),
    [
        ("bleeding-control", "time", "say: Go on.", "it is unsafe to leave it out"),
        ("bleeding-control", "time", "aloud: Nothing.", "it is unsafe to leave it out"),
        ("oral-airway", "gloves", "say: Go on.", "'gloves' must come before 'unresponsive'"),
        ("oral-airway", "size", "say: Take any.", "must come before"),
        ("suction", "withdraw", "say: Suction as long as you like.", "it is timed"),
        ("pulse-oximetry", "saturation", "say: Any number will do.", "a number is read there"),
    ],
)
def test_own_words_where_safety_hangs_on_a_step_need_a_reason_and_are_said_aloud(
    skill: str, step: str, words: str, says: str, tmp_path: Path
) -> None:
    change = f"  {skill}:\n    steps:\n      {step}: {{because: Our way., {words}"
    with pytest.raises(BrokenFileError) as refused:
        load_local_program(written(tmp_path, f"{change}}}\n"))
    (problem,) = refused.value.problems
    assert problem.line == 7
    key = words.split(":")[0]
    assert f"step '{step}' weakens a safety rule (it has another '{key}'" in problem.message
    assert says in problem.message
    program = load_local_program(written(tmp_path, f"{change}, weakens: So we drill.}}\n"))
    rules = load_skill(skill, program).in_force
    assert rules
    named = step.replace("-", " ")
    assert rules.weaker == (
        (f"Weaker than published, in your program's own words: the step {named}.", "So we drill."),
    )


def test_words_that_nothing_hangs_on_need_no_reason(tmp_path: Path) -> None:
    change = (
        "  bleeding-control:\n    steps:\n      warm: {because: Our way., say: Keep them warm.}\n"
    )
    assert load_local_program(written(tmp_path, change)).skills["bleeding-control"].weakenings == {}


def test_the_published_words_themselves_weaken_nothing(tmp_path: Path) -> None:
    steps = load_skill("bleeding-control").chosen({"wound": "limb-severe"}).steps
    said = next(step.say for step in steps if step.id == "time")
    change = f"  bleeding-control:\n    steps:\n      time: {{because: x, say: '{said}'}}\n"
    assert load_local_program(written(tmp_path, change)).skills["bleeding-control"].weakenings == {}
