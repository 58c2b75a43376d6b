"""The words of a report: what an instructor reads first, and the tables beneath."""

from __future__ import annotations

from dataclasses import replace

from attempts import BY_HAND, FLOW, GAUGE, GLOVES, LEARNER, LOOK, NOT_YET, OPEN, STEPS, WASHER

from coach.assessment.rule import Rule
from coach.assessment.verdict import verdict_on
from coach.report.attempt import Mark, Result, SafetyFailure, Tells, Verdict
from coach.report.attempt_page import MOST_EVIDENCE, AttemptPage, few, page_of
from coach.report.attempt_tables import ListTable
from coach.report.attempt_text import attempt_text
from coach.report.by_hand import SetByHand
from coach.report.matters import matters_most, what_was_good

RULE = Rule("usual", 1, 1.0, 2.0, 0.5, 0.5, 0.5, 0.75, (0.75, 0.5, 0.25, 0.0), 0.3, 0.9)

CLEAN = replace(
    NOT_YET,
    verdict=Verdict.READY,
    steps=(GLOVES, GAUGE),
    failures=(),
    numbers=NOT_YET.numbers[:1],
    timed=(),
    hints=0,
)


def table(page: AttemptPage, heading: str) -> ListTable:
    """The table with that heading."""
    return next(each for each in page.tables if each.heading == heading)


def what_matters(result: Result) -> list[str]:
    """The things that matter most, without their reasons."""
    return [matter.what for matter in matters_most(result)]


def test_what_could_have_hurt_comes_before_what_cost_points() -> None:
    assert what_matters(NOT_YET) == [
        "Safety, at 0:36: the valve was opened without the washer.",
        "Out of order: the valve, opened slowly (a safety step).",
    ]
    assert matters_most(NOT_YET)[0].why == "Steam burns."


def test_a_failure_put_right_is_no_longer_what_matters_most() -> None:
    right = tuple(replace(each, corrected=True) for each in NOT_YET.failures)
    assert what_matters(replace(NOT_YET, failures=right))[0] == (
        "Missed: the washer under the lid (a safety step)."
    )


def test_a_number_out_of_range_comes_before_a_step_that_is_merely_late() -> None:
    result = replace(NOT_YET, failures=(), steps=(GLOVES, FLOW, STEPS[6]))
    assert what_matters(result) == [
        "Out of range: set flow 15 L/min, expected 10 to 12 L/min (the flow).",
        "Late: ten seconds of stirring.",
    ]


def test_what_is_unclear_comes_first_where_it_decides() -> None:
    result = replace(NOT_YET, verdict=Verdict.UNCLEAR, failures=(), steps=(LOOK, OPEN))
    assert what_matters(result) == [
        "To be settled by a person: the look at the colour, told aloud.",
        "Out of order: the valve, opened slowly (a safety step).",
    ]


def test_the_reason_of_the_verdict_does_not_stand_twice() -> None:
    """Of each kind of verdict; one with a share of points, or more in it, stands by itself."""
    first = NOT_YET.failures[0]
    steps, rule = (GLOVES, LOOK, OPEN), RULE
    for failures, of_steps, possible in (
        ((first,), steps, ()),
        ((), (GLOVES, WASHER), ()),
        ((), (replace(GLOVES, mark=Mark.UNCLEAR, points=0.0),), ()),
    ):
        verdict, why = verdict_on(of_steps, failures, rule, possible)
        result = replace(CLEAN, verdict=verdict, why=why, failures=failures, steps=of_steps)
        assert page_of(result).why == ""
        assert attempt_text(result).splitlines()[0].endswith((": Not yet.", ": Unclear."))
    verdict, why = verdict_on(steps, (first,), rule, (replace(first, what="the lid left open"),))
    result = replace(CLEAN, verdict=verdict, why=why, failures=(first,), steps=steps)
    assert "perhaps the lid left open" in page_of(result).why
    verdict, why = verdict_on((GLOVES, GAUGE), (), rule)
    assert "% of the points" in page_of(replace(CLEAN, verdict=verdict, why=why)).why


def test_the_step_that_cost_most_points_comes_first() -> None:
    cheap = replace(WASHER, step="a", name="the cheap one", safety=False, out_of=1.0)
    dear = replace(WASHER, step="b", name="the dear one", safety=False, out_of=5.0)
    result = replace(CLEAN, steps=(cheap, dear))
    assert what_matters(result)[0] == "Missed: the dear one."


def test_a_step_done_in_part_says_why_and_matters_where_nothing_worse_is() -> None:
    aloud = replace(GLOVES, points=1.5, why="Not said aloud.")
    result = replace(CLEAN, steps=(aloud, GAUGE))
    [matter] = matters_most(result)
    assert matter.what == "Only in part: gloves and a safe scene (a safety step)."
    assert matter.why == "Not said aloud."
    assert [row.why for row in page_of(result).steps] == ["Not said aloud.", ""]


def test_the_reason_does_not_say_the_verdict_again() -> None:
    assert page_of(replace(NOT_YET, why="Not yet: missed the lid.")).why == "Missed the lid."
    assert page_of(replace(NOT_YET, why="")).why == ""


def test_time_and_hints_matter_where_nothing_else_does() -> None:
    slow = replace(CLEAN, seconds=300.0, limit_s=240.0, hints=2)
    assert what_matters(slow) == [
        "It took 5:00; the limit is 4:00.",
        "The coach helped: 2 hints.",
    ]
    assert what_matters(CLEAN) == []


def test_only_what_was_good_is_praised() -> None:
    assert what_was_good(CLEAN) == (
        "All 2 steps done in time and order, every safety step among them, "
        "every number in its range, no hint needed."
    )
    assert what_was_good(NOT_YET) == "5 of 9 steps done."
    safe = replace(NOT_YET, failures=())
    assert what_was_good(safe) == "5 of 9 steps done in time and order."
    assert what_was_good(replace(NOT_YET, steps=(WASHER,))) == ""


def test_the_head_names_verdict_learner_skill_and_when() -> None:
    page = page_of(NOT_YET, LEARNER)
    assert (page.sign, page.verdict_word, page.who) == ("\u2717", "NOT YET", LEARNER)
    facts = dict(page.facts)
    assert facts["When"] == "2026-05-04, 14:03 (UTC+02:00)"
    assert facts["Time"] == "3:34 of 4:00"
    assert facts["Points"] == "11 of 18 (61\u00a0%); ready from 80\u00a0%"


def test_a_learner_without_a_name_is_told_by_id_and_nobody_as_nobody() -> None:
    assert page_of(NOT_YET).who == f"Learner {NOT_YET.learner}"
    assert page_of(replace(NOT_YET, learner="")).who == "Nobody's attempt"


def test_evidence_says_when_what_and_how_sure_and_the_coach_is_not_unsure() -> None:
    rows = page_of(NOT_YET).steps
    assert rows[2].evidence == ("0:41 hint of the coach: \u201cWhat seals the lid?\u201d",)
    assert rows[3].evidence == (
        "0:52 perhaps, 71\u00a0%: \u201cseventeen hundred\u201d",
        "0:58 number, done, 95\u00a0%: \u201cseventeen hundred psi\u201d",
    )


def test_perhaps_is_not_said_beside_done() -> None:
    perhaps = replace(GLOVES.evidence[0], tells=Tells.PERHAPS)
    step = replace(GLOVES, evidence=(perhaps, *GLOVES.evidence))
    [row] = page_of(replace(NOT_YET, steps=(step,))).steps
    assert [line[:9] for line in row.evidence] == ["0:04 done"]


def test_evidence_names_the_words_for_which_it_is_in_doubt() -> None:
    doubted = replace(GLOVES.evidence[0], tells=Tells.PERHAPS, doubted="half on")
    [row] = page_of(replace(NOT_YET, steps=(replace(GLOVES, evidence=(doubted,)),))).steps
    assert row.evidence[0].endswith("in doubt for \u201chalf on\u201d")


def test_much_evidence_is_cut_in_its_middle_and_says_so() -> None:
    pieces = tuple(replace(GLOVES.evidence[0], at_s=float(at)) for at in range(MOST_EVIDENCE + 5))
    [row] = page_of(replace(NOT_YET, steps=(replace(GLOVES, evidence=pieces),))).steps
    assert len(row.evidence) == MOST_EVIDENCE + 1
    assert row.evidence[-2:] == ("(5 more in the JSON)", row.evidence[-1])
    assert row.evidence[-1].startswith("0:44 ")
    four = few(row.evidence, 4, "the HTML")
    assert [line.split(" ")[0] for line in four] == ["0:00", "0:01", "0:02", "(37", "0:44"]
    assert few(four[:2], 4, "the HTML") == four[:2]


def test_what_made_a_step_count_stands_for_all_that_was_heard_of_it() -> None:
    rows = page_of(NOT_YET).steps
    assert rows[3].evidence[rows[3].weightiest].startswith("0:58 number, done")
    [line] = few(rows[3].evidence, 1, "the HTML", rows[3].weightiest)
    assert line == "0:58 number, done, 95\u00a0%: \u201cseventeen hundred psi\u201d (+1)"
    missed = page_of(replace(NOT_YET, steps=(replace(GAUGE, at_s=None),))).steps[0]
    assert missed.weightiest == 0


def test_a_mark_set_by_hand_stands_beside_the_coachs() -> None:
    page = page_of(NOT_YET, LEARNER, (), BY_HAND)
    assert page.steps[7].marks[1:] == (
        "coach: ?\u00a0unclear",
        "Rhea Madeup: \u25cf\u00a0done",
    )
    [row] = table(page, "Marks set by hand (the verdict is the coach's own)").rows
    assert row[3] == "Rhea Madeup, 2026-05-04, 15:10 (UTC+02:00)"
    assert row[4] == "I heard her say that the colour is good."


def test_a_learners_own_word_is_shown_as_one() -> None:
    """Even where it is what the coach made of it: nobody else has looked."""
    word = replace(BY_HAND[0], by="the learner", mark=BY_HAND[0].coachs_mark, because="")
    page = page_of(NOT_YET, LEARNER, (), (word, *BY_HAND))
    rows = table(page, "Marks set by hand (the verdict is the coach's own)").rows
    assert rows[0][3].startswith("the learner (own word: no verdict goes by it), ")
    said = replace(word, because="yes I did")
    shown = page_of(NOT_YET, LEARNER, (), (said,)).steps[7].marks
    assert shown[1].startswith("coach:") and shown[2].startswith("the learner says: ")


def test_who_only_agrees_with_the_coach_takes_one_row() -> None:
    agreed = tuple(
        SetByHand(step.step, step.mark, step.mark, "Rhea Madeup", f"2026-05-0{place}")
        for place, step in enumerate(STEPS[:7], start=1)
    )
    page = page_of(replace(NOT_YET, judged_by="Rhea Madeup"), LEARNER, (), (*BY_HAND, *agreed))
    rows = table(page, "Marks set by hand").rows
    assert [row[0] for row in rows] == ["the look at the colour, told aloud", "In 7 steps"]
    assert rows[1][2:4] == ("as the coach", "Rhea Madeup, 2026-05-07")
    assert [len(row.marks) for row in page.steps] == [1] * 7 + [3, 1]


def test_whose_the_verdict_is_where_marks_were_set_by_hand_is_told() -> None:
    page = page_of(replace(NOT_YET, judged_by="Rhea Madeup"), LEARNER, (), BY_HAND)
    assert len(table(page, "Marks set by hand").rows) == 1


def test_earlier_attempts_stand_oldest_first_and_beside_each_step() -> None:
    first = replace(CLEAN, started="2026-04-01T09:00:00+02:00", points=3.0)
    second = replace(NOT_YET, started="2026-04-20T09:00:00+02:00")
    page = page_of(NOT_YET, LEARNER, (first, second))
    assert [row[0] for row in table(page, "Earlier attempts").rows] == [
        "2026-04-01, 09:00 (UTC+02:00)",
        "2026-04-20, 09:00 (UTC+02:00)",
        "2026-05-04, 14:03 (UTC+02:00) (this one)",
    ]
    assert [row.before for row in page.steps[:3]] == [
        "\u25cf \u25cf",
        "\u2013 \u25cf",
        "\u2013 \u2717",
    ]


def test_numbers_said_stand_against_numbers_expected() -> None:
    rows = table(page_of(NOT_YET), "Numbers").rows
    assert rows[1] == (
        "1:24",
        "the flow: set flow",
        "15 L/min",
        "10 to 12 L/min",
        "OUT OF RANGE, corrected before",
    )
    assert rows[2][2:4] == ("3", "3")


def test_timed_steps_are_held_against_limit_and_least() -> None:
    assert [row[1:] for row in table(page_of(NOT_YET), "Timed steps").rows] == [
        ("14 s", "over the limit of 10 s"),
        ("8 s", "short of the 10 s it has to last"),
        ("6 s", "as it should be (at most 10 s)"),
    ]


def test_oxygen_protocol_and_cautions() -> None:
    page = page_of(NOT_YET)
    assert page.oxygen == (
        "24 minutes of oxygen left, as last told "
        "(said before: pressure 1700 psi at 0:58; set flow 15 L/min at 1:24)."
    )
    assert page.protocol[0] == "By the rules of Riverside, of May 1, 2026, approved by nobody real."
    assert page.protocol[1:] == NOT_YET.weaker
    assert page.cautions == NOT_YET.cautions
    assert page_of(replace(NOT_YET, oxygen_minutes=None)).oxygen == ""
    published = page_of(replace(NOT_YET, program="")).protocol[0]
    assert published == "By the published rules; no local program's rules were in force."


def test_an_empty_table_is_left_out() -> None:
    assert [each.heading for each in page_of(CLEAN).tables] == ["Numbers"]


def test_failures_say_whether_they_were_put_right() -> None:
    lid = SafetyFailure("lid", "the lid was lifted", "it is hot", 3.0, True)
    [row] = table(page_of(replace(CLEAN, failures=(lid,))), "Safety failures").rows
    assert row == ("0:03", "the lid was lifted", "it is hot", "put right in time")


def test_what_may_have_been_unsafe_stands_in_a_table_of_its_own() -> None:
    lid = SafetyFailure("lid", "the lid was lifted", "it is hot", 3.0, False)
    page = page_of(replace(CLEAN, possible=(lid,)))
    [row] = table(page, "Perhaps unsafe, for a person to settle").rows
    assert row == ("0:03", "the lid was lifted", "it is hot", "not made out")
    assert "Safety failures" not in [each.heading for each in page.tables]


def test_every_mark_has_a_sign_of_its_own() -> None:
    marks = [page_of(replace(CLEAN, steps=(replace(GLOVES, mark=each),))) for each in Mark]
    assert len({page.steps[0].marks[0][0] for page in marks}) == len(Mark)
