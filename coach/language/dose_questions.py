"""Whether somebody asks how much of a drug to give: "what's the dose", "how many milligrams"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.language.commands import bare
from coach.language.normal import plain

_DOSE = frozenset("dose dosage dosing".split())
_ASKING = frozenset("what what's whats which".split())
_TELL = frozenset("tell give remind say".split())
_FAR_AWAY = frozenset("after before if when once until with without since about".split())
"""Between the question and the dose these make it a question about something else."""

_GIVEN_IN = frozenset(
    "milligram milligrams microgram micrograms gram grams mg mcg milliliter milliliters millilitre"
    " millilitres ml cc unit units puff puffs spray sprays squirt squirts drop drops tablet tablets"
    " pill pills capsule capsules dose doses tube tubes vial vials aspirins".split()
)
"""What a drug is given in; "international" may stand before it."""

_GIVING = frozenset("give spray inject administer draw".split())
_TAKING = frozenset("take chew swallow get need have inhale".split())
_OUGHT = frozenset("should must can may shall".split())
_OF_THE_GIVER = frozenset("i we you one".split())

_OTHERWISE = frozenset(
    "did has had already today usually last ago taken took oxygen pressure vacuum air breath"
    " breaths shock shocks blow blows thrust thrusts time water fluid liter liters litre litres"
    " left".split()
)
"""What was taken is the patient's history; oxygen, pressure and breaths are no dose here."""


_LONGEST_ELLIPSIS = 4
"""Words of "how much of it", "how much nasal naloxone"."""


def asks_for_dose(text: str, of_a_drug: bool = False) -> bool:
    """Whether an utterance as a whole asks how much of a drug to give.

    `of_a_drug`: a dose has to be named in what is practised, so that "how much aspirin" is enough.
    """
    words = bare(plain(text)).split()
    if _OTHERWISE.intersection(words) or ("have", "you") in pairwise(words):
        return False
    short = of_a_drug and words[:2] == ["how", "much"] and len(words) <= _LONGEST_ELLIPSIS
    return short or _by_its_name(words) or _how_many(words) or _how_much(words)


def _by_its_name(words: Sequence[str]) -> bool:
    """ "What's the right dose of it", "tell me the dose", "how big is the dose"."""
    first, second = (*words, "", "")[:2]
    asks = first in _ASKING or (first in _TELL and second == "me") or first == "how"
    at = next((place for place, word in enumerate(words) if word in _DOSE), None)
    return asks and at is not None and not _FAR_AWAY.intersection(words[:at])


def _how_many(words: Sequence[str]) -> bool:
    """ "How many milligrams", "how many puffs should she get"."""
    rest = [word for word in words[2:4] if word != "international"]
    return tuple(words[:2]) == ("how", "many") and rest[:1] != [] and rest[0] in _GIVEN_IN


def _how_much(words: Sequence[str]) -> bool:
    """ "How much aspirin do I give", "how much should he take"."""
    if tuple(words[:2]) != ("how", "much"):
        return False
    rest = frozenset(words[2:])
    gives = rest & _GIVING and (rest & _OF_THE_GIVER or "to" in rest)
    return bool(gives or (rest & _TAKING and rest & _OUGHT))
