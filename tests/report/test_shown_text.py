"""Texts made fit to be shown: whatever a person wrote, one line of bounded length."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.report.shown_text import LONGEST, clock, instant, number, percent, shown
from coach.trade.wording import counted

ANYTHING = st.text(st.characters(exclude_categories=()), max_size=400)
"""Every code point there is, lone surrogates and controls among them."""


@given(ANYTHING)
def test_what_is_shown_is_one_line_of_real_letters(text: str) -> None:
    line = shown(text)
    assert len(line) <= LONGEST
    assert line == line.strip()
    line.encode("utf-8")
    assert not any(unicodedata.category(letter) in ("Cc", "Cs") for letter in line)
    # XML 1.0 (2008), production 2 [Char], less what is no letter.
    assert not any(ord(letter) in (0xFFFE, 0xFFFF) for letter in line)


@given(st.text(st.characters(categories=("L", "N")), min_size=1, max_size=LONGEST))
def test_letters_and_digits_stay_as_they_are(text: str) -> None:
    assert shown(text) == text


def test_overrides_of_the_direction_are_dropped_and_the_letters_kept() -> None:
    # UAX #9: U+202E turns all that follows it in the line.
    assert shown("Ana \u202eInvented\u2066") == "Ana Invented"


def test_a_long_name_is_cut_where_it_is_told() -> None:
    assert shown("N" * 301) == "N" * 299 + "\u2026"
    assert shown("N" * 300) == "N" * 300


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.0, "0:00"), (59.9, "0:59"), (65.2, "1:05"), (3600.0, "60:00"), (-3.0, "0:00")],
)
def test_a_stopwatch(seconds: float, text: str) -> None:
    assert clock(seconds) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [(1700.0, "1700"), (2.5, "2.5"), (0.125, "0.125"), (-0.0001, "0"), (1e300, "1e+300")],
)
def test_numbers_without_needless_zeros(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "0"), (0.001, "1"), (0.615, "62"), (0.999, "99"), (1.0, "100")],
)
def test_only_all_is_a_hundred_percent_and_only_none_is_nothing(share: float, text: str) -> None:
    assert percent(share) == f"{text}\u00a0%"


@pytest.mark.parametrize(
    ("iso", "text"),
    [
        ("2026-05-04T14:03:22+02:00", "2026-05-04, 14:03 (UTC+02:00)"),
        ("2026-05-04T14:03:22.5Z", "2026-05-04, 14:03 (UTC)"),
        ("2026-05-04T14:03:22", "2026-05-04, 14:03"),
        ("yesterday\n", "yesterday"),
    ],
)
def test_an_instant_keeps_the_zone_it_was_written_in(iso: str, text: str) -> None:
    assert instant(iso) == text


def test_one_and_more() -> None:
    assert (counted(1, "hint"), counted(0, "hint")) == ("1 hint", "0 hints")
