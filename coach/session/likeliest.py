"""The hypothesis to judge: what all texts that were heard make likeliest. Pure.

A recogniser tells how likely each text is; the session acts on meanings. "The valves are there and
they move" and "valves are there and move freely" are two texts of .3 and one step of .6.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coach.core.meaning import Command, Kind, Meaning, Part
from coach.hearing.hypothesis import Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.both_ears import both_ears
from coach.session.costs import LIMITS
from coach.session.sureness import WHOLE_SENTENCE_WORDS

ENOUGH = max(LIMITS.step, LIMITS.sentence, LIMITS.command)
"""Surer than this a step or command counts anyhow: no other text need be looked at."""

LEAST_AGREED, LEAST_SHARE, MOST_OTHERWISE = 0.2, 0.7, 0.02
AGREED = 0.85
"""In a whole sentence a foreign word makes every text unsure, and not what it means. Of 44 such
sentences below the limit, whose texts were at least 0.2 sure together and told of the same steps
and nothing else, 43 told only what was said, of those that are heard at 0.54 to 0.85 220 of 227
(dialogues of all skills, voices and noises kept from training). Below 0.9, which is wanted where
others talk."""

_Key = tuple[frozenset[tuple[str, bool, Part, str | None]], Command | None]


def likeliest(hypothesis: Hypothesis, context: Context, agreeing: bool = False) -> Hypothesis:
    """The hypothesis of both ears with the chances of all texts of its meaning put together.

    Where another meaning is likelier than that of the likeliest text, its text is taken. Only steps
    and commands are put together: a number or an answer counts as it was heard, or not at all.
    With `agreeing` a whole sentence is surer where all texts tell of the same steps.
    """
    heard = both_ears(hypothesis, context)
    if heard.confidence >= ENOUGH or not (heard.others or agreeing):
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
    sure = _agreed(lead or heard.text, best, chances, context) if agreeing else chances[best]
    if lead is None:
        return replace(heard, confidence=sure)
    return replace(heard, text=lead, confidence=sure, second=None)


def _agreed(text: str, best: _Key, chances: Mapping[_Key, float], context: Context) -> float:
    """The chance of a meaning: AGREED where all texts of a whole sentence tell the same."""
    sure = chances[best]
    steps, command = best
    new = {step for step, *_ in steps} - context.done
    done = new and command is None and not any(denied for _, denied, _, _ in steps)
    whole = len(text.split()) >= WHOLE_SENTENCE_WORDS
    if not done or not whole or sure >= AGREED or sure < LEAST_AGREED:
        return sure
    otherwise = sum(chance for key, chance in chances.items() if key not in {best, _NOTHING})
    share = sure / sum(chances.values())
    agreed = otherwise < MOST_OTHERWISE and share >= LEAST_SHARE
    return AGREED if agreed and _key(understand(text, context)) == best else sure


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
