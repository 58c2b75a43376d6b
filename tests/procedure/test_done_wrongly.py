"""What tells that a step is done wrongly, in a skill file: built, checked by line, and heard."""

from __future__ import annotations

import pytest
from skill_samples import SAMPLE, line_of, parsed

from coach.dialogue.moment import step_words
from coach.language.context import Context
from coach.language.understand import understand
from coach.procedure.model import Skill, Wrong

WRONG = """    wrong:
      - words: [on/over nose, "{device} upside down"]
      - {words: [she/he coughs], from: gauge, until: fit}
"""
WHOLE = SAMPLE.replace("    name: the fit\n", "    name: the fit\n" + WRONG)


def skill() -> Skill:
    found = parsed(WHOLE)
    assert found.skill_file is not None, found.problems
    return found.skill_file.chosen({})


def test_what_is_wrong_stands_with_its_time_and_its_braces() -> None:
    timeless, timed = skill().step("fit").wrong
    assert timeless == Wrong(("on/over nose", "the mask upside down"))
    assert (timed.words, timed.begins, timed.ends) == (("she/he coughs",), "gauge", "fit")


@pytest.mark.parametrize(
    ("done", "counts"),
    [(set(), False), ({"gauge"}, True), ({"gauge", "fit"}, False)],
    ids=["before", "between", "after"],
)
def test_what_has_a_time_counts_only_then(done: set[str], counts: bool) -> None:
    built = skill()
    words = step_words(built, built.step("fit"), None, done)
    [*mentions] = understand("she coughs", Context((words,))).steps
    assert [(m.step, m.denied, m.found) for m in mentions] == [("fit", True, True)] * counts


def test_what_has_none_counts_beside_the_act_or_while_it_is_due() -> None:
    built = skill()
    words = step_words(built, built.step("fit"), None, frozenset())
    assert understand("my hand is on my nose", Context((words,))).steps == ()
    [due] = understand("it lies on his nose", Context((words,), suggested="fit")).steps
    assert (due.step, due.denied) == ("fit", True)
    assert understand("it is not over the nose", Context((words,), suggested="fit")).steps == ()


BROKEN = {
    "from": ("from: gauge", "from: guage", "'wrong' 2 of step 'fit' counts from 'guage', which"),
    "until": ("until: fit", "until: later", "'wrong' 2 of step 'fit' counts until 'later', which"),
    "words": ("- words: [on/over", "- lines: [on/over", "'wrong' 1 of step 'fit' has"),
    "slash": ("[she/he coughs]", "[she/ coughs]", "has a slash without a word on each side"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_broken_is_told_with_its_line(name: str) -> None:
    old, new, says = BROKEN[name]
    problems = parsed(WHOLE.replace(old, new, 1)).problems
    assert {problem.line for problem in problems} == {line_of(old, WHOLE)}
    assert any(says in problem.message for problem in problems), problems
