"""The settings asked about and changed by voice: read back, kept, and never amid an attempt."""

from __future__ import annotations

from collections.abc import Mapping

from fakes import FakeEar
from known_cylinders import known_cylinders

from coach.core.meaning import YES_NO
from coach.dialogue.first_questions import every_need
from coach.dialogue.setup_talk import NOT_NOW, UNCHANGED, Known
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.passing_ear import NOTHING
from coach.session.ports import EarEvent, KeyHit, SetupChanged, TextHeard
from coach.session.setup_ear import SetupEar
from coach.trade.cylinders import Region

LANDMARK = "oral-airway.landmark"
VALUES = {"region": "us", "pressure-unit": "psi", "cylinder": "D", LANDMARK: "mouth-to-lobe"}


class Talk:
    """An ear for a skill, and what came of what was said into it."""

    def __init__(self, running: bool = False, typed: bool = False, sure: float = 1.0) -> None:
        self.said: list[str] = []
        self.kept: list[Mapping[str, str]] = []
        self.inner = FakeEar()
        self.typed, self.sure = typed, sure
        skill = load_skill("oral-airway").chosen({}, frozenset())
        self.ear = SetupEar(
            self.inner,
            every_need(skill, known_cylinders(), Region.US),
            Known(VALUES, {"cylinder"}),
            self._keep,
            self.said.append,
            lambda: not running,
            lambda: True,
        )
        self.ear.listen(Hint())

    def _keep(self, answers: Mapping[str, str]) -> str:
        self.kept.append(dict(answers))
        return "Kept."

    def hear(self, *texts: str) -> EarEvent | None:
        """The last event that the session gets of these utterances."""
        event: EarEvent | None = None
        for text in texts:
            self.inner._events.append(TextHeard(Hypothesis(text, self.sure), self.typed))
            event = self.ear.next(0.0)
        return event


def test_what_is_known_is_told_even_amid_an_attempt() -> None:
    talk = Talk(running=True)
    assert talk.hear("what do you know about my setup") == NOTHING
    assert talk.said == [
        "You told me cylinder D as in delta. By default I take cylinders from the United States, "
        "a gauge in P S I and the corner of the mouth to the ear lobe."
    ]


def test_a_spoken_change_is_read_back_and_kept_after_a_yes() -> None:
    talk = Talk()
    assert talk.hear("use bar") == NOTHING
    assert talk.said == ["Bar, right?"]
    assert talk.kept == []
    assert talk.hear("yes") == SetupChanged()
    assert talk.kept == [{"pressure-unit": "bar"}]
    assert talk.said[-1] == "Bar. Kept."
    talk.hear("what are my settings")
    assert "a gauge in bar" in talk.said[-1].split(". ")[0]


def test_a_change_that_was_misheard_is_not_kept() -> None:
    talk = Talk()
    assert talk.hear("my cylinder is an E", "no", "stop") == NOTHING
    assert talk.kept == []
    assert talk.said[-1] == UNCHANGED


def test_a_typed_change_stands_at_once_and_a_setting_of_the_skill_is_one_too() -> None:
    talk = Talk(typed=True)
    assert talk.hear("change my landmark to mouth to jaw") == SetupChanged()
    assert talk.kept == [{LANDMARK: "mouth-to-jaw"}]


def test_all_is_asked_anew_and_who_begins_has_done_with_it() -> None:
    talk = Talk(typed=True)
    talk.hear("change my settings", "the US", "bar")
    assert talk.said[1].startswith("The United States. Does your gauge")
    assert talk.hear("I'm ready") == SetupChanged()
    assert talk.kept == [{"region": "us", "pressure-unit": "bar"}]


def test_a_region_without_its_cylinder_changes_nothing() -> None:
    """The letter that stands may be none of the other region's: M is none in the United Kingdom."""
    talk = Talk(typed=True)
    talk.hear("my cylinders are British")
    assert talk.said[-1].startswith("The United Kingdom. Which cylinder do you use")
    assert talk.hear("I'm ready") == NOTHING
    assert (talk.kept, talk.said[-1]) == ([], UNCHANGED)
    assert talk.hear("my cylinders are British", "C D") == SetupChanged()
    assert talk.kept == [{"region": "uk", "cylinder": "CD"}]


def test_a_running_attempt_keeps_what_it_began_with() -> None:
    talk = Talk(running=True, typed=True)
    for words in ("use bar", "change my settings", "change my cylinder to E"):
        assert talk.hear(words) == NOTHING
        assert talk.said[-1] == NOT_NOW
    # what may be told of the skill goes to the session
    event = talk.hear("my cylinder is a D")
    assert isinstance(event, TextHeard)
    assert event.hypothesis.text == "my cylinder is a D"
    assert talk.kept == []


def test_what_is_not_surely_heard_or_no_answer_is_for_the_session() -> None:
    for talk, words in ((Talk(sure=0.4), "use bar"), (Talk(), "my cylinder is full")):
        event = talk.hear(words)
        assert isinstance(event, TextHeard)
        assert event.hypothesis.text == words
        assert talk.said == []


def test_the_recogniser_is_told_what_may_be_said() -> None:
    talk = Talk()
    assert "use bar" in talk.inner.hints[-1].phrases
    talk.hear("use bar")
    assert talk.inner.hints[-1].expect == YES_NO


def test_a_pedal_says_yes_to_what_is_read_back() -> None:
    talk = Talk()
    talk.hear("use bar")
    talk.inner._events.append(KeyHit("yes"))
    assert talk.ear.next(0.0) == SetupChanged()
    assert talk.kept == [{"pressure-unit": "bar"}]


def test_this_is_real_goes_through_amid_the_questions() -> None:
    talk = Talk(typed=True)
    talk.hear("change my settings")
    event = talk.hear("this is real")
    assert isinstance(event, TextHeard)
    assert event.hypothesis.text == "this is real"
