"""Whether the words around those of a step tell that it was done carelessly. Pure.

"He took one of the four and put the rest in his pocket" holds all the words of a step, and more:
what they come to is weighed by a table that was fitted to sentences of careless and of plain
learners (`models/training/carelessness.py`). The step's own words are never traits, so the table
knows of no step. A doubt takes a credit away, so that the coach asks; it never gives one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Protocol

from coach.core.errors import InputError
from coach.language.clause import Clause, Word
from coach.language.clause_words import QUESTION_HEADS, SUBJECTS
from coach.language.context import StepWords
from coach.language.match import Match
from coach.language.step_matches import own_stems
from coach.language.word_forms import stem

SMALL = frozenset(
    "a an the my your his her its their this that these those is are was were be been am i we it"
    " i'm i've it's have has had having did do does of for at with and then now just also so okay"
    " ok um uh well please to me you they there here got get some he she he's she's in on off out"
    " up down into onto over from by as him them".split()
)
"""Words that say nothing of their own: a telling with none but these besides is never doubted."""

FUNCTION_WORDS = (
    SMALL
    | QUESTION_HEADS
    | SUBJECTS
    | frozenset(
        "he'd she'd i'd we'd we're we've you're they're me us who's being been that's there's and"
        " because will would can my mine our ours yours".split()
    )
)
"""Words that join others, and say little of a telling."""

BY_SMALL_WORDS_NATS = 0.5
"""How far above the limit a telling has to come that is doubted for such words alone: wordy people
have many of them."""

_NUMBERS = frozenset(
    "zero oh one two three four five six seven eight nine ten eleven twelve thirteen fourteen"
    " fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty"
    " ninety hundred thousand".split()
)

OWN, TEXT, ELSE, NUMBER = "OWN", "TEXT", "ELSE", "NUMBER"
"""In place of words: the step's own, of its texts, another step's, of a number."""

LEFT = (1, 2, 3, 4, 6, 8)
"""How many words that say something stand besides: each is a trait."""

LONG = (2, 5, 9, 13)
"""How many words stand besides in all."""

SHARES = (0.2, 0.35, 0.5, 0.65, 0.8, 1.0)
"""Which share of what the coach says of the step was said."""

LACKING = (1, 2, 3, 5)
"""How many of those words were not said."""

MOST_WORDS = 4
"""Words that are named as the reason of a doubt."""


@dataclass(frozen=True, slots=True)
class Telling:
    """What one utterance tells of a step: its clauses, the places of its words and of others'."""

    step: StepWords
    clauses: Sequence[Clause]
    places: frozenset[int]
    others: frozenset[int]


@dataclass(frozen=True, slots=True)
class Traits:
    """What is weighed of a telling, and for each trait the words that bring it."""

    words: Mapping[str, tuple[str, ...]]
    besides: int
    """Words that say something and are not the step's own."""


class Weigher(Protocol):
    """Doubts tellings."""

    def doubts(self, telling: Telling) -> tuple[str, ...] | None:
        """The words that make a telling doubtful; None where there is no doubt."""


@dataclass(frozen=True, slots=True)
class Carelessness:
    """Weights of traits in nats; what comes over `limit` is doubted."""

    weights: Mapping[str, float]
    base: float
    limit: float

    def weigh(self, traits: Traits) -> float:
        """How much speaks for a careless telling (nats)."""
        return self.base + sum(self.weights.get(trait, 0.0) for trait in traits.words)

    def doubts(self, telling: Telling) -> tuple[str, ...] | None:
        """The words that make a telling doubtful, as said; None where there is no doubt."""
        traits = traits_of(telling)
        weight = self.weigh(traits)
        if not traits.besides or weight <= self.limit:
            return None
        reasons = self._reasons(traits)
        tells = any(word not in FUNCTION_WORDS for word in reasons)
        return reasons if tells or weight > self.limit + BY_SMALL_WORDS_NATS else None

    def _reasons(self, traits: Traits) -> tuple[str, ...]:
        """The words with the most weight, in the order in which they were said."""
        weights: dict[str, float] = {}
        for trait, words in traits.words.items():
            for word in words:
                share = self.weights.get(trait, 0.0) / len(words)
                weights[word] = weights.get(word, 0.0) + share
        heavy = sorted(weights, key=lambda word: -weights[word])[:MOST_WORDS]
        return tuple(word for word in weights if word in heavy and weights[word] > 0)


def parse_carelessness(tree: object, file: str) -> Carelessness:
    """The table of a file; InputError where it is none."""
    if not isinstance(tree, dict) or not isinstance(tree.get("weights"), dict):
        raise InputError(f"{file}: it must hold `base`, `limit` and `weights`, which it does not.")
    numbers = {"base": tree.get("base"), "limit": tree.get("limit"), **tree["weights"]}
    wrong = next((n for n, v in numbers.items() if type(v) not in (int, float)), None)
    if wrong is not None:
        raise InputError(f"{file}: the weight of '{wrong}' must be a number.")
    return Carelessness(tree["weights"], float(numbers["base"]), float(numbers["limit"]))


def tellings(
    steps: Sequence[StepWords], clauses: Sequence[Clause], sure: Sequence[Match]
) -> Iterator[Telling]:
    """What is told as done of each step that safety hangs on."""
    for step in steps:
        places = frozenset[int]().union(
            *(m.places for m in sure if m.step == step.id and not m.denied)
        )
        if places and step.safety and not step.forbidden:
            others = frozenset[int]().union(*(m.places for m in sure if m.step != step.id))
            yield Telling(step, clauses, places, others - places)


def traits_of(telling: Telling) -> Traits:
    """What is weighed: the words besides the step's own, their order, and what was left unsaid."""
    own = own_stems(telling.step)
    found: dict[str, tuple[str, ...]] = {}
    said: set[str] = set()
    besides = small = 0
    for clause in _around(telling):
        inside = any(word.place in telling.places for word in clause.words)
        if clause.mood != "plain":
            found[f"mood {clause.mood}"] = ()
        if clause.head:
            found[f"{'head' if inside else 'beside'} {clause.head}"] = (clause.head,)
        if not inside:
            found["clause beside"] = ()
        row: list[tuple[str, str]] = [(f"<{clause.head}", "")]
        for word in clause.words:
            said.add(word.stem)
            kind = _kind(word, telling, own)
            if kind is None:
                found[f"word {word.stem}"] = (word.text,)
                small += word.text in SMALL
                besides += word.text not in SMALL
                row.append((word.stem, word.text))
            elif row[-1][0] != kind:
                row.append((kind, ""))
        row.append((">", ""))
        for (one, first), (other, second) in pairwise(row):
            found[f"pair {one} {other}"] = tuple(text for text in (first, second) if text)
    found |= dict.fromkeys((f"besides {n}" for n in LEFT if besides >= n), ())
    found |= dict.fromkeys((f"long {n}" for n in LONG if besides + small >= n), ())
    if telling.step.says:
        share = len(telling.step.says & said) / len(telling.step.says)
        lacking = len(telling.step.says - said)
        found |= dict.fromkeys((f"share {n:g}" for n in SHARES if share >= n), ())
        found |= dict.fromkeys((f"lacking {n}" for n in LACKING if lacking >= n), ())
    return Traits(found, besides)


def _kind(word: Word, telling: Telling, own: frozenset[str]) -> str | None:
    """What stands in place of a word; None for one that is weighed itself."""
    if word.place in telling.places:
        return OWN
    if word.place in telling.others:
        return ELSE
    if word.text in _NUMBERS:
        return NUMBER
    if word.text not in SMALL and word.stem in own:
        return OWN
    return TEXT if word.text not in SMALL and word.stem in telling.step.texts else None


def _around(telling: Telling) -> list[Clause]:
    """The clauses with a step's words, and those beside them that tell of no other step."""
    clauses = telling.clauses
    holds = [any(w.place in telling.places for w in clause.words) for clause in clauses]
    other = [any(w.place in telling.others for w in clause.words) for clause in clauses]
    kept = {n for n, own in enumerate(holds) if own}
    for way in (1, -1):
        near = False
        for n in range(len(clauses))[::way]:
            near = holds[n] or (near and not other[n])
            if near:
                kept.add(n)
    return [clauses[n] for n in sorted(kept)]


@lru_cache(maxsize=4096)
def stems_said(text: str) -> frozenset[str]:
    """The stems of the words of a text that say something."""
    words = text.lower().replace(",", " ").replace(".", " ").replace(":", " ").split()
    return frozenset(stem(word.strip("?!;\"'()")) for word in words if word not in SMALL)
