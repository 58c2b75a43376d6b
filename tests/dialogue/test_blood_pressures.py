"""A blood pressure by ear has two numbers, each with its range; one by touch has the upper one."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.dialogue import lines

CUFF = """steps:
  - id: cuff
    name: the pressure
    say: Take the pressure.
    why: It tells how well blood gets there.
    how: Let the air out slowly.
    heard-as: {phrases: [i took the pressure], keys: [took/take pressure]}
    readings:
      - name: pressure
        quantity: blood-pressure
        unit: mmHg
        by: ear
        low: "{no-fact.90}"
        high: "{no-fact.140}"
        lower-low: "{no-fact.60}"
        lower-high: "{no-fact.90}"
        ask: What is the pressure?
        outside: That is unusual, so take it again.
    sources: [common]
"""
BY_TOUCH = "        by: touch\n"


def run(*words: str | float, cuff: str = CUFF) -> Run:
    return Run("I'm ready", *words, skill_file=bench_skill(TEXT.replace("steps:\n", cuff, 1)))


def by_touch(*words: str | float) -> Run:
    limits = '        lower-low: "{no-fact.60}"\n        lower-high: "{no-fact.90}"\n'
    cuff = CUFF.replace("        by: ear\n", BY_TOUCH).replace(limits, "")
    return run(*words, cuff=cuff)


def test_both_numbers_stand_in_their_ranges() -> None:
    played = run("one eighteen over seventy six", "yes")
    assert "over seventy-six" in played.reply_to(1)
    assert "cuff" in played.done


@pytest.mark.parametrize(
    "said",
    [
        "one fifty eight over eighty four",
        "eighty two over sixty four",
        "one thirty over fifty",
        "one thirty eight over ninety eight",
    ],
)
def test_each_of_the_two_has_its_own_range(said: str) -> None:
    played = run(said, "yes")
    assert "is that right?" in played.reply_to(1)
    assert "That is unusual, so take it again." in played.reply_to(2)
    assert "cuff" not in played.done
    insisted = run(said, "yes", said, "yes")
    assert lines.OUTSIDE_NOTED in insisted.reply_to(4)
    assert "cuff" in insisted.done


@pytest.mark.parametrize("said", ["one eighteen", "one eighteen by palpation"])
def test_one_number_is_not_enough_by_ear(said: str) -> None:
    played = run("i took the pressure", said, "one eighteen over seventy six", "yes")
    assert lines.UPPER_AND_LOWER in played.reply_to(2)
    assert "right?" not in played.reply_to(2)
    assert "over seventy-six" in played.reply_to(3)
    assert "cuff" in played.done


def test_a_number_alone_takes_the_pair_out_of_question() -> None:
    played = run("one eighteen over seventy six", "no one twenty eight", "yes")
    assert lines.UPPER_AND_LOWER in played.reply_to(2)
    assert "cuff" not in played.done


# Pulse pressure under a quarter of the systolic is narrow (coach/trade/blood_pressure.py).
def test_a_narrow_pair_is_questioned_though_both_are_usual() -> None:
    played = run("one hundred over eighty eight", "yes")
    assert "close together" in played.reply_to(2)
    assert "cuff" not in played.done
    again = run("one hundred over eighty eight", "yes", "one hundred over eighty eight", "yes")
    assert "cuff" in again.done


SUMS = CUFF.replace("        by: ear\n", "        by: ear\n        sums: true\n")


@pytest.mark.parametrize(
    ("said", "told"),
    [
        # WikiLectures, Mean arterial pressure: (2 x diastolic + systolic) / 3
        ("one twenty over eighty", "pulse pressure forty, mean about ninety-three."),
        ("one ten over seventy", "pulse pressure forty, mean about eighty-three."),
    ],
)
def test_pulse_pressure_and_mean_are_told_where_the_skill_says_so(said: str, told: str) -> None:
    assert told in run(said, "yes", cuff=SUMS).reply_to(2)
    assert "mean" not in run(said, "yes").reply_to(2)
    assert "mean" not in run("one fifty eight over eighty", "yes", cuff=SUMS).reply_to(2)


def test_by_touch_there_is_one_number() -> None:
    played = by_touch("i took the pressure", "one eighteen over seventy six", "one eighteen", "yes")
    assert lines.ONLY_UPPER in played.reply_to(2)
    assert "cuff" in played.done
    assert "cuff" in by_touch("one eighteen by palp", "yes").done


@pytest.mark.parametrize("said", ["eighty over one twenty", "one twenty over one twenty"])
def test_the_first_of_two_numbers_is_the_higher_one(said: str) -> None:
    # the pressure while the heart beats is higher than that between two beats (by definition)
    played = run(said, "yes", "one twenty over eighty", "yes")
    assert played.reply_to(1) == f"{lines.FIRST_IS_HIGHER} What is the pressure?"
    assert "What is the pressure?" in played.reply_to(2)
    assert [one["value"] for one in played.events("reading-stands")] == [[120.0, 80.0]]
    assert "cuff" in played.done


def test_a_journal_of_before_reads_back_what_is_the_wrong_way_round() -> None:
    skill_file = bench_skill(TEXT.replace("steps:\n", CUFF, 1))
    words = ("I'm ready", "eighty over one twenty", "yes")
    played = Run(*words, skill_file=skill_file, started={"conversation": 3})
    assert "That is unusual" in played.reply_to(2)


# 1 mmHg is 0.1333224 kPa (NIST SP 811, 2008, appendix B.8): 16 and 11 kPa are 120.01 and 82.51.
def test_kilopascals_are_read_back_as_millimeters_of_mercury() -> None:
    played = run("sixteen over eleven kilopascals", 3.0, "yes")
    assert "over eighty-three millimeters of mercury; is that right?" in played.reply_to(1)
    assert [one["value"] for one in played.events("reading-stands")] == [[120.0, 83.0]]


def test_a_pressure_by_touch_may_be_told_in_kilopascals() -> None:
    played = by_touch("the pulse goes at sixteen kilopascals", "yes")
    assert [one["value"] for one in played.events("reading-stands")] == [120.0]


def test_millimeters_of_mercury_told_as_kilopascals_cannot_be() -> None:
    played = run("one twenty over eighty kPa", "yes")
    assert "That cannot be" in played.reply_to(1)
    assert not played.events("reading-stands")
