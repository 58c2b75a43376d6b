"""The CTC forward sum and the search, against the definition: every path of frames, one by one."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray

from coach.hearing.ctc import (
    VOCABULARY,
    Grammar,
    beam_search,
    encode,
    greedy,
    greedy_score,
    score_phrases,
    search,
    shortened,
)

CLASSES = len(VOCABULARY) + 1


def frames_over(letters: str, count: int, seed: int) -> NDArray[np.float32]:
    """Random log-probabilities in which only the blank and `letters` are at all likely."""
    rng = np.random.default_rng(seed)
    logits = np.full((count, CLASSES), -60.0)
    for column in (0, *encode(letters)):
        logits[:, column] = rng.normal(0.0, 2.0, count)
    normal: NDArray[np.float32] = (
        logits - np.log(np.exp(logits).sum(axis=1, keepdims=True))
    ).astype(np.float32)
    return normal


def text_of_path(path: tuple[int, ...]) -> str:
    """Graves et al. 2006, section 3.1: drop repeats, then blanks."""
    kept = [k for k, _ in itertools.groupby(path)]
    return "".join(VOCABULARY[k - 1] for k in kept if k)


def by_definition(log_probs: NDArray[np.float32], letters: str) -> dict[str, float]:
    """Likelihood of every text: the sum over all paths (Graves et al. 2006, equation 3)."""
    sums: dict[str, float] = {}
    for path in itertools.product((0, *encode(letters)), repeat=len(log_probs)):
        likelihood = math.exp(sum(float(log_probs[t, k]) for t, k in enumerate(path)))
        text = text_of_path(path)
        sums[text] = sums.get(text, 0.0) + likelihood
    return sums


@pytest.mark.parametrize("seed", range(5))
def test_phrase_scores_are_the_sum_over_all_paths(seed: int) -> None:
    frames = frames_over("abo", 6, seed)
    expected = by_definition(frames, "abo")
    phrases = ["", "a", "ab", "aa", "aba", "boo", "oooo"]
    for phrase, score in zip(phrases, score_phrases(frames, phrases), strict=True):
        if phrase in expected:
            assert score == pytest.approx(math.log(expected[phrase]), abs=1e-4)
        else:
            assert score < -1e20, "four equal letters need seven frames"


@pytest.mark.parametrize("seed", range(5))
def test_a_wide_search_finds_the_likeliest_text_of_all(seed: int) -> None:
    frames = frames_over("abo", 6, seed)
    expected = by_definition(frames, "abo")
    found = search(frames, None, width=500)
    likeliest = max(expected, key=expected.__getitem__)
    assert found[0][0] == likeliest
    assert found[0][1] == pytest.approx(math.log(expected[likeliest]), abs=0.01)


def test_a_grammar_of_phrases_finds_only_whole_phrases() -> None:
    frames = frames_over("abo", 8, 1)
    found = beam_search(frames, 50, allowed=["ab", "abba", "oba"])
    phrases = ["ab", "abba", "oba"]
    scores = dict(zip(phrases, score_phrases(frames, phrases), strict=True))
    assert found[0][0] == max(scores, key=scores.__getitem__)
    assert {text for text, _ in found} <= set(scores)


def test_a_grammar_of_words_joins_whole_words_only() -> None:
    frames = frames_over("no ", 9, 2)
    for text, _ in search(frames, Grammar.of(["no", "on"], repeats=True), 50):
        assert set(text.split()) <= {"no", "on"}


def spelt(text: str, frames_each: int = 2) -> NDArray[np.float32]:
    """Sure frames that spell a text, with a sure blank between letters and around it."""
    path = [0] * 5
    for k in encode(text):
        path += [k] * frames_each + [0]
    path += [0] * 5
    probabilities = np.full((len(path), CLASSES), 1e-6)
    probabilities[np.arange(len(path)), path] = 1.0 - 28e-6
    sure: NDArray[np.float32] = np.log(probabilities).astype(np.float32)
    return sure


@pytest.mark.parametrize("text", ["yes", "all off", "fifteen", "it's full"])
def test_greedy_reads_what_is_spelt(text: str) -> None:
    frames = spelt(text)
    assert greedy(frames) == text
    assert greedy_score(frames) == pytest.approx(0.0, abs=0.1)


def test_greedy_of_blanks_is_empty() -> None:
    assert greedy(spelt("")) == ""


def test_shortening_keeps_text_and_score() -> None:
    frames = np.concatenate([spelt("seventeen"), spelt("hundred")])
    short = shortened(frames)
    assert len(short) < len(frames)
    assert greedy(short) == greedy(frames)
    assert greedy_score(short) == pytest.approx(greedy_score(frames), abs=0.05)


@pytest.mark.parametrize("phrase", ["1700", "Yes", "litres/min", "café"])
def test_a_character_without_a_class_is_named(phrase: str) -> None:
    with pytest.raises(ValueError, match="no class for"):
        encode(phrase)


def test_wrong_shape_is_refused() -> None:
    with pytest.raises(ValueError, match="expected"):
        score_phrases(np.zeros((4, 5), np.float32), ["a"])
