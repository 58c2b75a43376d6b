"""What is left of a turn when each part that was not heard surely enough is dropped.

How sure what must be: `coach/session/costs.py`.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import (
    YES_NO,
    Command,
    Doubt,
    Kind,
    Meaning,
    Reading,
)
from coach.core.units import Quantity
from coach.dialogue.state import Mode
from coach.hearing.hypothesis import Hypothesis
from coach.language.commands import is_hedged_answer
from coach.language.dose_questions import asks_for_dose
from coach.language.numbers import tells_a_number
from coach.session.costs import Limits
from coach.session.moment import Moment
from coach.session.verdict import OBEYED, Decision, Verdict, acted, below

WHOLE_SENTENCE_WORDS = 4


def by_sureness(
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
        enough = least_of_stop(meaning, limits) if faint else limits.command
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
        return acted(replace(kept, kind=_kind(kept)), hypothesis, reason)
    return _all_lost(meaning, sure, moment, limits, meant, "; ".join(dropped))


def _all_lost(
    meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool, reason: str
) -> Verdict:
    """What follows where no part was heard surely enough; `reason` tells of each."""
    if meaning.readings:
        return _number_lost(meaning, sure, moment, limits, meant, reason)
    if moment.expect == YES_NO and meaning.answer:
        return Verdict(Decision.ASK_AGAIN, Meaning(meaning.text), reason)
    likely = tuple(mention.step for mention in meaning.steps if not mention.denied)[:2]
    left = Meaning(meaning.text, likely=likely or meaning.likely)
    verdict = unclear(left, sure, moment, limits, meant)
    return replace(verdict, reason=f"{reason}; {verdict.reason}")


def _least_of_number(
    reading: Reading, meaning: Meaning, moment: Moment, limits: Limits
) -> tuple[str, float]:
    if reading.doubt is Doubt.OUT_OF_RANGE:
        return "a number out of range", limits.out_of_range
    if not meaning.steps and not _awaited(reading, moment):
        return "a number nobody asked for", limits.unasked
    return "a number", limits.number


def least_of_stop(meaning: Meaning, limits: Limits) -> float:
    """How surely a command has to be heard that is obeyed even when faint."""
    return limits.quiet if meaning.command is Command.QUIET else limits.stop


def _needs_yes(meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool) -> str:
    """Why silence does not let the numbers stand; empty if it does."""
    if sure < limits.stands:
        return below("a number that silence lets stand", sure, limits.stands)
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


def unclear(meaning: Meaning, sure: float, moment: Moment, limits: Limits, meant: bool) -> Verdict:
    """Words that mean nothing here, or only perhaps: asked about if they may be for the coach."""
    words = meaning.text.split()
    if asks_for_dose(meaning.text) and (meant or sure >= limits.command):
        return Verdict(Decision.ACT, meaning, "it asks for a dose")
    if moment.choosing and (meant or sure >= limits.step):
        return Verdict(Decision.ACT, meaning, "one of the two steps may be named in it")
    if moment.choosing:
        return Verdict(Decision.IGNORE, meaning, below("a choice", sure, limits.step))
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
        return Verdict(Decision.IGNORE, meaning, below("unclear words", sure, limits.unclear))
    return Verdict(Decision.ASK_AGAIN, meaning, "it may be the answer, and is not clear")


def _falls(dropped: list[str], what: str, least: float, sure: float) -> bool:
    """Whether it was heard less surely than it must be; then it is noted why it does not count."""
    if sure >= least:
        return False
    dropped.append(below(what, sure, least))
    return True


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
