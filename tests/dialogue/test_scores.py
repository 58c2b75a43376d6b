"""Scores are worked out from the learner's own numbers, and never before all of them stand."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.procedure.skill_file import SkillFile


def part(step: str, name: str, most: str) -> str:
    reading = (
        f'{{name: {name}, quantity: count, unit: counted, low: "{{no-fact.1}}", '
        f'high: "{{no-fact.{most}}}", ask: How many points?, outside: Look again., '
        "sources: [common]}"
    )
    return f"""  - id: {step}
    name: the {step}
    say: Score the {step}.
    why: It is one of them.
    how: Look and say.
    heard-as: {{phrases: [i scored the {step}], keys: [{step} score/scored]}}
    readings:
      - {reading}
"""


TOTAL = """  - id: total
    name: the total
    say: Say it all.
    why: Somebody waits for it.
    how: Part by part.
    heard-as: {phrases: [that is all of it], keys: [all it]}
    aloud: All parts.
    score: {of: consciousness, from: [lids, talk, arms]}
"""

PARTS = part("lids", "eye", "4") + part("talk", "verbal", "5") + part("arms", "motor", "6")


def skill(total: str = TOTAL) -> SkillFile:
    return bench_skill(TEXT.replace("steps:\n", f"steps:\n{PARTS}{total}", 1))


def run(*words: str) -> Run:
    return Run("I'm ready", *words, skill_file=skill())


def test_the_sum_is_told_when_the_last_part_stands() -> None:
    # 4, 4 and 6 are 14, grouped as mild from 13 on (NICE NG232, 2023).
    played = run("four points", "yes", "four points", "yes", "six points", "yes")
    assert "of fifteen" not in played.reply_to(4)
    assert played.reply_to(6).startswith(
        "Eyes four, verbal four, motor six: fourteen of fifteen, grouped as mild."
    )


def test_a_part_that_changes_makes_another_sum() -> None:
    played = run(
        "four points",
        "yes",
        "five points",
        "yes",
        "six points",
        "yes",
        "I scored the lids, three points",
        "yes",
    )
    assert "Eyes three, verbal five, motor six: fourteen of fifteen" in played.reply_to(8)


def test_a_part_out_of_range_makes_no_sum() -> None:
    played = run("four points", "yes", "five points", "yes", "seven points", "yes")
    assert "of fifteen" not in played.reply_to(6)
    assert "Look again." in played.reply_to(6)


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_an_odd_sum_is_asked_about_and_the_answer_credits_nothing(answer: str) -> None:
    played = run("four points", "yes", "five points", "yes", "two points", "yes", answer)
    assert played.reply_to(6).endswith("will you score the best limb again?")
    assert played.reply_to(7).startswith("Say a part and its points again")
    assert "total" not in played.done


def test_what_is_said_instead_of_an_answer_counts() -> None:
    played = run(
        "four points", "yes", "five points", "yes", "two points", "yes", "That is all of it"
    )
    assert "total" in played.done
