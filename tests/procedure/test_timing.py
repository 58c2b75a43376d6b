"""Clocks, counts, pressures and what runs on, in a skill file: built and checked by line."""

from __future__ import annotations

import pytest
from skill_samples import SAMPLE, line_of, parsed

from coach.core.units import Quantity, Unit
from coach.procedure.model import COUNTED, TakenBy
from coach.procedure.skill_file import SkillFile
from coach.trade.rates import Counted

COUNT = """    count:
      of: beats
      seconds: "{patient.limit}"
      low: "{no-fact.60}"
      high: "{no-fact.100}"
"""
LEAST = """    clock:
      least-s: "{fact.sample-wait.in-s}"
      calls-every-s: "{patient.limit}"
      start: {phrases: [pressing]}
      end: {phrases: [letting go]}
"""
SINCE = """    since:
      says: it has been on
      calls-every-s: "{no-fact.60}"
"""


def with_part(part: str) -> str:
    return SAMPLE.replace("    name: the fit\n", "    name: the fit\n" + part)


def read(text: str) -> SkillFile:
    found = parsed(text)
    assert found.skill_file is not None, found.problems
    return found.skill_file


@pytest.mark.parametrize(("patient", "seconds"), [("adult", 10), ("infant", 5)])
def test_a_count_asks_for_a_number_with_the_range_of_its_seconds(
    patient: str, seconds: int
) -> None:
    step = read(with_part(COUNT)).chosen({"patient": patient}).step("fit")
    assert step.count is not None
    assert (step.count.of, step.count.seconds) == (Counted.PULSE, seconds)
    [reading] = step.readings
    assert (reading.name, reading.quantity, reading.unit) == (COUNTED, Quantity.COUNT, Unit.COUNTED)
    # The same rate: sixty beats a minute are ten in ten seconds and five in five.
    assert reading.low == seconds
    assert reading.high == pytest.approx(100 * seconds / 60)


def test_what_ends_with_a_finding_looks_for_one() -> None:
    ending = LEAST + "      unless-found: true\n"
    assert not parsed(with_part(ending)).problems
    text = with_part(ending).replace(", absent: [leak]", "", 1)
    told = parsed(text).problems
    assert [problem.message for problem in told] == [
        "'clock' of step 'fit' ends with a finding, but the step looks for none: add 'absent' to "
        "its heard-as, or take 'unless-found' out."
    ]
    assert told[0].line == line_of("      unless-found: true", text)


def test_a_clock_may_have_a_least_and_its_own_calls() -> None:
    clock = read(with_part(LEAST)).chosen({"patient": "infant"}).step("fit").clock
    assert clock is not None
    assert (clock.least_s, clock.limit_s, clock.calls_every_s) == (120, 0, 5)


def test_what_runs_on_is_built() -> None:
    since = read(with_part(SINCE)).chosen({}).step("fit").since
    assert since is not None
    assert (since.says, since.time_aloud, since.calls_every_s) == ("it has been on", False, 60)


PRESSURE = """    readings:
      - name: pressure
        quantity: blood-pressure
        unit: mmHg
        by: ear
        low: "{no-fact.90}"
        high: "{no-fact.140}"
        lower-low: "{no-fact.60}"
        lower-high: "{no-fact.89}"
        ask: What is the pressure?
"""


def test_a_pressure_by_ear_has_a_range_for_each_number() -> None:
    [reading] = read(with_part(PRESSURE)).chosen({}).step("fit").readings
    assert (reading.by, reading.low, reading.high) == (TakenBy.EAR, 90, 140)
    assert reading.lower == (60, 89)


BROKEN = {
    "no lower high": (
        PRESSURE,
        '        lower-high: "{no-fact.89}"\n',
        "",
        "is taken by ear and has no 'lower-high': add",
    ),
    "sums without ear": (
        PRESSURE.replace("        by: ear\n", "        by: ear\n        sums: true\n"),
        "by: ear",
        "by: touch",
        "has 'sums', but only a pressure taken 'by: ear'",
    ),
    "lower without ear": (PRESSURE, "by: ear", "by: touch", "only a pressure taken 'by: ear'"),
    "lower low above high": (
        PRESSURE,
        "no-fact.60",
        "no-fact.95",
        "has a lower-low of 95 above its lower-high of 89",
    ),
    "plain lower": (PRESSURE, '"{no-fact.60}"', "60", "has the number 60 from nowhere"),
    "unit of the lower": (
        PRESSURE,
        "{no-fact.60}",
        "{fact.sample-pass-adult}",
        "is in mmHg, but the fact",
    ),
    "by ear of what": (
        PRESSURE.replace("mmHg", "psi"),
        "quantity: blood-pressure",
        "quantity: pressure",
        "is taken by ear, but is no blood pressure",
    ),
    "count of what": (COUNT, "of: beats", "of: beets", "'of' of 'count' of step 'fit' cannot be"),
    "plain seconds": (COUNT, '"{patient.limit}"', "30", "has the number 30 from nowhere"),
    "seconds in words": (COUNT, "{patient.limit}", "{patient}", "is not whole seconds"),
    "low above high": (COUNT, "{no-fact.60}", "{no-fact.160}", "a low of 160 above its high"),
    "unit of seconds": (LEAST, "{patient.limit}", "{fact.sample-wait}", "is in s, but the fact"),
    "unit of the rate": (COUNT, "{no-fact.60}", "{fact.sample-pass-adult}", "is in /min, but the"),
    "unit of the least": (LEAST, "sample-wait.in-s", "sample-wait", "is in s, but the fact"),
    "unknown key": (
        LEAST,
        "letting go]}\n",
        "letting go]}\n      over: Stop.\n",
        "unknown key 'over'",
    ),
    "no end": (LEAST, "      end: {phrases: [letting go]}\n", "", "has no 'end': add the words"),
    "unheard": (LEAST, "{phrases: [pressing]}", "{phrases: []}", "no words can match 'start'"),
    "plain calls": (SINCE, '"{no-fact.60}"', "60", "has the number 60 from nowhere"),
    "until what": (
        SINCE,
        "      says: it has been on\n",
        "      says: it has been on\n      until: gage\n",
        "ends with 'gage', which is no step: did you mean 'gauge'?",
    ),
    "says nothing": (SINCE, "      says: it has been on\n", "", "has no 'says': add what runs on"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_mistake_is_told_with_its_line(case: str) -> None:
    part, old, new, wanted = BROKEN[case]
    text = with_part(part.replace(old, new))
    problems = parsed(text).problems
    assert problems and wanted in problems[0].message, problems
    assert line_of("    name: the fit", text) < problems[0].line
    assert problems[0].line <= line_of("    name: the fit", text) + part.count("\n") + 1


PACE = """    pace:
      low: "{no-fact.100}"
      high: "{no-fact.120}"
      compressions: "{no-fact.30}"
      breaths: "{no-fact.2}"
      breath-s: "{no-fact.1}"
      for-s: "{fact.sample-wait.in-s}"
"""
REPEATS = """repeats:
  - id: rounds
    steps: [gauge, calm]
    times: "{no-fact.3}"
    when: {patient: adult}
"""


def test_a_pace_is_the_middle_of_its_range() -> None:
    pace = read(with_part(PACE)).chosen({}).step("fit").pace
    assert pace is not None
    pattern = pace.pattern
    assert (pattern.per_minute, pattern.compressions, pattern.breaths) == (110, 30, 2)
    assert pace.seconds == 120
    breaths = PACE.replace("    pace:\n", "    pace:\n      of: ventilations\n")
    alone = read(with_part(breaths)).chosen({}).step("fit").pace
    assert alone is not None
    assert (alone.pattern.compressions, alone.pattern.breaths) == (0, 1)


def test_what_is_repeated_stands_with_its_choice_and_its_steps() -> None:
    skill_file = read(SAMPLE + REPEATS)
    [repeat] = skill_file.chosen({}).repeats
    assert (repeat.steps, repeat.times, repeat.name) == (("gauge",), 3, "round")
    assert skill_file.chosen({"patient": "infant"}).repeats == ()


BROKEN_REPEATS = {
    "unknown step": ("[gauge, calm]", "[gauge, clam]", "repeats 'clam', which is no step: did you"),
    "plain times": ('"{no-fact.3}"', "3", "has the number 3 from nowhere"),
    "no steps": ("[gauge, calm]", "[]", "'steps' of repeat 'rounds' is empty"),
    "unknown option": ("{patient: adult}", "{patient: old}", "no option of setting 'patient'"),
}


@pytest.mark.parametrize("case", BROKEN_REPEATS)
def test_a_mistake_in_a_repeat_is_told_with_its_line(case: str) -> None:
    old, new, wanted = BROKEN_REPEATS[case]
    text = SAMPLE + REPEATS.replace(old, new)
    problems = parsed(text).problems
    assert problems and wanted in problems[0].message, problems
    assert problems[0].line > line_of("repeats:", text)
