"""Answers to the questions before the first practice, in people's own words.

The spelling alphabet is that of the ITU Radio Regulations, appendix 14 (alfa, bravo, charlie ...).
"""

from __future__ import annotations

import pytest
from known_cylinders import known_cylinders

from coach.language.first_answers import (
    REGION_WORDS,
    SPELLED,
    UNIT_WORDS,
    choice_in,
    letter_in,
    letter_phrases,
    letter_words,
    says_not_to_know,
)
from coach.trade.cylinders import Region

LETTERS = {region: known_cylinders().letters(region) for region in Region}


@pytest.mark.parametrize(
    ("text", "region"),
    [
        ("The United States", "us"),
        ("we're in the U.S.", "us"),
        ("american ones", "us"),
        ("the states", "us"),
        ("United Kingdom", "uk"),
        ("we're in the UK", "uk"),
        ("british cylinders", "uk"),
        ("they come from England", "uk"),
        ("Australia and New Zealand", "anz"),
        ("new zealand", "anz"),
        ("australian", "anz"),
        ("not from the UK", None),
        ("the UK or the United States", None),
        ("Germany", None),
        ("bar", None),
        ("use it", None),
    ],
)
def test_regions(text: str, region: str | None) -> None:
    assert choice_in(text, REGION_WORDS) == region


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("bar", "bar"),
        ("it's in bars", "bar"),
        ("we use psi", "psi"),
        ("P.S.I.", "psi"),
        ("p s i", "psi"),
        ("pounds per square inch", "psi"),
        ("not bar", None),
        ("psi or bar", None),
        ("kilopascal", None),
    ],
)
def test_units(text: str, unit: str | None) -> None:
    assert choice_in(text, UNIT_WORDS) == unit


@pytest.mark.parametrize(
    ("text", "region", "letter"),
    [
        ("D", Region.US, "D"),
        ("a D cylinder", Region.US, "D"),
        ("we use size E", Region.US, "E"),
        ("delta", Region.US, "D"),
        ("echo please", Region.US, "E"),
        ("D as in delta", Region.US, "D"),
        ("an aluminum M fifteen", Region.US, "M15"),
        ("M-15", Region.US, "M15"),
        ("m twenty two", Region.US, "M22"),
        ("size m twenty-four", Region.US, "M24"),
        ("m l six", Region.US, "ML6"),
        ("a C D cylinder", Region.UK, "CD"),
        ("CD", Region.UK, "CD"),
        ("charlie delta", Region.UK, "CD"),
        ("zed X", Region.UK, "ZX"),
        ("CD", Region.US, None),
        ("size a", Region.US, "A"),
        ("D or E", Region.US, None),
        ("not D", Region.US, None),
        ("the blue one", Region.US, None),
        ("a", Region.UK, None),
    ],
)
def test_cylinders(text: str, region: Region, letter: str | None) -> None:
    assert letter_in(text, LETTERS[region]) == letter


@pytest.mark.parametrize("region", Region)
def test_every_cylinder_is_known_by_each_way_it_is_named(region: Region) -> None:
    """By what the recogniser listens for, and by what the coach reads back."""
    for letter in LETTERS[region]:
        for phrase in (*letter_phrases((letter,)), letter_words(letter), letter):
            assert letter_in(phrase, LETTERS[region]) == letter, phrase


def test_the_words_of_the_spelling_alphabet_begin_with_their_letter() -> None:
    assert all(word.startswith(letter) for letter, word in SPELLED.items())
    assert len(set(SPELLED.values())) == len(SPELLED)


@pytest.mark.parametrize(
    "text",
    [
        "I don't know",
        "no idea",
        "not sure",
        "I'm not really sure",
        "whatever",
        "you choose",
        "dunno",
    ],
)
def test_not_knowing(text: str) -> None:
    assert says_not_to_know(text)


@pytest.mark.parametrize(
    "text", ["bar", "D", "I know it is D", "no", "skip it", "I'm sure it's bar"]
)
def test_knowing(text: str) -> None:
    assert not says_not_to_know(text)
