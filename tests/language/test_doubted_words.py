"""Which words of a sentence are named where it was doubted for how a step was told."""

from __future__ import annotations

import pytest

from coach.core.meaning import DoubtedStep, Meaning
from coach.language.doubted_words import doubted_words


@pytest.mark.parametrize(
    ("text", "doubted", "named"),
    [
        ("i wrapped it roughly where it goes", ("roughly", "where"), "roughly where"),
        ("she's awake but she can't do it", ("she", "but", "can't", "i"), "but she can't"),
        ("i pushed it but nothing happened", ("the", "but"), "but nothing happened"),
        ("the pad went on and the other is in the bin", ("pad", "bin"), "pad"),
        ("i put it on", ("i", "it"), ""),
        ("i felt the pulse", (), ""),
    ],
)
def test_a_short_stretch_is_named(text: str, doubted: tuple[str, ...], named: str) -> None:
    meaning = Meaning(text, doubted=(DoubtedStep("one", doubted),))
    assert doubted_words(meaning, "one") == named
    assert doubted_words(meaning, "another") == ""
