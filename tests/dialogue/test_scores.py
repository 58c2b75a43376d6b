"""Scores are worked out from the learner's own numbers, and never before all of them stand."""

from __future__ import annotations

import pytest
from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.edges.skill_files import load_skill
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


def test_a_part_that_cannot_be_makes_no_sum() -> None:
    played = run("four points", "yes", "five points", "yes", "seven points", "yes")
    assert "of fifteen" not in played.reply_to(6)
    assert "Look again." not in played.reply_to(6)


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_an_odd_sum_is_asked_about_and_the_answer_credits_nothing(answer: str) -> None:
    played = run("four points", "yes", "five points", "yes", "two points", "yes", answer)
    assert played.reply_to(6).endswith("will you score the best limb again?")
    assert played.reply_to(7).startswith("Say a part and its points again")
    assert "total" not in played.done


def test_the_same_row_again_with_a_yes_is_a_yes() -> None:
    assert "fifteen of fifteen" in run("four five six", "yes, four five six").reply_to(2)


def test_what_is_said_instead_of_an_answer_counts() -> None:
    played = run(
        "four points", "yes", "five points", "yes", "two points", "yes", "That is all of it"
    )
    assert "total" in played.done


@pytest.mark.parametrize(
    "words",
    [
        "four, five, four",
        "four five four",
        "eye four, verbal five, motor four",
        "E4 V5 M4",
        "the motor score is four, eye four, verbal five",
    ],
)
def test_parts_told_in_a_row_are_read_back_by_name_and_stand_after_a_yes(words: str) -> None:
    # "E4 V5 M6": the parts by name, in this order (NICE NG232, 2023).
    played = run(words, "yes")
    assert played.reply_to(1).startswith("Eye four, verbal five and motor four; is that right?")
    assert "Eyes four, verbal five, motor four: thirteen of fifteen" in played.reply_to(2)


def test_the_parts_that_lack_are_told_in_a_row() -> None:
    played = run("four", "yes", "five six", "yes")
    assert "fifteen of fifteen" in played.reply_to(4)


def test_one_of_the_parts_read_back_is_put_right_by_its_name() -> None:
    played = run("four five six", "no, motor five", "yes")
    assert played.reply_to(2).startswith("Eye four, verbal five and motor five")
    assert "fourteen of fifteen" in played.reply_to(3)


@pytest.mark.parametrize("words", ["four five", "four five seven", "five five six", "four hundred"])
def test_what_no_row_of_parts_can_be_is_asked_for_anew(words: str) -> None:
    played = run(words, "yes", "yes")
    assert "That cannot be: it goes from one to four" in played.reply_to(1)
    assert not played.events("reading-stands")


def test_a_quiet_coach_takes_a_row_as_it_is_said() -> None:
    played = Run("I'm ready", "four five six", skill_file=skill(), started={"way": "assessed"})
    assert [one["value"] for one in played.events("reading-stands")] == [4.0, 5.0, 6.0]


def test_other_talk_with_numbers_is_no_row() -> None:
    played = run("I looked four times for five or six seconds")
    assert "verbal" not in played.reply_to(1)


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("the verbal is still five", "verbal"),
        ("verbal five", "verbal"),
        ("four for the verbal", "verbal"),
        ("two points for the eyes", "eye"),
        ("eyes three", "eye"),
        ("talk gets four points", "verbal"),
    ],
)
def test_points_are_those_of_the_part_that_is_named_with_them(words: str, part: str) -> None:
    played = run("four", "yes", "five", "yes", words, "yes")
    assert played.reply_to(5).startswith(f"{part.capitalize()} ")
    assert played.events("reading-stands")[-1]["reading"] == part
    assert "arms" not in played.done


@pytest.mark.parametrize("words", ["motor six", "the eyes are three", "eyes three"])
def test_a_part_is_told_anew_by_its_name_when_all_parts_stand(words: str) -> None:
    played = run("four five five", "yes", words, "yes")
    assert "fourteen of fifteen" in played.reply_to(2)
    assert ("fifteen of" if "motor" in words else "thirteen of") in played.reply_to(4)


def test_a_part_named_in_place_of_the_one_read_back_leaves_none_of_it() -> None:
    played = run("four", "yes", "five", "yes", "five", "no, verbal four", "yes", "six", "yes")
    assert "Eyes four, verbal four, motor six" in played.reply_to(9)


def test_a_yes_with_the_same_points_of_another_part_is_no_yes() -> None:
    played = run("four", "yes", "five", "yes", "five", "yes, verbal five")
    assert played.reply_to(6).startswith("Motor five and verbal five; is that right?")
    assert "arms" not in played.done


def test_points_that_a_named_part_cannot_have_are_asked_for_anew_and_are_its_own() -> None:
    # the eyes get one to four points, the limbs up to six (NICE NG232, 2023)
    played = run("four", "yes", "five", "yes", "eyes six", "yes", "three", "yes")
    assert played.reply_to(5).startswith("That cannot be: it goes from one to four")
    assert "How many points" in played.reply_to(6)
    assert played.events("reading-stands")[-1]["reading"] == "eye"


def test_all_parts_may_be_told_in_their_order_after_some() -> None:
    played = run("four", "yes", "three four five", "yes")
    assert "Eyes three, verbal four, motor five" in played.reply_to(4)


def test_a_single_part_is_read_back_by_its_name() -> None:
    assert run("four").reply_to(1).startswith("Eye four, right?")


def test_a_journal_of_before_gives_points_to_the_part_that_was_asked_for() -> None:
    played = Run(
        *("I'm ready", "four", "yes", "five", "yes", "verbal five", "yes"),
        skill_file=skill(),
        started={"conversation": 3},
    )
    assert played.events("reading-stands")[-1]["reading"] == "motor"


def coma(*words: str) -> Run:
    before = (
        "Gloves and glasses are on",
        "There is no swelling and no tube",
        "He's awake and alert",
        "I asked his name and where he is, and to squeeze my hand",
    )
    return Run("I'm ready", *before, *words, skill_file=load_skill("consciousness-scale"))


@pytest.mark.parametrize("words", ["to pain two", "no response, one point", "only to voice, three"])
def test_what_an_answer_to_a_score_tells_chooses_no_other_patient(words: str) -> None:
    played = coma(words)
    assert played.state.choices["level"] == "alert"
    assert "airway" not in played.reply_to(5)


def test_who_tells_how_the_patient_answers_without_points_chooses() -> None:
    assert coma("he reacts to pain").state.choices["level"] == "pain"


@pytest.mark.parametrize(
    "words",
    [
        "that is all of it, the total is twelve at ten twenty",
        "that is all of it, twelve out of fifteen",
        "that is all of it, eye four, verbal five, motor five",
        "the GCS is fourteen",
    ],
)
def test_a_total_that_the_points_do_not_make_is_contradicted(words: str) -> None:
    # 4, 5 and 6 are 15
    played = run("four five six", "yes", words)
    assert played.reply_to(3).startswith("That is not what your own points make. Eyes four, verbal")
    assert "total" not in played.done


@pytest.mark.parametrize(
    "words",
    [
        "that is all of it, the total is fifteen at ten twenty",
        "that is all of it, noted at ten twelve",
        "that is all of it, eye four, verbal five, motor six, fifteen of fifteen",
        "that is all of it, the score at ten minutes",
    ],
)
def test_a_total_that_they_make_and_a_time_are_not_contradicted(words: str) -> None:
    assert "total" in run("four five six", "yes", words).done


def test_a_quiet_coach_leaves_a_wrong_total_unclear() -> None:
    words = ("I'm ready", "four five six", "that is all of it, the total is twelve")
    played = Run(*words, skill_file=skill(), started={"way": "assessed"})
    assert "total" not in played.done
    assert played.events("unclear")[0]["steps"] == ["total"]


def test_a_journal_of_before_credits_whatever_total_is_told() -> None:
    words = ("I'm ready", "four five six", "yes", "that is all of it, the total is twelve")
    assert "total" in Run(*words, skill_file=skill(), started={"conversation": 3}).done


@pytest.mark.parametrize("before", [("four", "yes", "five", "yes"), ("four five six", "yes")])
def test_points_of_a_part_that_is_spoken_of_are_no_points_of_the_next(
    before: tuple[str, ...],
) -> None:
    played = run(*before, "I scored the lids again and gave three, because she is sleepy")
    assert "Eye three; is that right?" in played.reply_to(len(before) + 1)
