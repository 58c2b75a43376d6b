"""Intervals and kappa against statsmodels and published examples."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.proportion import proportion_confint

from coach.records.statistics import Interval, agreement, wilson


@given(st.integers(1, 5000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_wilson_is_that_of_statsmodels(counts: tuple[int, int]) -> None:
    count, of = counts
    low, high = proportion_confint(count, of, method="wilson")
    found = wilson(count, of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-9)
    assert 0 <= found.low <= count / of <= found.high <= 1


def test_wilson_of_a_published_example() -> None:
    """Newcombe (1998, Statistics in Medicine 17, 857), table I, method 3: 81 of 263, 15 of 148,
    0 of 20, 1 of 29 (from memory; statsmodels gives the same)."""
    examples = {(81, 263): (0.2553, 0.3662), (15, 148): (0.0624, 0.1605)}
    examples |= {(0, 20): (0.0, 0.1611), (1, 29): (0.0061, 0.1718)}
    for (count, of), (low, high) in examples.items():
        found = wilson(count, of)
        assert (round(found.low, 4), round(found.high, 4)) == (low, high)


def test_wilson_of_nothing_knows_nothing_and_nonsense_is_refused() -> None:
    assert wilson(0, 0) == Interval(0.0, 1.0)
    for count, of in ((-1, 3), (4, 3)):
        with pytest.raises(ValueError):
            wilson(count, of)


MARKS = ("done", "late", "missed", "unclear")


@given(st.lists(st.tuples(st.sampled_from(MARKS), st.sampled_from(MARKS)), min_size=1))
def test_kappa_and_its_interval_are_those_of_statsmodels(pairs: list[tuple[str, str]]) -> None:
    table = np.zeros((4, 4))
    for one, other in pairs:
        table[MARKS.index(one), MARKS.index(other)] += 1
    found = agreement(pairs)
    assert found.same == np.trace(table) and found.of == len(pairs)
    if found.kappa is None or found.interval is None:
        assert len({*pairs}) == 1 and pairs[0][0] == pairs[0][1]
        return
    expected = cohens_kappa(table)
    assert found.kappa == pytest.approx(expected.kappa, abs=1e-9)
    if expected.var_kappa < 1e-9:
        # It is none, but for rounding, of which statsmodels takes the root.
        assert found.interval.high - found.interval.low < 1e-3
        return
    low, high = max(-1.0, expected.kappa_low), min(1.0, expected.kappa_upp)
    assert (found.interval.low, found.interval.high) == pytest.approx((low, high), abs=1e-6)


def test_kappa_of_a_published_example() -> None:
    """Fleiss, Statistical Methods for Rates and Proportions (2nd edition, 1981), table 13.1 (the
    diagnoses of 100 patients): kappa 0.68 (from memory; statsmodels gives the same, and 0.0877 for
    the standard error)."""
    counts = {
        ("psychotic", "psychotic"): 75,
        ("psychotic", "neurotic"): 1,
        ("psychotic", "organic"): 4,
        ("neurotic", "psychotic"): 5,
        ("neurotic", "neurotic"): 4,
        ("neurotic", "organic"): 1,
        ("organic", "organic"): 10,
    }
    found = agreement([pair for pair, count in counts.items() for _ in range(count)])
    assert (found.same, found.of) == (89, 100)
    assert found.kappa is not None and found.interval is not None
    assert round(found.kappa, 2) == 0.68
    assert round((found.interval.high - found.kappa) / 1.96, 4) == 0.0877


def test_kappa_of_nothing_and_of_one_judgement_is_not_told() -> None:
    assert agreement([]).kappa is None
    assert agreement([("done", "done")] * 9).kappa is None
    assert agreement([("done", "missed")] * 9).kappa == 0.0
