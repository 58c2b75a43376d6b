"""The hypothesis to judge: what all texts that were heard make likeliest. Pure.

A recogniser tells how likely each text is; the session acts on meanings. "The valves are there and
they move" and "valves are there and move freely" are two texts of .3 and one step of .6.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Command, Kind, Meaning
from coach.hearing.hypothesis import Hypothesis, Shares
from coach.language.carelessness import Weigher
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.both_ears import StepsTold, both_ears, steps_told
from coach.session.costs import LIMITS
from coach.session.sureness import WHOLE_SENTENCE_WORDS
from coach.session.told_chance import LEAST_TOLD, told_chance

ENOUGH = max(LIMITS.step, LIMITS.sentence, LIMITS.command)
"""Surer than this a step or command counts anyhow: no other text need be looked at."""

SURELY_TOLD = 0.97
"""A whole sentence as sure as this counts wherever it is said: no other text need be looked at."""

Told = tuple[StepsTold, Command | None]
"""The steps that a text tells of, and its command."""


def likeliest(hypothesis: Hypothesis, context: Context, agreeing: bool = False) -> Hypothesis:
    """The hypothesis of both ears with the chances of all texts of its meaning put together.

    Where another meaning is likelier than that of the likeliest text, its text is taken. Only steps
    and commands are put together: a number or an answer counts as it was heard, or not at all.
    With `agreeing`, where nobody is led, a whole sentence that tells of steps done is at least as
    sure as they are told by all that the sound may have been (`coach/session/told_chance.py`).
    """
    heard = both_ears(hypothesis, context)
    enough = SURELY_TOLD if agreeing and heard.shares else ENOUGH
    if heard.confidence >= enough or not (heard.others or (agreeing and heard.shares)):
        return heard
    first = understood(heard, context)
    if first.kind not in {Kind.STEP, Kind.COMMAND, Kind.NONE} or first.readings or first.idle:
        return heard
    chances = {told_by(first): heard.confidence}
    leads: dict[Told, str | None] = {told_by(first): None}
    for text, chance in heard.others:
        meaning = understand(text, context)
        if meaning.kind in {Kind.STEP, Kind.COMMAND, Kind.NONE} and not meaning.readings:
            key = told_by(meaning)
            chances[key] = chances.get(key, 0.0) + chance
            leads.setdefault(key, text)
    best = max(chances, key=lambda key: chances[key])
    if best == _NOTHING:
        return heard
    lead = leads[best]
    sure = chances[best]
    if agreeing and heard.shares:
        sure = _told(lead or heard.text, heard.shares, best, sure, context)
    if lead is None:
        return replace(heard, confidence=sure)
    return replace(heard, text=lead, confidence=sure, second=None)


def _told(text: str, shares: Shares, best: Told, sure: float, context: Context) -> float:
    """How sure the steps are that a whole sentence tells as done; any other stays as sure as it is.

    What tells of nothing but steps done already is no surer: it may have been about another.
    """
    steps, command = best
    new = {step for step, *_ in steps} - context.done
    done = new and command is None and not any(denied for _, denied, _, _ in steps)
    if not done or len(text.split()) < WHOLE_SENTENCE_WORDS:
        return sure
    same, otherwise = told_alike(best, shares, context)
    if not same:
        return sure
    chance = told_chance(shares, same, otherwise)
    return max(sure, chance) if chance >= LEAST_TOLD else sure


def told_alike(told: Told, shares: Shares, context: Context) -> tuple[float, float]:
    """The shares of the texts that tell of these steps, and of those that tell of anything else."""
    keys = [(told_by(understand(text, context)), share) for text, share in shares.texts if text]
    same = sum(share for key, share in keys if key == told)
    return same, sum(share for key, share in keys if key not in {told, _NOTHING})


def understood(
    hypothesis: Hypothesis, context: Context, careless: Weigher | None = None
) -> Meaning:
    """What was heard means, or what else it may have been where the first means nothing.

    What is doubted for how it was told (`careless`) means something: nothing else is taken for it.
    """
    meaning = understand(hypothesis.text, context, careless)
    if meaning.kind is Kind.NONE and not meaning.doubted and hypothesis.second:
        second = understand(hypothesis.second, context, careless)
        meaning = second if second.kind is not Kind.NONE else meaning
    return meaning


_NOTHING: Told = (frozenset(), None)


def told_by(meaning: Meaning) -> Told:
    """What texts of one meaning have in common."""
    return steps_told(meaning), meaning.command
