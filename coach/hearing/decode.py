"""From a network's log-probabilities and a hint of the moment to what was heard. Pure.

Texts compete by a log-linear model: how well each fits the sound, and what its words cost at this
moment (`coach.hearing.weighing`). Foreign words and silence are texts like the others, so a word of
another trade is not taken for a command. The weights, and what makes a text sure, were fitted to
the network on development recordings (`coach.hearing.calibration`), never on the test folders.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coach.core.units import Quantity
from coach.hearing.calibration import FACTS, Calibration
from coach.hearing.ctc import Grammar, greedy, greedy_score, search, shortened
from coach.hearing.hypothesis import Hint, Hypothesis, Shares
from coach.hearing.lexicon import Lexicon
from coach.hearing.spoken_number import NUMBER_WORDS, number_spans, value
from coach.hearing.weighing import Counts, Moment, weight_row

WIDTH = 24
NARROW = 16
"""Texts kept a frame: among rows of words; among the phrases of the moment, and numbers alone."""

MENDED_WORDS = 4
MENDED_PER_LETTER = 0.6
"""A whole sentence may fit so many nats a letter worse in known words and still be worth reading:
two or three letters in a sentence went wrong."""

MOST_OTHERS = 8
LEAST_OF_OTHERS = 0.01

_FARTHEST = 10.0
_MOST_LETTERS = 12
_MOST_UNSURE = 8.0
_FIT = FACTS.index("fit")
_NOTHING = FACTS.index("nothing")
_WHOLE_NUMBER = FACTS.index("whole_number")

EMPTY_WORDS = frozenset("a an the and um uh is".split())
TURNS = frozenset("no not nope wrong negative sorry wait correction mean isn't wasn't".split())
"""Words that change what a number beside them means."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One text that may have been said: its FACTS and their weighted sum in nats."""

    text: str
    facts: Counts
    weight: float


def decode(
    log_probs: NDArray[np.float32], hint: Hint, lexicon: Lexicon, calibration: Calibration
) -> Hypothesis:
    """What was heard in (frames, classes) log-probabilities; no text for silence and noise.

    The likeliest text with its chance, however small: whether that is enough is for the judgement
    (`coach.session.judgement`), which knows what a mistake costs. The other texts have each their
    own chance, and together no more than the likeliest leaves.
    """
    moment = _moment(lexicon, hint, weight_row(calibration.weights))
    ranked = candidates(log_probs, moment)
    if not ranked:
        return Hypothesis("", 0.0)
    shares = shared(ranked, moment)
    (best, share), *rest = shares
    if not best.text:
        return Hypothesis("", 0.0)
    chance = calibration.chance(kind_of(best, moment), traits(best, share, ranked))
    own = [
        (other.text, calibration.chance(kind_of(other, moment), traits(other, part, ranked)))
        for other, part in rest[:MOST_OTHERS]
        if other.text
    ]
    left = min(1.0, (1.0 - chance) / max(sum(part for _, part in own), 1e-9))
    others = [
        (written(text, lexicon), round(part * left, 3))
        for text, part in own
        if part * left >= LEAST_OF_OTHERS
    ]
    second = _mended(best, ranked, moment)
    _, unsure, _, fit, _ = traits(best, share, ranked)
    texts = tuple((written(other.text, lexicon), part) for other, part in shares[: MOST_OTHERS + 2])
    return Hypothesis(
        written(best.text, lexicon),
        chance,
        second=written(second, lexicon) if second else None,
        others=tuple(others),
        shares=Shares(texts, unsure, fit, moment.is_foreign(best.text)),
    )


def candidates(log_probs: NDArray[np.float32], moment: Moment) -> list[Candidate]:
    """All texts worth a thought, likeliest first, silence ("") among them; none for silence."""
    frames = shortened(log_probs)
    free = greedy(frames)
    if not free:
        return []
    best_fit = greedy_score(frames)
    found = dict(search(frames, moment, WIDTH))
    grammars = [_phrases(phrases) for phrases in (moment.phrases, moment.answers) if phrases]
    grammars += [_row(words) for words in moment.number_rows]
    for grammar in grammars:
        for text, score in search(frames, grammar, NARROW):
            found[text] = max(score, found.get(text, score))
    found.pop("", None)
    weighed = [_weighed(text, score - best_fit, moment) for text, score in found.items()]
    weighed.append(_silence(float(frames[:, 0].sum()) - best_fit, best_fit, free, moment))
    return sorted(weighed, key=lambda candidate: (-candidate.weight, candidate.text))


def _weighed(text: str, fit: float, moment: Moment) -> Candidate:
    facts = moment.counts(text)
    facts[_FIT] = fit
    return Candidate(text, tuple(facts), _sum(facts, moment))


def _silence(fit: float, best_fit: float, free: str, moment: Moment) -> Candidate:
    facts = [0.0] * len(FACTS)
    unsure = min(_MOST_UNSURE, -best_fit / len(free))
    facts[_FIT] = fit
    facts[_NOTHING : _NOTHING + 3] = (1.0, unsure, float(min(len(free), _MOST_LETTERS)))
    return Candidate("", tuple(facts), _sum(facts, moment))


def _sum(facts: Iterable[float], moment: Moment) -> float:
    return sum(w * fact for w, fact in zip(moment.weights, facts, strict=True))


def shared(ranked: Sequence[Candidate], moment: Moment) -> list[tuple[Candidate, float]]:
    """The likeliest text of each meaning with the share of all its texts, greatest share first."""
    top = ranked[0].weight
    groups: dict[str, tuple[Candidate, float]] = {}
    for candidate in ranked:
        key = key_of(candidate.text, moment)
        first, share = groups.get(key, (candidate, 0.0))
        groups[key] = first, share + math.exp(candidate.weight - top)
    total = sum(share for _, share in groups.values())
    return sorted(
        ((first, share / total) for first, share in groups.values()), key=lambda item: -item[1]
    )


def key_of(text: str, moment: Moment) -> str:
    """What texts of one meaning have in common: numbers by value, answers by yes and no.

    Foreign words are all alike, articles and fillers do not count.
    """
    lexicon = moment.lexicon
    if text in lexicon.agreeing:
        return "+"
    if text in lexicon.refusing:
        return "-"
    words = text.split()
    spans = number_spans(words)
    if spans and isinstance(moment.hint.expect, Quantity):
        inside = {place for span in spans for place in range(*span)}
        rest = [w for place, w in enumerate(words) if place not in inside and w in TURNS]
        return " ".join([*rest, *(str(value(words[slice(*span)])) for span in spans)])
    kept = [word for word in words if word not in EMPTY_WORDS] or words
    return " ".join("?" if moment.is_foreign(word) else word for word in kept)


def kind_of(chosen: Candidate, moment: Moment) -> str:
    """Which of KINDS a text is of at this moment."""
    if moment.is_foreign(chosen.text):
        return "foreign"
    if chosen.facts[_WHOLE_NUMBER]:
        return "number"
    if chosen.text in moment.answers:
        return "answer"
    return "phrase" if chosen.text in moment.phrases else "words"


def traits(chosen: Candidate, share: float, ranked: Sequence[Candidate]) -> tuple[float, ...]:
    """TRAITS of a chosen text with its share of all chances."""
    silence = next(candidate for candidate in ranked if not candidate.text)
    odds = math.log(max(share, 1e-9) / max(1.0 - share, 1e-9))
    return (
        max(-_FARTHEST, min(_FARTHEST, odds)),
        silence.facts[_NOTHING + 1],
        float(min(_MOST_LETTERS, len(chosen.text))),
        max(-_FARTHEST, chosen.facts[_FIT]),
        1.0,
    )


def written(text: str, lexicon: Lexicon) -> str:
    """The text with what a unit sounds like behind a number written as the unit."""
    words = text.split()
    longest = sorted(lexicon.sounds, key=lambda pair: -len(pair[0].split()))
    for sound, unit in longest:
        parts = sound.split()
        for at in range(1, len(words) - len(parts) + 1):
            if words[at : at + len(parts)] == parts and words[at - 1] in NUMBER_WORDS:
                words[at : at + len(parts)] = [unit]
    return " ".join(words)


def _mended(best: Candidate, ranked: Sequence[Candidate], moment: Moment) -> str | None:
    """The row of known words nearest to a sentence in which a few letters went wrong.

    It is only a second opinion: whoever takes it must find a whole meaning in it.
    """
    if len(best.text.split()) < MENDED_WORDS or not moment.is_foreign(best.text):
        return None
    for other in ranked:
        if moment.is_foreign(other.text) or len(other.text.split()) < MENDED_WORDS:
            continue
        if best.facts[_FIT] - other.facts[_FIT] <= MENDED_PER_LETTER * len(best.text):
            return other.text
    return None


def joined(parts: Sequence[Hypothesis]) -> Hypothesis:
    """One hypothesis of pieces of sound in order; as sure as its least sure piece."""
    spoken = [part for part in parts if part.text]
    if not spoken:
        return Hypothesis("", 0.0)
    if len(spoken) == 1:
        return spoken[0]
    seconds = [part.second or part.text for part in spoken]
    return Hypothesis(
        " ".join(part.text for part in spoken),
        min(part.confidence for part in spoken),
        second=" ".join(seconds) if any(part.second for part in spoken) else None,
    )


@lru_cache(maxsize=8)
def _moment(lexicon: Lexicon, hint: Hint, weights: Counts) -> Moment:
    return Moment(lexicon, hint, weights)


@lru_cache(maxsize=8)
def _phrases(phrases: frozenset[str]) -> Grammar:
    return Grammar.of(phrases, repeats=False)


@lru_cache(maxsize=4)
def _row(words: frozenset[str]) -> Grammar:
    return Grammar.of(words, repeats=True)
