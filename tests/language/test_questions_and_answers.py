"""What is asked in other words than are written, and answers with a "no" to what is asked."""

from __future__ import annotations

import pytest

from coach.core.meaning import StepMention
from coach.language.context import Context, StepWords, Words
from coach.language.persons import names_somebody
from coach.language.understand import understand

PAST = StepWords(
    "past",
    Words(
        phrases=("do you have any illnesses",),
        keys=("asthma/asthmatic/gout", "ask/asked/asking illness/illnesses/operations", "past ask"),
    ),
    history=True,
)
WHOSE = StepWords("whose", Words(keys=("whose drops/bottle", "ask/asked drops")))
CALM = StepWords("calm", Words(phrases=("they have no worries",), keys=("ask/asked worries",)))
HANDS = StepWords(
    "hands", Words(phrases=("everybody is in position",), keys=("all/everyone/everybody position",))
)
GIVE = StepWords("give", Words(phrases=("you take the lamb",), keys=("hand/handed lamb over",)))
STEPS = (PAST, WHOSE, CALM, HANDS, GIVE)


def told(words: str) -> list[StepMention]:
    return list(understand(words, Context(STEPS)).steps)


@pytest.mark.parametrize(
    "words",
    [
        "no asthma",
        "he isn't asthmatic",
        "she has never had gout",
        "denies asthma",
        "no gout and no asthma",
        "have you had operations",
        "sir, do you have an illness",
    ],
)
def test_the_patients_no_answers_what_was_asked(words: str) -> None:
    assert told(words) == [StepMention("past")]


@pytest.mark.parametrize(
    "words",
    ["I didn't ask about asthma", "I forgot the illnesses", "illnesses were not asked for"],
)
def test_what_was_not_asked_is_no_answer(words: str) -> None:
    assert told(words) in ([StepMention("past", denied=True)], [])


def test_a_finding_of_the_history_stays_one() -> None:
    step = StepWords("asked", Words(keys=("ask pain",), absent=("pain",)), history=True)
    meaning = understand("he has no gout and there is pain", Context((step,)))
    assert meaning.steps == (StepMention("asked", denied=True, found=True),)


@pytest.mark.parametrize(
    "words", ["can you wait for the operations", "is the operations room open", "any gloves"]
)
def test_no_other_question_asks_for_it(words: str) -> None:
    assert told(words) == []


@pytest.mark.parametrize(
    "words",
    [
        "is that your bottle",
        "are these your own drops",
        "is this bottle yours",
        "ma'am, do these drops belong to you",
        "do you own this bottle",
        "whose bottle is it",
    ],
)
def test_whose_it_is_may_be_asked_in_any_way(words: str) -> None:
    assert told(words) == [StepMention("whose")]


@pytest.mark.parametrize(
    "words", ["is that a bottle", "is this your first day", "is that your sister's bottle"]
)
def test_another_question_asks_for_no_owner(words: str) -> None:
    assert told(words) == []


def test_who_has_none_need_not_be_said() -> None:
    assert told("no worries") == told("they have no worries") == [StepMention("calm")]
    assert told("she told me no worries at all") == []


@pytest.mark.parametrize("words", ["everyone is in position", "everybody's all in position now"])
def test_all_at_their_places_is_no_talk_of_others(words: str) -> None:
    assert StepMention("hands") in told(words)


@pytest.mark.parametrize(
    "words", ["everybody says all in position", "in the video all in position"]
)
def test_talk_of_others_is_still_talk(words: str) -> None:
    assert told(words) == []


@pytest.mark.parametrize("words", ["it's a girl, you take the lamb", "done, you take the lamb"])
def test_a_phrase_counts_beside_other_clauses(words: str) -> None:
    assert StepMention("give") in told(words)


@pytest.mark.parametrize(
    "words",
    ["if you take the lamb I'll wash", "can you take the lamb", "you take the lamb yesterday"],
)
def test_not_where_it_is_a_condition_a_question_or_of_another_time(words: str) -> None:
    assert told(words) == []


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("the bystander holds the lamp", True),
        ("a neighbor and the firefighter lift", True),
        ("the lamp is held", False),
        ("holding the lamp", False),
    ],
)
def test_people_beside_the_patient_are_somebody(words: str, named: bool) -> None:
    assert names_somebody(words) is named
