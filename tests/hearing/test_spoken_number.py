"""The automaton of spoken numbers, against num2words (LGPL, an outside reference) and by hand."""

from __future__ import annotations

import random

import pytest
from benchmarks.sayings import worded
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.hearing.spoken_number import Place, number_spans, step, value


def is_lawful(words: list[str]) -> bool:
    """Whether the words are one number as numbers are said."""
    place, all_lawful = Place.OUTSIDE, True
    for word in words:
        place, lawful = step(place, word)
        all_lawful = all_lawful and lawful and place is not Place.OUTSIDE
    return all_lawful


@pytest.mark.parametrize("number", [*range(130), *range(150, 3000, 37), 1105, 1750, 2216])
def test_cardinals_as_num2words_says_them(number: int) -> None:
    words = num2words(number).replace("-", " ").replace(",", "").split()
    assert is_lawful(words)
    assert value(words) == number
    assert number_spans(words) == [(0, len(words))]


def test_numbers_as_learners_say_them() -> None:
    dice = random.Random(1)
    for _ in range(2000):
        number = dice.choice((dice.randrange(100), dice.randrange(100, 2300), 0.5, 2.5, 7.5))
        words = worded(float(number), dice, spelled=dice.random() < 0.3).split()
        assert is_lawful(words), words
        assert value(words) == number, words
        assert len(number_spans(words)) == 1, words


@pytest.mark.parametrize(
    ("said", "worth"),
    [
        ("one seven oh oh", 1700.0),
        ("seventeen fifty", 1750.0),
        ("one fifteen", 115.0),
        ("nineteen oh five", 1905.0),
        ("two point five", 2.5),
        ("point five", 0.5),
        ("two and a half", 2.5),
        ("seventeen double oh", 1700.0),
        ("a thousand and fifty", 1050.0),
    ],
)
def test_worth(said: str, worth: float) -> None:
    assert value(said.split()) == worth


@pytest.mark.parametrize(
    "said", ["hundred hundred", "fifty seventeen hundred hundred", "oh thousand", "point point"]
)
def test_what_nobody_says_is_broken(said: str) -> None:
    assert not is_lawful(said.split())


def test_numbers_are_found_among_other_words() -> None:
    words = "it's seventeen hundred psi no one five oh oh and go".split()
    assert [words[slice(*span)] for span in number_spans(words)] == [
        ["seventeen", "hundred"],
        ["one", "five", "oh", "oh"],
    ]
