"""Levels against published definitions, and what is advised for which numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.hearing.check import Advice, Block, Check, Levels, Phrase, advice, measure, paired

RATE_HZ = 16_000
WELL = Levels(-26.0, -60.0, 34.0, 0.0)


def sine(level: float, seconds: float = 1.0, hertz: float = 1000.0) -> Block:
    """A sine with that amplitude."""
    at = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    return (level * np.sin(2 * np.pi * hertz * at)).astype(np.float32)


def noise(rms: float, seconds: float = 1.0) -> Block:
    samples = np.random.default_rng(3).standard_normal(round(seconds * RATE_HZ)) * rms
    return samples.astype(np.float32)


def test_levels_are_those_of_the_standard() -> None:
    """ITU-T G.100.1: a square wave of full scale has 0 dB, a sine of full scale -3.01 dB."""
    assert measure([sine(1.0)], []).level_dbfs == pytest.approx(-3.01, abs=0.01)
    assert measure([np.ones(4096, np.float32)], []).level_dbfs == pytest.approx(0.0, abs=1e-6)
    assert measure([sine(0.1)], []).level_dbfs == pytest.approx(-23.01, abs=0.01)


def test_half_the_distance_is_six_decibels() -> None:
    """Sound pressure falls with the distance (ISO 9613-2: 20 lg d), so half of it is 6.02 dB."""
    near, far = (measure([sine(x)], []).level_dbfs for x in (0.2, 0.1))
    assert near is not None and far is not None
    assert near - far == pytest.approx(6.02, abs=0.01)


def test_signal_to_noise_is_that_of_the_mixture() -> None:
    mixed = sine(0.1, 4.0) + noise(0.0223, 4.0)
    levels = measure([mixed], [noise(0.0223, 4.0)])
    # 20 lg(0.1 / sqrt(2) / 0.0223) = 10.02
    assert levels.signal_to_noise_db == pytest.approx(10.02, abs=0.3)
    assert levels.noise_dbfs == pytest.approx(-33.0, abs=0.3)


def test_gaps_between_words_do_not_lower_the_level() -> None:
    word = sine(0.1, 0.512)
    gap = np.zeros(4096, np.float32)
    whole = measure([np.concatenate([word, gap, word])], []).level_dbfs
    assert whole == pytest.approx(-23.01, abs=0.05)


def test_a_door_that_slams_is_not_the_noise_of_the_room() -> None:
    quiet = np.concatenate([noise(0.001, 3.0), noise(0.5, 0.2), noise(0.001, 3.0)])
    assert measure([], [quiet]).noise_dbfs == pytest.approx(-60.0, abs=0.5)


def test_cut_off_tops_are_counted_but_not_a_single_peak() -> None:
    cut = np.clip(sine(2.0), -1.0, 1.0)
    # A sine of twice full scale is over it for 2/3 of its time (asin 1/2 is 30 degrees).
    assert measure([cut], []).clipped_share == pytest.approx(2 / 3, abs=0.08)
    lone = sine(0.5)
    lone[1000] = 1.0
    assert measure([lone], []).clipped_share == 0.0


def test_nothing_to_measure_is_told_as_such() -> None:
    assert measure([], []) == Levels(None, None, None, 0.0)
    assert measure([sine(0.1)], []).signal_to_noise_db is None


def checked(levels: Levels, *phrases: Phrase) -> Check:
    well = Phrase("yes", "yes", True, confidence=1.0, margin=0.6, level_dbfs=levels.level_dbfs)
    return Check(phrases or (well,), levels)


def text(found: tuple[Advice, ...]) -> str:
    return " ".join(f"{item.change} {item.because}" for item in found)


def test_where_all_is_well_there_is_nothing_to_change() -> None:
    assert advice(checked(WELL)) == ()


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        (replace(WELL, clipped_share=0.05), ("gain down", "5.0%")),
        (replace(WELL, level_dbfs=-50.0, noise_dbfs=-80.0), ("gain up", "closer", "-50")),
        (Levels(-30.0, -35.0, 5.0, 0.0), ("quieter place", "headset", "5 dB")),
        (Levels(-41.0, -47.0, 6.0, 0.0), ("closer", "6 dB")),
        (Levels(-26.0, -44.0, 18.0, 0.0), ("others talk", "headset", "18 dB")),
    ],
)
def test_each_limit_has_its_advice_with_the_number(levels: Levels, words: tuple[str, ...]) -> None:
    (found,) = advice(checked(levels))
    assert all(word in text((found,)) for word in words), found


def test_a_dead_microphone_is_told_from_a_silent_learner() -> None:
    unsaid = Phrase("yes")
    assert "not muted" in text(advice(checked(Levels(None, -120.0, None, 0.0), unsaid)))
    assert "speak up" in text(advice(checked(Levels(None, -70.0, None, 0.0), unsaid)))


def test_numbers_that_are_not_understood_are_to_be_said_digit_by_digit() -> None:
    fifteen = Phrase("fifteen", "fifty", False, is_number=True, level_dbfs=-26.0)
    assert "one five" in text(advice(checked(WELL, fifteen)))


def test_words_not_understood_at_good_levels_ask_for_another_microphone() -> None:
    unclear = Phrase("next", "necks", False, level_dbfs=-26.0)
    assert "another microphone" in text(advice(checked(WELL, unclear)))
    faint = advice(checked(replace(WELL, level_dbfs=-60.0), unclear))
    assert "another microphone" not in text(faint)


def test_what_is_hardly_understood_is_named() -> None:
    thin = Phrase("next", "next", True, confidence=0.4, margin=0.05, level_dbfs=-26.0)
    assert '"next"' in text(advice(checked(WELL, thin)))
    sure = Phrase("fifteen", "fifteen", True, True, confidence=0.99, margin=0.04, level_dbfs=-26.0)
    assert advice(checked(WELL, sure)) == ()


def test_pairing_keeps_what_fits_in_its_place() -> None:
    assert paired([[True, False], [False, False], [False, True]]) == (0, None, 1)
    assert paired([[True, False, False], [False, False, False], [False, False, True]]) == (0, 1, 2)
    assert paired([[], []]) == (None, None)


def most(fits: list[list[bool]], p: int = 0, u: int = 0) -> int:
    """The most that can fit, by trying everything."""
    if p == len(fits) or u == len(fits[0]):
        return 0
    both = fits[p][u] + most(fits, p + 1, u + 1)
    return max(both, most(fits, p + 1, u), most(fits, p, u + 1))


@given(
    st.integers(0, 4).flatmap(
        lambda width: st.lists(
            st.lists(st.booleans(), min_size=width, max_size=width), min_size=1, max_size=4
        )
    )
)
def test_pairing_keeps_the_order_and_fits_as_many_as_can_be(fits: list[list[bool]]) -> None:
    places = paired(fits)
    taken = [place for place in places if place is not None]
    assert taken == sorted(set(taken))
    fit = sum(fits[p][u] for p, u in enumerate(places) if u is not None)
    assert fit == most(fits)
