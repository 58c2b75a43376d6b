"""A bad finding can only be told if the recogniser listens for its words."""

from __future__ import annotations

import pytest

from coach.dialogue.moment import asked_context, hint_of
from coach.edges.skill_files import load_skill
from coach.language.context import Words
from coach.language.finding_phrases import finding_phrases


@pytest.mark.parametrize(
    ("skill", "word"),
    [
        ("recovery-position", "gasping"),
        ("shock", "snoring"),
        ("naloxone-nasal", "pulseless"),
        ("burns", "hoarse"),
    ],
)
def test_the_recogniser_listens_for_the_words_of_findings(skill: str, word: str) -> None:
    hint = hint_of(asked_context(load_skill(skill).chosen({}), None, None))
    assert word in {word for phrase in hint.phrases for word in phrase.split()}


def test_only_words_that_no_phrase_holds_are_added() -> None:
    words = Words(absent=("mask small/big", "leak", "no air"))
    found = list(finding_phrases(words, {"mask", "no", "leak"}))
    assert found == ["mask small", "mask big", "no air"]
