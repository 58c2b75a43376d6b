"""What to do with what was heard: act on it, read it back, ask again, or let it pass. Pure.

What mistakes cost and how sure a turn must be for what: `coach/session/costs.py`.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import (
    YES_NO,
    Command,
    Kind,
    Meaning,
    Part,
)
from coach.hearing.hypothesis import Hypothesis
from coach.language.counting import told_among_numbers
from coach.session.costs import LIMITS, Limits, among_talk
from coach.session.moment import ANY_MOMENT, Moment
from coach.session.own_voice import UNKNOWN, OwnVoice
from coach.session.sureness import by_sureness, least_of_stop, unclear
from coach.session.verdict import OBEYED, Decision, Verdict, acted, below


def judge(
    meaning: Meaning,
    hypothesis: Hypothesis,
    moment: Moment = ANY_MOMENT,
    own_voice: OwnVoice = UNKNOWN,
    limits: Limits = LIMITS,
    meant: bool = False,
) -> Verdict:
    """The verdict on a turn; `meant`: it was surely said to the coach (typed, after its name).

    A "stop" and a "this is real" are obeyed whoever says them, even when faint; so are a "no" and a
    "wait" of the learner, and what the other person of a step for two says. What is far fainter
    than the learner is a neighbour's, but while silence would let a number stand nothing is let
    pass: the number then needs its yes.
    """
    if not meaning.text:
        return Verdict(Decision.IGNORE, meaning, "no words were heard")
    if own_voice.among_talk and not meant:
        limits = among_talk(limits)
        hypothesis = _as_sure_as_its_meaning(meaning, hypothesis)
    if moment.counting_aloud and (only := _only_counted(meaning, hypothesis, limits)):
        return Verdict(Decision.IGNORE, Meaning(meaning.text), only)
    if meaning.command in OBEYED and hypothesis.confidence >= least_of_stop(meaning, limits):
        return acted(meaning, hypothesis, f'"{meaning.command}" is obeyed even when faint')
    denied = meaning.answer == "no" and moment.expect == YES_NO
    behind = own_voice.behind_db(hypothesis)
    partner = any(mention.part is Part.PARTNER for mention in meaning.steps)
    if behind is not None and behind > limits.fainter_db and not denied and not partner:
        told = _told(meaning)
        if not own_voice.told_already(told):
            return replace(_neighbours(meaning, behind, moment), told=told)
    if meaning.idle:
        return Verdict(Decision.ACT, meaning, "a filler, which needs no reply")
    if meaning.kind is Kind.NONE:
        return unclear(meaning, hypothesis.confidence, moment, limits, meant)
    verdict = by_sureness(meaning, hypothesis, moment, limits, meant)
    if verdict.decision is Decision.IGNORE and meaning.steps:
        return _told_again(verdict, meaning, own_voice)
    return verdict


def _told_again(verdict: Verdict, meaning: Meaning, own_voice: OwnVoice) -> Verdict:
    """Who tells a step again that was let pass, because it was not heard surely, is asked about it:
    people who talk to each other seldom tell the same step twice in a row."""
    told = _told(meaning)
    if not own_voice.told_already(told):
        return replace(verdict, told=told)
    reason = f"{verdict.reason}; but it was told before"
    return Verdict(Decision.ASK_AGAIN, verdict.meaning, reason)


def _as_sure_as_its_meaning(meaning: Meaning, hypothesis: Hypothesis) -> Hypothesis:
    """Words that only may be about a step or a reading are no surer than that."""
    if meaning.kind not in {Kind.STEP, Kind.READING}:
        return hypothesis
    return replace(hypothesis, confidence=min(hypothesis.confidence, meaning.confidence))


def _only_counted(meaning: Meaning, hypothesis: Hypothesis, limits: Limits) -> str:
    """Why a turn is let pass while the learner counts aloud; empty if it counts.

    Then there is much talk, of which a little sounds like a "stop": it has to be sure.
    """
    if meaning.command is None and not told_among_numbers(meaning):
        return "the learner counts aloud"
    sure = hypothesis.confidence
    if meaning.command is Command.STOP and sure < limits.command:
        return below("a stop while the learner counts aloud", sure, limits.command)
    return ""


def _neighbours(meaning: Meaning, behind_db: float, moment: Moment) -> Verdict:
    fainter = f"{behind_db:.0f} dB fainter than the learner: a neighbour's"
    if moment.silence_agrees:
        reason = f"{fainter}, but no number stands by silence while somebody speaks"
        return Verdict(Decision.ASK_AGAIN, Meaning(meaning.text), reason, neighbour=True)
    return Verdict(Decision.IGNORE, Meaning(meaning.text), fainter, neighbour=True)


def _told(meaning: Meaning) -> str:
    """The numbers and steps of a turn; a yes or a command by itself anybody may say twice."""
    readings = [f"{r.quantity} {r.values}" for r in meaning.readings]
    steps = [f"{m.step} {m.part} {m.denied}" for m in meaning.steps]
    return "; ".join(readings + steps)


def voice_after(own_voice: OwnVoice, hypothesis: Hypothesis, verdict: Verdict) -> OwnVoice:
    """The learner's voice as far as it is known after a turn: turns that counted tell of it."""
    if not verdict.meaning.text:
        return own_voice
    unheeded = verdict.decision in {Decision.IGNORE, Decision.ASK_AGAIN}
    own_voice = own_voice.after_any(unheeded)
    if verdict.neighbour or verdict.told:
        return own_voice.passed_over(verdict.told)
    behind = own_voice.behind_db(hypothesis)
    counts = verdict.decision in {Decision.ACT, Decision.READ_BACK} and not verdict.meaning.idle
    if not counts or (behind is not None and behind > LIMITS.fainter_db):
        return own_voice
    return own_voice.counted(hypothesis)
