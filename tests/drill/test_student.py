"""A student who makes mistakes: they are real ones, the same for the same seed, and are caught."""

from __future__ import annotations

import pytest
from fakes import FakeEar, FakeObserver, FakeVoice

from coach.app.drilling import Drill, play_student
from coach.app.senses import Senses
from coach.dialogue.moment import asked_context
from coach.drill.catching import names_in, objects, told, what_was_caught
from coach.drill.mistakes import Wrong
from coach.drill.student import student_acts
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.language.understand import understand
from coach.procedure.model import Skill
from coach.session.ports import EarEvent


def skill(name: str = "oral-airway") -> Skill:
    return load_skill(name).chosen({})


@pytest.mark.parametrize("name", skill_ids())
def test_every_skill_can_be_played_and_its_mistakes_show(name: str) -> None:
    """Each mistake shows in exactly one act; without mistakes nothing shows."""
    for seed in range(4):
        acts = student_acts(skill(name), seed, 3)
        shown = [mistake for act in acts for mistake in act.shows]
        assert len(shown) == len(set(shown)) <= 3
        assert acts == student_acts(skill(name), seed, 3)
        assert all(mistake.because for mistake in shown)
    assert not any(act.shows for act in student_acts(skill(name), 0, 0))


@pytest.mark.parametrize("name", skill_ids())
def test_a_wrong_number_is_said_where_it_shows(name: str) -> None:
    """Also where a step asks for several numbers, of which the first is none that can be wrong."""
    one, many = skill(name), 100
    for seed in range(6):
        for act in student_acts(one, seed, many):
            for mistake in act.shows:
                if mistake.wrong is Wrong.NUMBER:
                    assert mistake.says.rpartition("said as ")[2] in act.text


def test_the_mistakes_are_what_they_say() -> None:
    """Held against the language: what is left out is not said, a number is out of its range."""
    one = skill()
    context = asked_context(one, None, None)
    kinds = set()
    for seed in range(20):
        acts = student_acts(one, seed, 3)
        said = [understand(act.text, context) for act in acts]
        steps = [mention.step for meaning in said for mention in meaning.steps]
        for mistake in [mistake for act in acts for mistake in act.shows]:
            kinds.add(mistake.wrong)
            if mistake.wrong is Wrong.LEFT_OUT:
                assert mistake.about not in steps
            elif mistake.wrong is Wrong.NUMBER:
                spec = one.step(mistake.about).readings[0]
                values = [r.values[0] for meaning in said for r in meaning.readings]
                assert any(not spec.low <= value <= spec.high for value in values)
    assert {Wrong.LEFT_OUT, Wrong.TOO_EARLY, Wrong.NUMBER} <= kinds


@pytest.mark.parametrize(
    ("text", "objection"),
    [
        ("stop", True),
        ("no, the gloves first", True),
        ("you forgot the suction", True),
        ("that's wrong", True),
        ("very good", False),
        ("okay go on", False),
        ("yes", False),
    ],
)
def test_what_is_an_objection(text: str, objection: bool) -> None:
    """Praise is none."""
    assert objects(text) is objection


def played(*words: EarEvent | str | float, seed: int = 3, many: int = 3) -> list[str]:
    """All that is said when the instructor says these things, one after each act."""
    one = skill()
    voice = FakeVoice()
    acts = student_acts(one, seed, many)
    ear = FakeEar(*words, *[5.0] * (len(acts) - len(words)))
    drill = Drill(one, acts, seed, many)
    play_student(drill, Senses(ear, voice, skips=True), FakeObserver())
    return voice.lines


def test_who_says_nothing_hears_every_mistake_and_why() -> None:
    """With the caution at the beginning."""
    lines = played()
    assert "never for patient care" in lines[0]
    assert "You caught 0 of 3 mistakes." in lines
    missed = [line for line in lines if line.startswith("Not caught: ")]
    assert len(missed) == 3


def test_an_objection_right_after_a_mistake_catches_it() -> None:
    """Wherever it shows."""
    acts = student_acts(skill(), 3, 3)
    said: list[tuple[str, ...]] = [("stop",) if act.shows else () for act in acts]
    caught = what_was_caught(acts, said, names_in(skill()))
    assert len(caught.caught) == 3
    assert caught.missed == ()
    assert told(caught) == ("You caught 3 of 3 mistakes.",)


def test_an_objection_to_nothing_is_told() -> None:
    """Before any mistake has shown."""
    acts = student_acts(skill(), 3, 0)
    said: list[tuple[str, ...]] = [("stop, wrong",), *[()] * (len(acts) - 1)]
    assert what_was_caught(acts, said, names_in(skill())).without_cause == 1


def test_this_is_real_ends_it_without_another_word() -> None:
    """Nobody wants to hear of mistakes then."""
    lines = played("this is real")
    assert not any(line.startswith(("You caught", "Not caught")) for line in lines)
    assert sum(line.startswith("Student: ") for line in lines) == 1
