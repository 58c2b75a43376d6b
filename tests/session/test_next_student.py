"""The next student is called amid an attempt: heard surely, read back where it is not."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from bench_session import Run
from fakes import FakeEar

from coach.core.meaning import YES_NO
from coach.dialogue.events import NextLearnerCalled
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.next_learner import called_next, name_meant, next_learner
from coach.records.register import register_of
from coach.records.register_lines import LearnerAdded
from coach.session.next_student import STAYS, WHO, NextStudentEar
from coach.session.ports import EarClosed, EarEvent, KeyHit, NextCalled, TextHeard

NAMES = ("Ana Lima", "Ben", "Bea", "Zoë Quinn")
AT = "2026-03-04T09:00:00+00:00"


def spoken(text: str, sure: float = 0.97) -> TextHeard:
    return TextHeard(Hypothesis(text, sure))


class Class:
    """An ear in a class whose register has NAMES, two of them Bea; what came through, and what
    was said."""

    def __init__(
        self,
        *events: EarEvent | str | float,
        may_ask: bool = True,
        more: Sequence[tuple[str, str]] = (),
    ) -> None:
        people = [*((name, "day" if name == "Bea" else "") for name in NAMES), ("Bea", "evening")]
        self.register = register_of(
            LearnerAdded(AT, f"id {number}", name, note)
            for number, (name, note) in enumerate([*people, *more])
        )
        self.said: list[str] = []
        self.now_s = 0.0
        self.speaking = False
        self.inner = FakeEar(*events)
        self.ear = NextStudentEar(
            self.inner,
            [one.name for one in self.register.learners.values()],
            lambda said: [one.called for one in self.register.could_be(said)],
            self._id,
            self.said.append,
            lambda: self.now_s,
            lambda: may_ask,
            lambda: self.speaking,
        )
        self.ear.listen(Hint())

    def _id(self, name: str) -> str:
        found = self.register.named(name)
        return f"id of {found.called if found else name}"

    def came(self) -> list[EarEvent | None]:
        found: list[EarEvent | None] = []
        while not isinstance(event := self.ear.next(0.1), EarClosed | NextCalled):
            found.append(event)
        return [*found, event]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("next student, Ana", "Ana"),
        ("Next learner Ben.", "Ben"),
        ("okay, next student please", None),
        ("okay next student, Ana Lima", "Ana Lima"),
        ("next student is Zoë Quinn", "Zoë Quinn"),
        ("next student", ""),
        ("next one is the mask", None),
        ("next", None),
        ("the next student has to clean up here", None),
        ("next student can come in", None),
        ("I put the mask on the next student", None),
    ],
)
def test_who_is_called_amid_an_attempt(text: str, name: str | None) -> None:
    """Less is taken for a call than after one: most talk is about something else."""
    assert called_next(text) in ({name} if name is not None else {None, ""})
    assert next_learner("next one, Ana") == "Ana"


def test_which_name_of_the_register_is_meant() -> None:
    assert name_meant("ben", NAMES) == ("Ben", True)
    assert name_meant("ana", NAMES) == ("Ana Lima", False)
    assert name_meant("anna lima", NAMES) == ("Ana Lima", False)
    assert name_meant("wolfgang", NAMES) == ("Wolfgang", False)


def test_a_name_of_the_register_heard_surely_ends_the_attempt() -> None:
    one = Class(spoken("gloves on"), spoken("next student ben"), "never heard")
    assert [type(event) for event in one.came()] == [TextHeard, NextCalled]
    assert (one.ear.following, one.said) == ("id of Ben", [])


def test_the_recogniser_listens_for_the_names() -> None:
    assert "next student ana lima" in Class().inner.hints[-1].phrases


@pytest.mark.parametrize("call", [spoken("next student ben", 0.5), spoken("next student anna")])
def test_what_was_not_heard_surely_is_read_back_first(call: TextHeard) -> None:
    one = Class(call, spoken("yes"))
    events = one.came()
    assert isinstance(events[-1], NextCalled) and one.ear.following is not None
    assert one.said[0].startswith("Next student, ") and one.said[0].endswith(
        "Say yes to end this attempt."
    )
    assert YES_NO in [hint.expect for hint in one.inner.hints]


@pytest.mark.parametrize("answer", ["no", "the washer is whole"])
def test_a_mistaken_hearing_ends_nothing_and_loses_no_word(answer: str) -> None:
    one = Class(spoken("next student ben", 0.5), spoken(answer), spoken("yes"))
    heard = [event.hypothesis.text for event in one.came() if isinstance(event, TextHeard)]
    assert one.ear.following is None
    assert heard == ["", *(["", "yes"] if answer == "no" else [answer, "yes"])]
    assert (STAYS in one.said) is (answer == "no")


def test_a_next_student_who_is_ready_before_the_yes_is_asked_again_but_once() -> None:
    ready = spoken("i'm ready")
    one = Class(spoken("next student ana", 0.97), ready, spoken("yes"))
    assert isinstance(one.came()[-1], NextCalled) and one.ear.following == "id of Ana Lima"
    assert one.said == ["Next student, Ana Lima? Say yes to end this attempt."] * 2
    twice = Class(spoken("next student ana", 0.97), ready, ready, spoken("gloves on"))
    heard = [event.hypothesis.text for event in twice.came() if isinstance(event, TextHeard)]
    assert heard == ["", "", "i'm ready", "gloves on"] and twice.ear.following is None


def test_a_faint_yes_is_no_yes_and_a_late_one_neither() -> None:
    faint = Class(spoken("next student ben", 0.5), spoken("yes", 0.4), spoken("no"))
    faint.came()
    late = Class(spoken("next student ben", 0.5), spoken("yes"))
    late.ear.next(0.1)
    late.now_s = 60.0
    late.came()
    assert faint.ear.following is late.ear.following is None


def test_the_time_for_an_answer_begins_when_the_question_has_been_said() -> None:
    """It is said behind what the coach says already, which may be a long line."""
    one = Class(spoken("next student ben", 0.5), 1.0, spoken("yes"))
    one.ear.next(0.1)
    one.now_s, one.speaking = 60.0, True
    one.ear.next(0.1)
    one.now_s, one.speaking = 64.0, False
    one.came()
    assert one.ear.following == "id of Ben"


def test_a_name_that_nobody_has_is_asked_about_once() -> None:
    new = "next student wolfgang"
    agreed = Class(spoken(new), spoken("yes"))
    agreed.came()
    assert agreed.said[0].startswith("I don't know Wolfgang yet.")
    assert agreed.ear.following == "id of Wolfgang"
    again = Class(spoken(new), spoken(new))
    again.came()
    assert again.ear.following == "id of Wolfgang" and len(again.said) == 1
    other = Class(spoken(new), spoken("next student gertrude"), spoken("yes"))
    other.came()
    assert other.ear.following is None and other.said[1:] == [STAYS]
    known = Class(spoken(new), spoken("next student ben"))
    known.came()
    assert known.ear.following == "id of Ben"


def test_without_a_name_it_is_asked_who() -> None:
    assert Class(spoken("next student")).came() == [TextHeard(Hypothesis("", 0.0)), EarClosed()]
    nobody = Class(spoken("next student"))
    nobody.came()
    assert nobody.said == [WHO]


TWO_ANAS = (("Ana Berg", ""),)


@pytest.mark.parametrize(
    ("call", "more", "asked", "answer", "following"),
    [
        (
            "next student bea",
            (),
            "Which one: Bea (day) or Bea (evening)?",
            "evening",
            "Bea (evening)",
        ),
        ("next student bea", (), "Which one: Bea", "next student bea day", "Bea (day)"),
        ("next student ana", TWO_ANAS, "Which one: Ana Berg or Ana Lima?", "berg", "Ana Berg"),
        ("next student anna", TWO_ANAS, "Which one: Ana Berg or Ana Lima?", "ana lima", "Ana Lima"),
    ],
)
def test_of_several_who_could_be_meant_it_is_asked_which(
    call: str, more: Sequence[tuple[str, str]], asked: str, answer: str, following: str
) -> None:
    one = Class(spoken(call), spoken(answer), more=more)
    one.came()
    assert one.said[0].startswith(asked) and len(one.said) == 1
    assert one.ear.following == f"id of {following}"


@pytest.mark.parametrize("answer", ["yes", "no", "the washer is whole", "ben", "ana"])
def test_nobody_is_guessed_of_several_and_no_word_is_lost(answer: str) -> None:
    one = Class(spoken("next student ana"), spoken(answer), spoken("yes"), more=TWO_ANAS)
    heard = [event.hypothesis.text for event in one.came() if isinstance(event, TextHeard)]
    assert one.ear.following is None
    assert heard[:2] == ["", answer if answer in ("the washer is whole", "ben") else ""]
    assert (STAYS in one.said) is (answer in ("yes", "no", "ana"))


def test_a_faint_answer_to_which_is_read_back_and_a_late_one_is_none() -> None:
    faint = Class(spoken("next student bea"), spoken("evening", 0.5), spoken("yes"))
    faint.came()
    assert faint.said[1].startswith("Next student, Bea (evening)?")
    assert faint.ear.following == "id of Bea (evening)"
    late = Class(spoken("next student bea"), spoken("evening"))
    late.ear.next(0.1)
    late.now_s = 60.0
    assert late.came()[0] == spoken("evening") and late.ear.following is None


def test_the_pedal_is_a_yes_only_to_the_question() -> None:
    asked = Class(spoken("next student ben", 0.5), KeyHit("yes"))
    asked.came()
    plain = Class(KeyHit("yes"))
    assert asked.ear.following == "id of Ben"
    assert plain.came()[0] == KeyHit("yes")


def test_nothing_is_asked_once_it_is_real() -> None:
    real = Class(spoken("next student ben"), may_ask=False)
    assert real.came()[0] == spoken("next student ben")
    assert real.said == [] and real.ear.following is None


@pytest.mark.parametrize("way", ["assessed", "recall", "led"])
def test_the_attempt_is_recorded_as_ended_by_the_call(way: str) -> None:
    one = Run("I'm ready", "my gloves are on", NextCalled(), started={"way": way})
    assert isinstance(one.journal.events[-1], NextLearnerCalled)
    assert one.events("ended-for-next") == [{}]
    assert one.done == ("gloves",)
    assert "local protocol" in one.voice.lines[-1]
