"""What to do with what was heard: act on it, read it back, ask again, or let it pass. Pure.

What mistakes cost and how sure a turn must be for what: `coach/session/costs.py`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from coach.core.meaning import (
    YES_NO,
    Command,
    Doubt,
    Expectation,
    Kind,
    Meaning,
    Part,
    Reading,
)
from coach.core.units import Quantity
from coach.dialogue.state import ChooseStep, Mode, ReadBack, State
from coach.dialogue.turn import expectation
from coach.hearing.hypothesis import Hypothesis
from coach.language.commands import is_hedged_answer
from coach.language.counting import told_among_numbers
from coach.language.numbers import tells_a_number
from coach.session.costs import LIMITS, Limits, among_talk
from coach.session.own_voice import UNKNOWN, OwnVoice


class Decision(StrEnum):
    """What becomes of a turn."""

    ACT = "act"
    READ_BACK = "read back"
    ASK_AGAIN = "ask again"
    IGNORE = "ignore"


WHOLE_SENTENCE_WORDS = 4

OBEYED = frozenset({Command.STOP, Command.QUIET})
"""Obeyed even when faint and whoever says it: stopping asks, silence harms nobody."""


@dataclass(frozen=True, slots=True)
class Moment:
    """What counts of the conversation when a turn is judged.

    `expect` is what was asked, `in_question` the quantity of a number that was read back.
    `silence_agrees`: it would stand by silence. `choosing`: one of two steps is to be named.
    `counting_aloud`: the learner may be counting, so numbers are not for the coach.
    """

    expect: Expectation | None = None
    in_question: Quantity | None = None
    silence_agrees: bool = False
    choosing: bool = False
    counting_aloud: bool = False
    mode: Mode = Mode.RUNNING


ANY_MOMENT = Moment()
"""Nothing was asked."""


def moment_of(state: State) -> Moment:
    """The moment of a conversation."""
    pending = state.pending
    asked = pending.proposals[0].reading.quantity if isinstance(pending, ReadBack) else None
    return Moment(
        expect=expectation(state),
        in_question=asked,
        silence_agrees=isinstance(pending, ReadBack) and pending.sure,
        choosing=isinstance(pending, ChooseStep),
        counting_aloud=state.counting_aloud,
        mode=state.mode,
    )


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is to be done, the meaning as far as it counts, and why.

    `neighbour`: it was too faint to be the learner's; `told` is what it would have come to.
    """

    decision: Decision
    meaning: Meaning
    reason: str
    neighbour: bool = False
    told: str = ""


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
    if meaning.command in OBEYED and hypothesis.confidence >= _least_of_stop(meaning, limits):
        return _acted(meaning, hypothesis, f'"{meaning.command}" is obeyed even when faint')
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
        return _unclear(meaning, hypothesis.confidence, moment, limits, meant)
    return _by_sureness(meaning, hypothesis, moment, limits, meant)


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
        return _below("a stop while the learner counts aloud", sure, limits.command)
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
    if verdict.neighbour:
        return own_voice.passed_over(verdict.told)
    behind = own_voice.behind_db(hypothesis)
    counts = verdict.decision in {Decision.ACT, Decision.READ_BACK} and not verdict.meaning.idle
    if not counts or (behind is not None and behind > LIMITS.fainter_db):
        return own_voice
    return own_voice.counted(hypothesis)


def _acted(meaning: Meaning, hypothesis: Hypothesis, reason: str) -> Verdict:
    """The meaning with its confidence; a number is read back before it counts."""
    sure = round(meaning.confidence * hypothesis.confidence, 3)
    decision = Decision.READ_BACK if meaning.readings else Decision.ACT
    return Verdict(decision, replace(meaning, confidence=sure), reason)


def _by_sureness(
    meaning: Meaning, hypothesis: Hypothesis, moment: Moment, limits: Limits, meant: bool
) -> Verdict:
    """What is left of a meaning when each part that was not heard surely enough is dropped."""
    sure = hypothesis.confidence
    dropped: list[str] = []
    readings = tuple(
        reading
        for reading in meaning.readings
        if not _falls(dropped, *_least_of_number(reading, meaning, moment, limits), sure)
    )
    answer, command, steps = meaning.answer, meaning.command, meaning.steps
    if answer == "yes" and _falls(dropped, "a yes", limits.yes, sure):
        answer = None
    if answer == "no" and _falls(dropped, "a no", limits.stop, sure):
        answer = None
    if command is not None:
        faint = command in OBEYED or command is Command.PAUSE
        enough = _least_of_stop(meaning, limits) if faint else limits.command
        if _falls(dropped, "a command", enough, sure):
            command = None
    whole = len(meaning.text.split()) >= WHOLE_SENTENCE_WORDS
    least = limits.sentence if whole else limits.step
    what = "a step in a whole sentence" if whole else "a step in few words"
    if steps and not readings and _falls(dropped, what, least, sure):
        steps = ()
    cylinder = meaning.cylinder if sure >= least else None
    if readings or answer or command or steps or cylinder:
        if any(reading.doubt is None for reading in readings):
            why = _needs_yes(meaning, sure, moment, limits, meant)
            readings = tuple(_hedged(reading) for reading in readings) if why else readings
            dropped += [why] if why else []
        reason = "; ".join(dropped) or f"heard at {sure:.2f}, sure enough"
        kept = replace(meaning, answer=answer, command=command, steps=steps, readings=readings)
        kept = replace(kept, cylinder=cylinder)
        return _acted(replace(kept, kind=_kind(kept)), hypothesis, reason)
    reason = "; ".join(dropped)
    if meaning.readings:
        return _number_lost(meaning, sure, moment, limits, meant, reason)
    if moment.expect == YES_NO and meaning.answer:
        return Verdict(Decision.ASK_AGAIN, Meaning(meaning.text), reason)
    likely = tuple(mention.step for mention in meaning.steps if not mention.denied)[:2]
    left = Meaning(meaning.text, likely=likely or meaning.likely)
    verdict = _unclear(left, sure, moment, limits, meant)
    return replace(verdict, reason=f"{reason}; {verdict.reason}")


def _least_of_number(
    reading: Reading, meaning: Meaning, moment: Moment, limits: Limits
) -> tuple[str, float]:
    if reading.doubt is Doubt.OUT_OF_RANGE:
        return "a number out of range", limits.out_of_range
    if not meaning.steps and not _awaited(reading, moment):
        return "a number nobody asked for", limits.unasked
    return "a number", limits.number


def _least_of_stop(meaning: Meaning, limits: Limits) -> float:
    return limits.quiet if meaning.command is Command.QUIET else limits.stop


def _needs_yes(meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool) -> str:
    """Why silence does not let the numbers stand; empty if it does."""
    if sure < limits.stands:
        return _below("a number that silence lets stand", sure, limits.stands)
    asked = meant or meaning.steps or all(_awaited(r, moment) for r in meaning.readings)
    return "" if asked else "a number nobody asked for needs a yes"


def _awaited(reading: Reading, moment: Moment) -> bool:
    if moment.expect is None and moment.in_question is None:
        return False
    lengths = {Quantity.LENGTH, Quantity.SIZE}
    asked = {moment.expect, moment.in_question}
    return reading.quantity in asked or (reading.quantity in lengths and bool(asked & lengths))


def _number_lost(
    meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool, reason: str
) -> Verdict:
    """A number too faint: asked for again, and no step offered instead; let pass if unasked for."""
    awaited = sure >= limits.awaited and any(_awaited(r, moment) for r in meaning.readings)
    if awaited or meant or moment.silence_agrees:
        return Verdict(Decision.ASK_AGAIN, Meaning(meaning.text), reason)
    return Verdict(Decision.IGNORE, Meaning(meaning.text), reason)


def _unclear(meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool) -> Verdict:
    """Words that mean nothing here, or only perhaps: asked about if they may be for the coach."""
    words = meaning.text.split()
    if moment.choosing and (meant or sure >= limits.step):
        return Verdict(Decision.ACT, meaning, "one of the two steps may be named in it")
    if moment.choosing:
        return Verdict(Decision.IGNORE, meaning, _below("a choice", sure, limits.step))
    if meant or moment.silence_agrees:
        return Verdict(Decision.ASK_AGAIN, meaning, "it means nothing here that is sure")
    if moment.mode is Mode.PAUSED:
        return Verdict(Decision.IGNORE, meaning, "while paused only commands and answers count")
    if meaning.likely and sure >= limits.likely:
        return Verdict(Decision.ASK_AGAIN, meaning, "it may be about a step")
    awaited = isinstance(moment.expect, Quantity) and sure >= limits.awaited
    if awaited and tells_a_number(meaning.text):
        return Verdict(Decision.ASK_AGAIN, meaning, "it has a number in it, and one was asked for")
    if moment.expect == YES_NO and is_hedged_answer(words) and sure >= limits.unclear:
        return Verdict(Decision.ASK_AGAIN, meaning, "a yes with a doubt: a plain one is asked for")
    if len(words) > limits.unclear_words:
        reason = f"{len(words)} words that mean nothing here: talk for somebody else"
        return Verdict(Decision.IGNORE, meaning, reason)
    if moment.expect is None:
        reason = "it means nothing here, and nothing was asked"
        return Verdict(Decision.IGNORE, meaning, reason)
    if sure < limits.unclear:
        return Verdict(Decision.IGNORE, meaning, _below("unclear words", sure, limits.unclear))
    return Verdict(Decision.ASK_AGAIN, meaning, "it may be the answer, and is not clear")


def _falls(dropped: list[str], what: str, least: float, sure: float) -> bool:
    """Whether it was heard less surely than it must be; then it is noted why it does not count."""
    if sure >= least:
        return False
    dropped.append(_below(what, sure, least))
    return True


def _below(what: str, sure: float, least: float) -> str:
    return f"{what} heard at {sure:.2f}, less than {least:.2f}"


def _hedged(reading: Reading) -> Reading:
    return reading if reading.doubt else replace(reading, doubt=Doubt.HEDGED)


def _kind(meaning: Meaning) -> Kind:
    if meaning.readings:
        return Kind.READING
    if meaning.answer:
        return Kind.ANSWER
    if meaning.command:
        return Kind.COMMAND
    if meaning.steps:
        return Kind.STEP
    return Kind.CYLINDER if meaning.cylinder else Kind.NONE
