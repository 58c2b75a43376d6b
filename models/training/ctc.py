"""Reading log-probabilities of the recogniser: greedy text, and how well given phrases fit. numpy only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

VOCABULARY = " abcdefghijklmnopqrstuvwxyz'"
"""Class k + 1 is VOCABULARY[k]; class 0 is the CTC blank."""

_IMPOSSIBLE = -1e30


def encode(phrase: str) -> list[int]:
    """Classes of a phrase of a-z, apostrophe and space; ValueError names any other character."""
    unknown = sorted(set(phrase) - set(VOCABULARY))
    if unknown:
        raise ValueError(
            f"the recogniser has no class for {unknown}: write numbers as words, in lower case"
        )
    return [VOCABULARY.index(character) + 1 for character in phrase]


def greedy(log_probs: NDArray[np.float32]) -> str:
    """Text of the best class of every frame of (frames, classes), repeats and blanks dropped."""
    best = log_probs.argmax(axis=1)
    kept = best[(best != 0) & (best != np.concatenate(([0], best[:-1])))]
    return " ".join("".join(VOCABULARY[k - 1] for k in kept).split())


def greedy_score(log_probs: NDArray[np.float32]) -> float:
    """Log-likelihood (natural log) of the greedy text, by the same forward sum as `score_phrases`.

    It is what any phrase competes with: a phrase far below it was not what was said.
    """
    return score_phrases(log_probs, [greedy(log_probs)])[0]


def score_phrases(log_probs: NDArray[np.float32], phrases: Sequence[str]) -> list[float]:
    """Log-likelihood (natural log) of each phrase given (frames, classes) log-probabilities.

    The CTC forward sum over all alignments (Graves et al. 2006, section 4.1), all phrases at once.
    An empty phrase scores silence. A phrase too long for the frames scores -1e30.
    """
    if log_probs.ndim != 2 or log_probs.shape[1] != len(VOCABULARY) + 1:
        raise ValueError(
            f"expected (frames, {len(VOCABULARY) + 1}) log-probabilities, got {log_probs.shape}"
        )
    if not phrases:
        return []
    labels = [encode(phrase) for phrase in phrases]
    widest = 2 * max(len(label) for label in labels) + 1
    states = np.zeros((len(labels), widest), dtype=np.int64)
    for row, label in enumerate(labels):
        states[row, 1 : 2 * len(label) : 2] = label
    skip = np.zeros(states.shape, dtype=bool)
    skip[:, 2:] = (states[:, 2:] != 0) & (states[:, 2:] != states[:, :-2])
    frames = log_probs.astype(np.float64)
    alpha = np.full(states.shape, _IMPOSSIBLE)
    alpha[:, :2] = frames[0, states[:, :2]]
    alpha[[not label for label in labels], 1:] = _IMPOSSIBLE
    for frame in frames[1:]:
        one = np.full_like(alpha, _IMPOSSIBLE)
        one[:, 1:] = alpha[:, :-1]
        two = np.full_like(alpha, _IMPOSSIBLE)
        two[:, 2:] = np.where(skip[:, 2:], alpha[:, :-2], _IMPOSSIBLE)
        alpha = np.maximum(np.logaddexp(np.logaddexp(alpha, one), two), _IMPOSSIBLE) + frame[states]
    scores = []
    for row, label in enumerate(labels):
        last = alpha[row, 2 * len(label)]
        before = alpha[row, 2 * len(label) - 1] if label else _IMPOSSIBLE
        scores.append(float(max(np.logaddexp(last, before), _IMPOSSIBLE)))
    return scores


def _add(beams: dict[str, tuple[float, float]], text: str, blank: float, letter: float) -> None:
    """Add likelihoods of a text that ends in a blank or in a letter."""
    old = beams.get(text, (_IMPOSSIBLE, _IMPOSSIBLE))
    beams[text] = (float(np.logaddexp(old[0], blank)), float(np.logaddexp(old[1], letter)))


def beam_search(
    log_probs: NDArray[np.float32],
    width: int = 24,
    allowed: Sequence[str] | None = None,
    lexicon: Sequence[str] | None = None,
) -> list[tuple[str, float]]:
    """Best texts by prefix beam search with log-likelihoods, best first.

    With `allowed`, only prefixes of those phrases are followed and only whole phrases returned. With
    `lexicon`, texts are any sequence of those words, which repairs letters lost at the edge of a
    word; compare the score with `greedy_score`, for a lexicon takes foreign words by force.
    """
    prefixes: set[str] | None = None
    whole: set[str] = set()
    if allowed is not None or lexicon is not None:
        whole = set(allowed if allowed is not None else lexicon or ())
        prefixes = {phrase[:n] for phrase in whole for n in range(len(phrase) + 1)}
    spaced = lexicon is not None and allowed is None
    least = -9.0 if prefixes is None else -16.0  # a forced letter may be very unlikely

    def follows(text: str, letter: str) -> bool:
        if prefixes is None:
            return True
        if not spaced:
            return text + letter in prefixes
        word = text.rsplit(" ", 1)[-1]
        return word in whole if letter == " " else word + letter in prefixes

    beams: dict[str, tuple[float, float]] = {"": (0.0, _IMPOSSIBLE)}  # ends in blank, in a letter
    for frame in log_probs.astype(np.float64):
        likely = [k for k in np.flatnonzero(frame > least).tolist() if k]
        grown: dict[str, tuple[float, float]] = {}
        for text, (blank, letter) in beams.items():
            total = np.logaddexp(blank, letter)
            last = VOCABULARY.index(text[-1]) + 1 if text else 0
            _add(grown, text, total + frame[0], letter + frame[last] if last else _IMPOSSIBLE)
            for k in likely:
                if follows(text, VOCABULARY[k - 1]):
                    _add(
                        grown,
                        text + VOCABULARY[k - 1],
                        _IMPOSSIBLE,
                        (blank if k == last else total) + frame[k],
                    )
        ranked = sorted(grown.items(), key=lambda item: -np.logaddexp(*item[1]))
        beams = dict(ranked[:width])
    found = [(text, float(np.logaddexp(*ends))) for text, ends in beams.items()]
    if prefixes is not None:
        found = [(t, s) for t, s in found if (t.rsplit(" ", 1)[-1] if spaced else t) in whole]
    return sorted(found, key=lambda item: -item[1])
