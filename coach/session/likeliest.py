"""The hypothesis to judge: what all texts that were heard make likeliest. Pure.

A recogniser tells how likely each text is; the session acts on meanings. "The valves are there and
they move" and "valves are there and move freely" are two texts of .3 and one step of .6.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Command, Kind, Meaning, Part
from coach.hearing.hypothesis import Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.both_ears import both_ears
from coach.session.costs import LIMITS

ENOUGH = max(LIMITS.step, LIMITS.sentence, LIMITS.command)
"""Surer than this a step or command counts anyhow: no other text need be looked at."""

_Key = tuple[frozenset[tuple[str, bool, Part, str | None]], Command | None]


def likeliest(hypothesis: Hypothesis, context: Context) -> Hypothesis:
    """The hypothesis of both ears with the chances of all texts of its meaning put together.

    Where another meaning is likelier than that of the likeliest text, its text is taken. Only steps
    and commands are put together: a number or an answer counts as it was heard, or not at all.
    """
    heard = both_ears(hypothesis, context)
    if heard.confidence >= ENOUGH or not heard.others:
        return heard
    first = understood(heard, context)
    if first.kind not in {Kind.STEP, Kind.COMMAND, Kind.NONE} or first.readings or first.idle:
        return heard
    chances = {_key(first): heard.confidence}
    leads: dict[_Key, str | None] = {_key(first): None}
    for text, chance in heard.others:
        meaning = understand(text, context)
        if meaning.kind in {Kind.STEP, Kind.COMMAND, Kind.NONE} and not meaning.readings:
            key = _key(meaning)
            chances[key] = chances.get(key, 0.0) + chance
            leads.setdefault(key, text)
    best = max(chances, key=lambda key: chances[key])
    if best == _NOTHING:
        return heard
    lead = leads[best]
    if lead is None:
        return replace(heard, confidence=chances[best])
    return replace(heard, text=lead, confidence=chances[best], second=None)


def understood(hypothesis: Hypothesis, context: Context) -> Meaning:
    """What was heard means, or what else it may have been where the first means nothing."""
    meaning = understand(hypothesis.text, context)
    if meaning.kind is Kind.NONE and hypothesis.second:
        second = understand(hypothesis.second, context)
        meaning = second if second.kind is not Kind.NONE else meaning
    return meaning


_NOTHING: _Key = (frozenset(), None)


def _key(meaning: Meaning) -> _Key:
    told = frozenset((m.step, m.denied, m.part, m.choice) for m in meaning.steps)
    return told, meaning.command
