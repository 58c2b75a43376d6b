"""Phrases are tried: what cannot be written, is never heard as its step, or is heard as two."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coach.app.heard_words import program_word_problems, word_problems
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import local_program_path

SKILL = """\
id: good
title: Invented skill
minutes: 2
table: [a chair]
sources: {common: "Common practice, no source"}
settings:
  chair:
    asks: Which chair?
    default: soft
    because: It is softer.
    options:
      soft: {says: the soft one, heard-as: {phrases: [the soft chair]}}
      hard: {says: the hard one, heard-as: {phrases: [the hard chair]}}
steps:
  - id: choose
    name: the chair
    say: Choose a chair.
    why: There are several.
    how: Look at them.
    heard-as: {phrases: [that chair there], keys: [choose/take chair]}
    chooses: chair
  - id: sit
    name: the seat
    say: Sit down on {chair}.
    why: It is restful.
    how: Bend your knees.
    heard-as: {phrases: [I sat down, seated now], keys: [sit/sat down], absent: [chair empty]}
    after: [{step: choose, because: you must know where}]
    clock:
      limit-s: "{no-fact.9}"
      start: {phrases: [resting from here]}
      end: {phrases: [rested enough]}
      over: Get up.
  - id: lean
    name: leaning back
    say: Lean back.
    why: It is more restful.
    how: Let yourself go.
    heard-as: {phrases: [leaning on the back rest], keys: [lean/leaned back]}
complications:
  - {id: creak, after: sit, announce: The chair creaks.}
"""

Told = Callable[..., list[str]]


@pytest.fixture
def told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Told:
    """Reads the skill with one place changed; gives "LINE: message" of each problem."""
    monkeypatch.chdir(tmp_path)

    def read(old: str = "", new: str = "") -> list[str]:
        assert SKILL.count(old) == 1 or not old
        path = Path("good.yaml")
        path.write_text(SKILL.replace(old, new) if old else SKILL, "utf-8")
        load_skill(path)
        return [f"{problem.line}: {problem.message}" for problem in word_problems(path)]

    return read


def test_sound_words_have_no_problem(told: Told) -> None:
    assert told() == []


CASES = {
    "figures": (
        "seated now",
        "seat 2 taken",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit' has figures in \"seat 2 taken\", "
        "which the recogniser cannot write: spell it in English letters, numbers in words.",
    ),
    "foreign letters": (
        "keys: [sit/sat down]",
        "keys: [sit/sat down, fauteuil/\u00e9tabli down, \u00e9tabli down]",
        "27: item 3 of 'keys' of 'heard-as' of step 'sit' has '\u00e9' in \"\u00e9tabli\", which "
        "the recogniser cannot write: spell it in English letters, numbers in words.",
    ),
    "a command": (
        "seated now",
        "say that again",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"say that again\", can never match: "
        "it is understood as the command repeat, so word it otherwise or take it out.",
    ),
    "an answer": (
        "seated now",
        "that's right",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"that's right\", can never match: "
        "it is understood as a yes, so word it otherwise or take it out.",
    ),
    "a denial of one's own act": (
        "seated now",
        "I did not sit down",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"I did not sit down\", says that "
        "the step was not done, and would be taken for done: take it out.",
    ),
    "the clock's words": (
        "phrases: [rested enough]",
        "phrases: [go on]",
        "32: item 1 of 'phrases' of 'end' of 'clock' of step 'sit', \"go on\", can never match: it "
        "is understood as the command resume, so word it otherwise or take it out.",
    ),
    "an option's words": (
        "phrases: [the hard chair]",
        "phrases: [skip it]",
        "13: item 1 of 'phrases' of 'heard-as' of option 'hard' of setting 'chair', \"skip it\", "
        "can never match: it is understood as the command skip, so word it otherwise or take it "
        "out.",
    ),
    "two steps of the same phrase": (
        "phrases: [leaning on the back rest]",
        "phrases: [I'm now seated]",
        "39: item 1 of 'phrases' of 'heard-as' of step 'lean', \"I'm now seated\", is heard as "
        "step 'sit' as well (\"seated now\"), and either may be next: add a word that only one "
        "has, or let one come after the other.",
    ),
    "two steps of the same keys": (
        "keys: [lean/leaned back]",
        "keys: [lean back, down sitting]",
        "39: item 2 of 'keys' of 'heard-as' of step 'lean', \"down sitting\", is heard as step "
        "'sit' as well (\"I sat down\"), and either may be next: add a word that only one has, "
        "or let one come after the other.",
    ),
    "nothing but fillers": (
        "seated now",
        "um er well",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"um er well\", has no word that "
        "means anything, and anybody may say it while thinking: add a word that tells of this "
        "step.",
    ),
    "a denial that nothing explains": (
        "seated now",
        "I do not carry it out",
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"I do not carry it out\", denies an "
        "act, and nothing else tells that the step is done by not doing it: it would be taken for "
        "done, so take it out.",
    ),
    "an end like the beginning": (
        "phrases: [rested enough]",
        "phrases: [from here resting, I'm resting from here]",
        "32: item 2 of 'phrases' of 'end' of 'clock' of step 'sit' is what begins it as well: "
        "nobody could tell the end from the beginning, so give each its own words.",
    ),
    "a key that any sentence has": (
        "keys: [lean/leaned back]",
        "keys: [lean/leaned back, lean/it]",
        "39: item 2 of 'keys' of 'heard-as' of step 'lean', \"lean/it\", is enough with \"it\" "
        "alone, which any sentence may have: add a word that tells of this step.",
    ),
}


@pytest.mark.parametrize(("old", "new", "says"), CASES.values(), ids=CASES.keys())
def test_words_that_fail_are_told_with_the_reason(
    told: Told, old: str, new: str, says: str
) -> None:
    assert told(old, new) == ([says] if says else [])


def test_steps_of_which_one_comes_after_the_other_may_share_words(told: Told) -> None:
    after = "keys: [lean back, {keys}]}}\n    after: [{{step: sit, because: it is so}}]"
    assert told("keys: [lean/leaned back]}", after.format(keys="down restful")) == []
    (said,) = told("keys: [lean/leaned back]}", after.format(keys="down sitting"))
    assert said == (
        "39: item 2 of 'keys' of 'heard-as' of step 'lean', \"down sitting\", tells of step 'sit', "
        "and nothing else of step 'lean' speaks of it: once the one is done it would count for the "
        "other, so word it otherwise or take it out."
    )


def test_a_phrase_shared_with_the_step_before_would_count_for_both(told: Told) -> None:
    lean = SKILL[SKILL.index("  - id: lean") : SKILL.index("complications:")]
    shared = f"{lean.rstrip()}\n    after: [{{step: sit, because: it is so}}]\n".replace(
        "leaning on the back rest", "seated now"
    )
    (said,) = told(lean, shared)
    assert said.startswith(
        "39: item 1 of 'phrases' of 'heard-as' of step 'lean', \"seated now\", is"
    )
    assert "a phrase of step 'sit' too" in said and "said twice" in said
    between = (
        "  - id: doze\n    name: the nap\n    say: Doze off.\n    why: It is late.\n"
        "    how: Close your eyes.\n    heard-as: {phrases: [dozing off]}\n"
    )
    (said,) = told(lean, f"{between}{shared}")
    assert "\"seated now\", tells of step 'sit', and nothing else of step 'lean'" in said
    again = shared.replace("how: Let yourself go.", "how: Stay seated, and now let yourself go.")
    assert told(lean, f"{between}{again}") == []


def test_a_phrase_of_another_step_is_refused_by_whatever_words_that_one_knows_it(
    told: Told,
) -> None:
    lean = "phrases: [leaning on the back rest]"
    (said,) = told(lean, "phrases: [leaning on the back rest, I take this chair gently]")
    assert "\"I take this chair gently\", tells of step 'choose'" in said


FORBIDDEN = """\
never:
  - id: jump
    name: jumping
    say: Do not jump on it.
    because: it breaks.
    {when}heard-as: {{phrases: [{phrases}], keys: [jump chair]}}
complications:"""


def test_the_words_of_what_must_not_happen_are_tried_as_well(told: Told) -> None:
    def forbidding(phrases: str, when: str = "") -> list[str]:
        return told("complications:", FORBIDDEN.format(phrases=phrases, when=when))

    where = "45: item {} of 'phrases' of 'heard-as' of forbidden act 'jump', "
    assert forbidding("I am jumping on it, I never sat") == []
    (said,) = forbidding("wait a minute")
    assert said.startswith(where.format(1) + '"wait a minute", can never match')
    (said,) = forbidding("I jump about, leaning on the back rest")
    assert said == (
        f"{where.format(2)}\"leaning on the back rest\", is a phrase of step 'lean' too: it would "
        "be praised and warned of at once, so word one of them otherwise."
    )


def test_a_step_and_an_act_of_other_choices_may_share_a_phrase(told: Told) -> None:
    lean = SKILL[SKILL.index("  - id: lean") :]
    shared = lean.replace("    heard-as", "    when: {chair: soft}\n    heard-as").replace(
        "complications:",
        FORBIDDEN.format(phrases="leaning on the back rest", when="when: {chair: WHICH}\n    "),
    )
    assert told(lean, shared.replace("WHICH", "hard")) == []
    assert len(told(lean, shared.replace("WHICH", "soft"))) == 1


def test_what_a_complication_brings_comes_after_what_brings_the_complication(told: Told) -> None:
    brought = "keys: [lean back, down restful]}\n    complication: creak"
    assert told("keys: [lean/leaned back]}", brought) == []


def test_the_words_of_a_program_are_tried_at_its_line(tmp_path: Path) -> None:
    """A phrase of a local program's credits a step like one of the skill's."""
    path = tmp_path / "own.local.yaml"
    path.write_text(
        'program: Own\ndate: "2026-03-01"\napproved-by: J. Doe\nskills:\n  oral-airway:\n'
        "    steps:\n      suction-ready:\n        because: So we say.\n"
        "        phrases: [the wall unit is running, I did not test the suction]\n",
        "utf-8",
    )
    (problem,) = program_word_problems(path)
    assert problem.line == 5
    assert problem.message.startswith("with these changes skill 'oral-airway' is not sound: ")
    assert '"I did not test the suction", says that the step was not done' in problem.message
    for program in ("riverside", "northharbor"):
        assert not [*program_word_problems(local_program_path(program))]


@pytest.mark.parametrize(
    ("phrase", "other"), [("my gloves are on", "gloves"), ("suction is ready", "suction-ready")]
)
def test_a_program_may_not_put_a_step_s_words_to_another(
    phrase: str, other: str, tmp_path: Path
) -> None:
    """Once the gloves are done, "my gloves are on" put the airway in."""
    path = tmp_path / "own.local.yaml"
    path.write_text(
        'program: Own\ndate: "2026-03-01"\napproved-by: J. Doe\nskills:\n  oral-airway:\n'
        f"    steps:\n      insert: {{because: So we say., phrases: [{phrase}]}}\n",
        "utf-8",
    )
    (problem,) = program_word_problems(path)
    assert f"\"{phrase}\", tells of step '{other}', and nothing else of step 'insert'" in (
        problem.message
    )


def test_a_file_with_other_mistakes_is_not_tried(told: Told, tmp_path: Path) -> None:
    path = tmp_path / "good.yaml"
    path.write_text(SKILL.replace("seated now", "say that again").replace("say: Sit", "sya: Sit"))
    assert word_problems(path) == ()


def test_who_leaves_something_at_a_step_that_says_so_did_it(told: Told) -> None:
    """Where the act is to do nothing, a denial tells that it was done."""
    lean = SKILL[SKILL.index("  - id: lean") : SKILL.index("complications:")]
    leave = lean.replace("say: Lean back.", "say: Do not lean back.").replace(
        "phrases: [leaning on the back rest], keys: [lean/leaned back]", "phrases: [I do not do it]"
    )
    assert told(lean, leave) == []


def test_a_phrase_is_heard_word_for_word_but_for_one_that_doubts(told: Told) -> None:
    assert told("seated now", "I believe I sat") == []
    assert told("seated now", "maybe I sat") == [
        "27: item 2 of 'phrases' of 'heard-as' of step 'sit', \"maybe I sat\", can never match: it "
        "is understood as something hedged, planned or only likely, so word it otherwise or take "
        "it out."
    ]
