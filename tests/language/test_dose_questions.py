"""Who asks for the dose, and who speaks of something near it."""

from __future__ import annotations

import pytest

from coach.language.dose_questions import asks_for_dose


@pytest.mark.parametrize(
    "said",
    [
        *("What's the dose?", "what is the right dose", "which dose do I give", "what dose"),
        *("okay coach, what's the dosage", "tell me the dose please", "give me the dose"),
        *("how big is the dose", "what's the adult dose of aspirin", "remind me what the dose is"),
        *("How many milligrams?", "how many milligrams is it", "how many puffs should she get"),
        *("how many tablets do I give him", "how many international units", "how many sprays"),
        *("How much aspirin do I give?", "how much do I give", "how much should he take"),
        *("how much naloxone should I spray", "how much to give", "how much can she have"),
    ],
)
def test_a_question_for_the_dose(said: str) -> None:
    assert asks_for_dose(said)


@pytest.mark.parametrize(
    "said",
    [
        *("The dose is four milligrams.", "I read the dose on the label", "give the dose"),
        *("how many puffs have you taken", "how many tablets did you take today"),
        *("how much of it has he had already", "when did you take the last dose"),
        *("how much oxygen do I give", "how many breaths do I give", "how much pressure do I need"),
        *(
            "how much time do I have",
            "how many minutes",
            "how many steps are left",
            "how much more",
        ),
        *("what's next after the dose", "what if the dose is gone", "how do I do that", "how"),
        *("how much should I tilt it", "how many weeks are you", ""),
    ],
)
def test_what_is_near_a_question_for_the_dose(said: str) -> None:
    assert not asks_for_dose(said)


def test_how_much_of_it_is_enough_where_a_dose_has_to_be_named() -> None:
    for said in ("how much aspirin", "how much", "how much of it"):
        assert asks_for_dose(said, of_a_drug=True) and not asks_for_dose(said)
    assert not asks_for_dose("how much oxygen", of_a_drug=True)
    assert not asks_for_dose("how much does it hurt him", of_a_drug=True)
