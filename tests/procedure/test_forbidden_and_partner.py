"""Acts that must not happen and steps for two in a skill file: built, and checked by line."""

from __future__ import annotations

import pytest
from skill_samples import DIALOGUES_SCHEMA, SAMPLE, line_of, parsed

from coach.procedure.dialogue_file import parse_dialogues
from coach.procedure.model import HeardAs, Partner
from coach.procedure.skill_file import SkillFile

NEVER = """
never:
  - id: force
    name: forcing {device}
    say: do not force {device}.
    because: it bends
    heard-as: {keys: [force/forcing]}
    when: {patient: infant}
    from: gauge
    until: calm
    sources: [invented]
"""
WHOLE = SAMPLE + NEVER.lstrip()
PARTNER = '    partner: {who: "the helper of {device}", heard-as: {keys: [holding]}}\n'
FOR_TWO = SAMPLE.replace("    name: the fit\n", "    name: the fit\n" + PARTNER)


def read(text: str) -> SkillFile:
    found = parsed(text)
    assert found.skill_file is not None, found.problems
    return found.skill_file


def test_an_act_stands_with_the_choices_it_is_written_for() -> None:
    skill_file = read(WHOLE)
    assert skill_file.act_ids == ("force",)
    assert skill_file.chosen({}).forbidden == ()
    [act] = skill_file.chosen({"patient": "infant"}).forbidden
    assert (act.name, act.say) == ("forcing the mask", "Do not force the mask.")
    assert (act.begins, act.ends) == ("gauge", ""), "calm comes only with a complication"
    [act] = skill_file.chosen({"patient": "infant"}, frozenset({"refused"})).forbidden
    assert act.ends == "calm"


def test_a_step_for_two_names_the_other_person() -> None:
    step = read(FOR_TWO).chosen({}).step("fit")
    assert step.partner == Partner("the helper of the mask", HeardAs(keys=("holding",)))


BROKEN = {
    "unknown step": ("from: gauge", "from: guage", "counts from 'guage', which is no step: did"),
    "end": ("until: calm", "until: later", "counts until 'later', which is no step: the steps"),
    "id of a step": ("- id: force", "- id: fit", "forbidden act 'fit' has the id of a step"),
    "unknown setting": ("when: {patient: i", "when: {patent: i", "names 'patent', which is no"),
    "unknown option": ("{patient: infant}\n    from", "{patient: old}\n    from", "no option"),
    "no reason": ("    because: it bends\n", "", "forbidden act 'force' has no 'because': add the"),
    "unheard": ("{keys: [force/forcing]}", "{absent: [x]}", "no words can match forbidden act"),
    "number": ("it bends", "it bends twice", "has the number twice from nowhere"),
    "no fact": ("it bends", "it bends {patient.no}", "no option of setting 'patient' has a fact"),
    "source": ("sources: [invented]\n", "sources: [x]\n", "names the source 'x'"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_mistake_is_told_with_its_line(case: str) -> None:
    old, new, wanted = BROKEN[case]
    text = SAMPLE + NEVER.lstrip().replace(old, new)
    problems = parsed(text).problems
    assert problems and wanted in problems[0].message, problems
    first = line_of("never:", text)
    assert all(problem.line > first for problem in problems)


def test_two_acts_need_two_names() -> None:
    problems = parsed(WHOLE + NEVER.replace("\nnever:\n", "")).problems
    assert "two forbidden acts have the id 'force'" in problems[0].message


def test_a_partner_that_nobody_can_hear_is_told_of() -> None:
    text = FOR_TWO.replace("{keys: [holding]}", "{keys: []}")
    [problem] = parsed(text).problems
    assert "no words can match 'heard-as' of 'partner' of step 'fit'" in problem.message
    assert problem.line == line_of("partner:", text)


def test_dialogues_may_name_the_acts() -> None:
    talk = """\
- name: forced
  turns:
    - learner: I force it.
      means: {steps: [force]}
  ends: {forbidden: [force]}
"""
    dialogues, problems = parse_dialogues(talk, "a.yaml", DIALOGUES_SCHEMA, read(WHOLE))
    assert problems == ()
    assert dialogues[0].ends.forbidden == ("force",)
    _, problems = parse_dialogues(
        talk.replace("[force]}\n  ends", "[froce]}\n  ends").replace("en: [force", "en: [fit"),
        "a.yaml",
        DIALOGUES_SCHEMA,
        read(WHOLE),
    )
    assert [problem.line for problem in problems] == [4, 5]
    assert "the skill forbids no 'fit': the forbidden acts are force." in problems[1].message
