"""From a typed attempt to its debrief: what is said, what is asked, what is kept."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fakes import FakeEar, FakeVoice

from coach.app.debriefing import NOT_HEARD, NOT_KEPT, STAYS_UNCLEAR
from coach.app.practice import practise, practise_typed
from coach.app.records import scorer_by_hand
from coach.app.reporting import gather
from coach.app.request import Request
from coach.app.senses import Senses
from coach.assessment.debrief import NO_PASS
from coach.cli.observers import JsonObserver
from coach.dialogue.events import SessionStarted
from coach.edges.journal_file import read_journal
from coach.edges.register_file import RegisterFile
from coach.edges.settings import Settings
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hypothesis
from coach.procedure.spoken_length import spoken_words
from coach.report.attempt import Mark, Way
from coach.session.journal_contents import scan
from coach.session.next_student import WHO
from coach.session.ports import TextHeard

LONGEST_WORDS = 150
"""Words said in a minute at the usual pace of speech (about 150, common practice, no source)."""


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    return tmp_path


def rows(
    capsys: pytest.CaptureFixture[str], words: str, way: Way = Way.ASSESSED, learner: str = ""
) -> list[dict[str, Any]]:
    """All that is printed of a typed attempt at the oral airway."""
    request = Request(load_skill("oral-airway"), Settings(), {}, way=way, learner=learner)
    practise_typed(request, io.StringIO(words), JsonObserver())
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def said_after_the_end(printed: list[dict[str, Any]]) -> list[str]:
    """What the coach says once the result is known, up to the next attempt."""
    judged = next(n for n, row in enumerate(printed) if row["type"] == "result")
    return [row["text"] for row in printed[judged:] if row["type"] == "said"]


SOME = (
    "I'm ready\nmy gloves are on\nthe patient is unresponsive with no gag or cough\nfinish\nyes\n"
)


def test_the_debrief_has_the_verdict_first_and_is_short(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Under a minute; with what was good and what comes next."""
    lines = said_after_the_end(rows(capsys, SOME))
    assert lines[0].startswith("Not yet: ")
    assert any("2 of 10 steps done in time and order" in line for line in lines)
    assert any(line.startswith("Next time, begin with ") for line in lines)
    assert sum(spoken_words(line) for line in lines) < LONGEST_WORDS


def test_questions_are_answered_from_the_attempt(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """About a step, what was missed, what was good; then it is over."""
    words = f"{SOME}why was the size wrong?\nwhat did I miss\nhow many points\nthat's all\nwhy\n"
    lines = said_after_the_end(rows(capsys, words))
    asked = lines[lines.index("Ask me about it, or say finish.") + 1 :]
    assert asked[0].startswith("The size: missed. Nothing was heard of it.")
    assert asked[1].startswith("Missed or out of order: ")
    assert "of 15 points" in asked[2]
    assert len(asked) == 3


def test_when_to_rehearse_again_is_told_with_its_day(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = f"{SOME}when should I practice again\nhow long did it take\nread that again\nfinish\n"
    learner = RegisterFile(data / "register.jsonl").add_learner("Ida")
    lines = said_after_the_end(rows(capsys, words, learner=learner))
    asked = lines[lines.index("Ask me about it, or say finish.") + 1 :]
    assert asked[0] == next(line for line in lines if line.startswith("Next time, begin with "))
    assert asked[0].endswith((", today.", ", tomorrow."))
    assert asked[1].startswith("It took ") and asked[1] == asked[2]


def test_an_unsafe_act_is_told_where_its_step_is_asked_about(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Opened without gloves the mouth was open, but nobody calls that in order."""
    words = (
        "I'm ready\nI open the mouth with crossed fingers\nfinish\nyes\n"
        "why was the opening of the mouth wrong?\nwhat went wrong?\nthat's all\n"
    )
    lines = said_after_the_end(rows(capsys, words))
    asked = lines[lines.index("Ask me about it, or say finish.") + 1 :]
    assert asked[0].startswith(
        "Opening the mouth: done. Unsafe: opening the mouth without your gloves; your fingers go "
        "into the mouth. Unsafe: opening the mouth without the response check; "
    )
    assert asked[1].startswith("Unsafe: opening the mouth without your gloves and ")
    assert "Missed or out of order: your gloves, " in asked[1]


def test_what_is_unclear_is_asked_and_the_answer_is_kept_beside_the_coachs_mark(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The learner's word is no pass: it stands in the register, and no verdict goes by it."""
    words = "I'm ready\nmy gloves are on\ndone\nfinish\nyes\nyes I did\nfinish\n"
    printed = rows(capsys, words, learner=RegisterFile(data / "register.jsonl").add_learner("Ida"))
    result = next(row for row in printed if row["type"] == "result")
    marks = {step["step"]: step["mark"] for step in result["steps"]}
    assert marks["unresponsive"] == "unclear"
    assert any("the response check. Did you do it?" in line for line in said_after_the_end(printed))
    (kept,) = RegisterFile(data / "register.jsonl").read().marks
    assert (kept.step, kept.mark, kept.by) == ("unresponsive", "done", "the learner")
    assert kept.because == "yes I did" and kept.own_word
    (path,) = (data / "sessions").glob("*.journal.jsonl")
    register = RegisterFile(data / "register.jsonl").read()
    gathered = gather(path, path.parent, register, scorer_by_hand({"COACH_DATA": str(data)}))
    judged = {step.step: step.mark for step in gathered.result.steps}
    assert (judged["unresponsive"], gathered.result.judged_by) == ("unclear", "coach")
    assert [each.own_word for each in gathered.by_hand] == [True]


def test_a_question_back_is_answered_before_the_step_is_asked_about_again(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = "I'm ready\nmy gloves are on\ndone\nfinish\nyes\nwhat did I miss\nyes I did\nfinish\n"
    learner = RegisterFile(data / "register.jsonl").add_learner("Ida")
    lines = said_after_the_end(rows(capsys, words, learner=learner))
    question = "I am not sure of one thing: the response check. Did you do it?"
    first = lines.index(question)
    assert lines[first + 1].startswith("Nothing was surely missed. Unclear: the response check, ")
    assert lines[first + 2 : first + 4] == [question, NO_PASS]
    (kept,) = RegisterFile(data / "register.jsonl").read().marks
    assert (kept.step, kept.mark) == ("unresponsive", "done")


def test_the_next_student_begins_the_next_attempt(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever is named gets an attempt of his own, in the register if he is new."""
    words = f"{SOME}next student, Ana\nI'm ready\nmy gloves are on\nfinish\nyes\nfinish\n"
    results = [row for row in rows(capsys, words) if row["type"] == "result"]
    assert len(results) == 2
    ana = RegisterFile(data / "register.jsonl").learner_named("Ana")
    assert [result["learner"] for result in results] == ["", ana]
    assert len(list((data / "sessions").glob("*.jsonl"))) == 2


def test_the_next_student_may_be_called_amid_an_attempt(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The attempt is judged, its debrief is one sentence, and the next begins as its learner's."""
    register = RegisterFile(data / "register.jsonl")
    ana = register.add_learner("Ana Lima")
    begun = "I'm ready\nmy gloves are on\n"
    words = f"{begun}next student, Ana Lima\n{begun}next student, Ben\nyes\n{begun}finish\nyes\n"
    printed = rows(capsys, words)
    results = [row for row in printed if row["type"] == "result"]
    ben = register.learner_named("Ben")
    assert [result["learner"] for result in results] == ["", ana, ben]
    told = [row["text"] for row in printed if row["type"] == "said"]
    assert not any(
        line.startswith("Next time, begin with")
        for line in told[
            : told.index("I don't know Ben yet. Next student, Ben? Say yes to end this attempt.")
        ]
    )
    journals = sorted((data / "sessions").glob("*.jsonl"))
    assert len(journals) == 3
    ended = [b"NextLearnerCalled" in journal.read_bytes() for journal in journals]
    assert sorted(ended) == [False, True, True]
    assert not any(b"Ana" in journal.read_bytes() for journal in journals)


def test_a_damaged_register_hinders_no_practice(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody's attempt needs no name."""
    (data / "register.jsonl").write_bytes(b"{}\n")
    printed = rows(capsys, "I'm ready\nmy gloves are on\nstop\nyes\n", way=Way.LED)
    assert any(row["type"] == "said" for row in printed)
    assert len(list((data / "sessions").glob("*.jsonl"))) == 1


def test_a_damaged_register_takes_no_debrief_away(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the learner says of a step cannot be kept then, and that is told."""
    (data / "register.jsonl").write_bytes(b"{}\n")
    attempt = "I'm ready\nmy gloves are on\ndone\nfinish\nyes\n"
    printed = rows(capsys, f"{attempt}yes I did\nno\nno\nwhat did I miss\nfinish\n")
    lines = said_after_the_end(printed)
    assert lines.count(NOT_KEPT) == 3 and NO_PASS not in lines
    assert lines[-1].startswith("Nothing was surely missed.")
    assert {row.get("name") for row in printed} >= {"register-unreadable"}
    assert (data / "register.jsonl").read_bytes() == b"{}\n"


def test_a_led_session_has_no_debrief(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its summary says what was missed."""
    assert not any(row["type"] == "result" for row in rows(capsys, SOME, way=Way.LED))


def test_this_is_real_is_not_talked_over(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Silence, but for the reminder."""
    printed = rows(capsys, "I'm ready\nmy gloves are on\nthis is real\nstop\n")
    assert not any(row["type"] == "result" for row in printed)
    assert [row["text"] for row in printed if row["type"] == "said"][-1] == "Call for help now."


UNSURE = "I'm ready\nmy gloves are on\ndone\nfinish\nyes\n"
"""An attempt after which the coach asks about one step and more are missed."""


def test_the_learners_own_word_makes_no_verdict_better_or_worse(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Somebody who saw it settles it, whatever the learner answered before or after."""
    printed = rows(capsys, f"{UNSURE}yes\nfinish\n")
    assert NO_PASS in said_after_the_end(printed)
    result = next(row for row in printed if row["type"] == "result")
    register = RegisterFile(data / "register.jsonl").read()
    (journal,) = (data / "sessions").glob("*.jsonl")
    contents = scan(journal.name, journal.read_bytes())
    score = scorer_by_hand({"COACH_DATA": str(data)})
    own = score(contents, register.marks_of(result["attempt"]))
    assert (own.points, own.judged_by) == (result["points"], "coach")
    assert next(one for one in own.steps if one.step == "unresponsive").mark is Mark.UNCLEAR
    (yes,) = register.marks
    denied = score(contents, (replace(yes, mark=Mark.MISSED, because="no"),))
    assert next(one for one in denied.steps if one.step == "unresponsive").mark is Mark.UNCLEAR
    seen = score(contents, (replace(yes, by="J. Doe"), replace(yes, mark=Mark.MISSED)))
    assert next(one for one in seen.steps if one.step == "unresponsive").mark is Mark.DONE


@pytest.mark.parametrize("words", ["this is real", "finish", "that's all"])
def test_what_ends_a_debrief_ends_it_while_a_question_is_open_too(
    data: Path, capsys: pytest.CaptureFixture[str], words: str
) -> None:
    lines = said_after_the_end(rows(capsys, f"{UNSURE}{words}\nwhat did I miss\n"))
    assert lines[-1].endswith("Did you do it?")


def test_the_next_student_may_be_named_while_a_question_is_open(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ana = RegisterFile(data / "register.jsonl").add_learner("Ana Lima")
    words = f"{UNSURE}next student, Ana\nI'm ready\nmy gloves are on\nfinish\nyes\nfinish\n"
    printed = rows(capsys, words)
    assert "Next: Ana Lima." in said_after_the_end(printed)
    assert [row["learner"] for row in printed if row["type"] == "result"] == ["", ana]


def test_a_next_student_who_could_be_two_is_asked_for_and_ends_nothing(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    register = RegisterFile(data / "register.jsonl")
    register.add_learner("Jos\u00e9 Cruz")
    evening = register.add_learner("Jos\u00e9 Cruz", "evening")
    words = (
        f"{SOME}next student, jose\nnext student, =1+1\nnext student, jose evening\n"
        "I'm ready\nmy gloves are on\nfinish\nyes\nfinish\n"
    )
    printed = rows(capsys, words)
    lines = said_after_the_end(printed)
    assert any(line.startswith("There are 2 people called jose: say which, ") for line in lines)
    assert [row["learner"] for row in printed if row["type"] == "result"] == ["", evening]


def test_a_student_who_is_new_is_said_to_be(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = said_after_the_end(rows(capsys, f"{SOME}next student, mia o'neill\nfinish\n"))
    assert "Next: Mia O'Neill, who is new here." in lines


def test_an_answer_that_was_not_made_out_is_asked_for_once_more(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Then it stays unclear, and the coach says so instead of going on in silence."""
    words = "I'm ready\nmy gloves are on\ndone\nfinish\nyes\nblue\nwell\n"
    lines = said_after_the_end(rows(capsys, words))
    question = "I am not sure of one thing: the response check. Did you do it?"
    first = lines.index(question)
    assert lines[first + 1 : first + 4] == [NOT_HEARD, question, STAYS_UNCLEAR]


def test_an_answer_that_was_hardly_heard_is_asked_for_once_more(
    data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ear = FakeEar(
        "I'm ready", "my gloves are on", "done", "finish", "yes",
        TextHeard(Hypothesis("yes i did", 0.2)), "no", "no", "no", "finish",
    )  # fmt: skip
    request = Request(load_skill("oral-airway"), Settings(), {}, way=Way.ASSESSED)
    voice = FakeVoice()
    practise(request, Senses(ear, voice, skips=True), JsonObserver())
    asked = voice.lines.index("I am not sure of one thing: the response check. Did you do it?")
    assert voice.lines[asked + 1 : asked + 3] == [NOT_HEARD, voice.lines[asked]]
    kept = RegisterFile(data / "register.jsonl").read().marks
    assert {mark.step: mark.mark for mark in kept}["unresponsive"] == Mark.MISSED


@pytest.mark.parametrize(
    ("call", "answers", "next_is"),
    [
        (("next student ane", 0.2), ("yes",), "Ane"),
        (("next student ane", 0.95), ("yes",), "Ane"),
        (("next student ida", 0.5), ("yes",), "Ida Moor"),
        (("next student ida", 0.95), (), "Ida Moor"),
        (("next student ane", 0.2), ("no",), ""),
        (("next student", 0.9), (), ""),
    ],
)
def test_a_spoken_name_that_is_new_or_was_not_surely_heard_needs_a_yes(
    data: Path, call: tuple[str, float], answers: tuple[str, ...], next_is: str
) -> None:
    """Else a name that was misheard, or not made out at all, is somebody's attempt, or nobody's."""
    register = RegisterFile(data / "register.jsonl")
    register.add_learner("Ida Moor")
    begun = SOME.splitlines()
    ear = FakeEar(*begun, TextHeard(Hypothesis(*call)), *answers, *begun, "finish")
    request = Request(load_skill("oral-airway"), Settings(), {}, way=Way.ASSESSED)
    voice = FakeVoice()
    practise(request, Senses(ear, voice, skips=True), JsonObserver())
    journals = [read_journal(path) for path in sorted((data / "sessions").glob("*.jsonl"))]
    events = [event for journal in journals for event in journal.events]
    learners = {event.learner for event in events if isinstance(event, SessionStarted)} - {""}
    assert learners == ({register.learner_named(next_is)} if next_is else set())
    assert len(register.read().learners) == (2 if next_is == "Ane" else 1)
    asked = any(line.endswith("Say yes, or no.") for line in voice.lines)
    assert asked == bool(answers)
    assert (WHO in voice.lines) == (not next_is)
