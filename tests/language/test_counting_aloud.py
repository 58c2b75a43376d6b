"""Counting aloud is told from talk of steps by the share of numbers."""

from __future__ import annotations

import pytest
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.core.meaning import Kind, Meaning, Part, StepMention
from coach.language.context import Context, StepWords, Words
from coach.language.counting import counts_aloud, told_among_numbers
from coach.language.understand import understand


@pytest.mark.parametrize("first", range(1, 120, 7))
def test_numbers_in_a_row_are_counted(first: int) -> None:
    # The words of numbers are those of an outside library.
    row = " ".join(num2words(number).replace("-", " ") for number in range(first, first + 5))
    assert counts_aloud(row)
    assert counts_aloud(f"and {row} breath")


@pytest.mark.parametrize(
    "words", ["the chest rises", "and a good seal", "over and over", "one rescuer on the chest", ""]
)
def test_talk_is_not(words: str) -> None:
    assert not counts_aloud(words)


def test_among_numbers_only_the_end_of_something_is_told() -> None:
    done, end = StepMention("breaths"), StepMention("press", part=Part.CLOCK_END)
    counted = Meaning("twenty nine thirty breaths hands off", Kind.STEP, steps=(done, end))
    assert told_among_numbers(counted) == (end,)
    talk = Meaning("hands off and the breaths went in", Kind.STEP, steps=(done, end))
    assert told_among_numbers(talk) == (done, end)


def test_a_lower_half_is_a_place_and_no_half_doing() -> None:
    context = Context(steps=(StepWords("hands", Words(keys=("hands lower",))),))
    for words, steps in (
        ("my hands are on the lower half of the breastbone", ["hands"]),
        ("my hands are half on the lower part", []),
    ):
        assert [mention.step for mention in understand(words, context).steps] == steps
