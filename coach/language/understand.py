"""The one way from words to meaning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import YES_NO, Command, Doubt, Kind, Meaning, Reading, StepMention
from coach.core.units import Quantity, Unit
from coach.language.as_written import as_written
from coach.language.carelessness import Weigher
from coach.language.clause import Mood
from coach.language.clauses_said import clauses_said
from coach.language.commands import (
    REFUSALS,
    answer_in,
    command_in,
    contradiction,
    is_hedged_answer,
    leading_answer,
    says_done,
    says_finished,
    says_nothing,
    says_unsure,
)
from coach.language.context import Context
from coach.language.hedges import retraction
from coach.language.normal import Token, plain, tokens
from coach.language.number_ranges import Moment
from coach.language.numbers import find_numbers
from coach.language.percentages import names_percentage
from coach.language.persons import names_somebody
from coach.language.questions import begins_as_question
from coach.language.readings import find_readings
from coach.language.spelling import meant
from coach.language.steps import SpokenOf, mentions
from coach.language.times import names_a_time, tells_only_a_time
from coach.language.training_cylinders import cylinder_told
from coach.language.unit_rivals import names_unit

LONGEST_TEXT = 2000
LONGEST_WORDS = 150
"""Far more letters and words than can be said in one breath; the rest is not looked at."""

REST_AFTER_NO = frozenset(
    "i i'm i've i'd i'll it it's that that's this they they're wait sorry thanks we we're you he"
    " he's she she's there's not stop actually".split()
)
"""A "no" before these is an answer even without a pause: "no it was sixteen hundred"."""


CORRECTS = frozenset("no nope sorry wait actually correction".split())
"""Words before a number that is to take the place of the one just given."""


def understand(text: str, context: Context, careless: Weigher | None = None) -> Meaning:
    """What one utterance means at this moment; of kind none when it means nothing here.

    Never guesses: what is only likely stands in `likely`. `careless` doubts steps by how they are
    told; without it nothing is doubted.
    """
    said = meant(tokens(text[:LONGEST_TEXT]))[:LONGEST_WORDS]
    shown = plain(text)
    if not said:
        return Meaning(text=shown)
    if context.without_unit and not find_numbers([token.word for token in said]):
        said = _with_number(said, context.without_unit)
    answer, rest = _answer(said, context.expect == YES_NO, context)
    readings, answer = _numbers_told(text, said, rest, answer, context)
    if answer is not None and len(rest) == len(said):
        return Meaning(shown, Kind.ANSWER, answer=answer, confidence=1.0)
    return _called(shown, said, rest, answer, context) or _told(
        text, rest, answer, readings, context, careless
    )


def _numbers_told(
    text: str,
    said: Sequence[Token],
    rest: Sequence[Token],
    answer: str | None,
    context: Context,
) -> tuple[tuple[Reading, ...], str | None]:
    """The numbers beside the answer, and the answer, which a number may make a "no": "no, ten"."""
    asked = context.expect
    if said[0].word in CORRECTS and context.in_question and isinstance(asked, Quantity):
        context = replace(context, expect=None, expect_range=None)
    readings = _readings(rest, context)
    if len(text) > LONGEST_TEXT:
        readings = tuple(replace(r, doubt=r.doubt or Doubt.HEDGED) for r in readings)
    if readings and answer is None and context.in_question and said[0].word == "no":
        answer = "no"
    return readings, answer


def _called(
    shown: str,
    said: Sequence[Token],
    rest: Sequence[Token],
    answer: str | None,
    context: Context,
) -> Meaning | None:
    """A command, a bare "done" or a filler; None where it is none of these."""
    heard = " ".join(token.word for token in said)
    asked = context.expect == YES_NO
    command = command_in(" ".join(token.word for token in rest))
    if command and command[0] is Command.QUIET:
        return Meaning(shown, Kind.COMMAND, command=Command.QUIET, confidence=1.0)
    if command and asked and says_unsure(heard):
        command = None
    if not (context.led or asked) and says_finished(heard):
        command = Command.STOP, 1.0
    if command is not None:
        kind = Kind.ANSWER if answer else Kind.COMMAND
        return Meaning(shown, kind, command[0], answer, confidence=command[1])
    if says_nothing(heard):
        return Meaning(shown, idle=True)
    return _done(shown, asked, context) if says_done(heard) else None


def _told(
    text: str,
    rest: Sequence[Token],
    answer: str | None,
    readings: tuple[Reading, ...],
    context: Context,
    careless: Weigher | None,
) -> Meaning:
    """What an utterance tells of steps, numbers and the cylinder."""
    shown = plain(text)
    steps, likely, sure, doubted = _steps_told(text, shown, rest, context, careless)
    own = _readings_of_step(rest, steps, context)
    if own and (not readings or _of_another_step(own, readings, steps, context)):
        readings = own
    cylinder = cylinder_told(text, readings, context.cylinder_asked, context.cylinder_named)
    kind = _kind(readings, answer, steps)
    if kind is Kind.NONE and cylinder is not None:
        kind = Kind.CYLINDER
    confidence = 0.9 if readings or answer or cylinder else sure
    return Meaning(
        text=shown,
        kind=kind,
        answer=answer,
        steps=steps,
        readings=readings,
        likely=likely,
        confidence=confidence if kind is not Kind.NONE else (0.4 if likely else 0.0),
        cylinder=cylinder,
        doubted=doubted,
    )


def _steps_told(
    text: str, shown: str, rest: Sequence[Token], context: Context, careless: Weigher | None
) -> SpokenOf:
    """The steps spoken of; what was asked of a step beside, who does it and when, tells of it as
    well."""
    doubted = text.rstrip().endswith("?") and not begins_as_question(text)
    written = None if doubted else as_written(rest, context.steps)
    back = None if written else retraction([token.word for token in rest])
    told = rest[: back.start] if back else rest
    parts = [written] if written else clauses_said(told, "" if back else text, context.steps)
    if back and parts and parts[-1].mood is Mood.QUESTION:
        back = None  # "did you take any, no he hasn't" is asked and answered
    spoken = mentions(
        parts,
        context.steps,
        context.suggested,
        context.done,
        taken_back=back.how if back else None,
        careless=careless,
    )
    steps, likely, sure, _ = spoken
    if not steps and context.who_asked is not None and names_somebody(shown, context.who_named):
        steps, sure = (StepMention(context.who_asked),), 0.9
    untold = all(mention.step in context.done and not mention.denied for mention in steps)
    if untold and (timed := _step_of_the_time(shown, context)) is not None:
        steps, sure = (*steps, StepMention(timed)), 0.9
    return SpokenOf(steps, likely, sure, spoken.doubted)


def _step_of_the_time(shown: str, context: Context) -> str | None:
    """The step that is told by the time of day: asked for, or called where it is to be called."""
    if context.time_asked is not None and names_a_time(shown):
        return context.time_asked
    return context.time_due if tells_only_a_time(shown, context.time_of) else None


def _with_number(said: tuple[Token, ...], number: str) -> tuple[Token, ...]:
    """The words with the number of which they name the unit: "French" after "which unit"."""
    words = [token.word for token in said]
    named = names_unit(words)
    if named is None and names_percentage(words):
        return (*said, Token(number), Token("percent"))
    if named is None:
        return said
    return (*said[: named[0]], Token(number), *said[named[0] :])


def _kind(readings: Sequence[Reading], answer: str | None, steps: Sequence[StepMention]) -> Kind:
    if readings:
        return Kind.READING
    if answer:
        return Kind.ANSWER
    return Kind.STEP if steps else Kind.NONE


def _answer(
    said: Sequence[Token], asked: bool, context: Context
) -> tuple[str | None, Sequence[Token]]:
    """The answer in an utterance and what is left of it; all of it is left when all is answer."""
    words = [token.word for token in said]
    whole = answer_in(" ".join(words), asked)
    if whole is not None:
        return whole, said
    pause = said[0].break_after
    head = leading_answer(words, pause, pause or not _is_adjective(words))
    if head is None and words[0] == "no" and len(words) > 1:
        number = _readings(said[1:], context) and not _names_step(said, context)
        if number or words[1] in REST_AFTER_NO or command_in(" ".join(words[1:])):
            head = "no", 1
    if head is None:
        return None, said
    rest = said[head[1] :]
    if head[0] == "yes" and is_hedged_answer([token.word for token in rest]):
        return None, said
    follow_up = answer_in(" ".join(token.word for token in rest), asked)
    if follow_up == head[0]:
        return head[0], said
    if head[0] == "yes" and rest[0].word in REFUSALS and _readings(rest[1:], context):
        return "no", rest[1:]
    if head[0] == "yes" and (taken_back := contradiction([token.word for token in rest])):
        return ("no" if taken_back == "corrected" else None), said
    return head[0], rest


def _is_adjective(words: Sequence[str]) -> bool:
    """Whether "right" or "correct" may belong to what follows: "correct size selected"."""
    return len(words) > 1 and words[1] not in REST_AFTER_NO and not find_numbers(words[1:2])


def _names_step(said: Sequence[Token], context: Context) -> bool:
    return bool(
        mentions(
            clauses_said(said, "", context.steps),
            context.steps,
            context.suggested,
            context.done,
            context.due,
        ).steps
    )


def _readings(said: Sequence[Token], context: Context) -> tuple[Reading, ...]:
    expect = context.expect if isinstance(context.expect, Quantity) else context.in_question
    found = find_readings(
        tuple(said),
        expect,
        context.expect_range,
        {q: r for step in reversed(context.steps) for q, r in step.ranges.items()},
        context.highest_psi,
        context.besides,
    )
    found = tuple(r for r in found if not _corrects_nothing(r, context))
    return tuple(sorted(found, key=lambda reading: reading.quantity is not expect))


def _corrects_nothing(reading: Reading, context: Context) -> bool:
    """Whether a bare number can be no correction of the one just given, which nobody asks about:
    "three twenty four" of aspirin is no pulse."""
    if context.led or reading.unit_said or reading.quantity is not context.in_question:
        return False
    meant = Moment(highest_psi=context.highest_psi).could_be_meant
    return not all(meant(reading.quantity, reading.unit, value) for value in reading.values)


def _readings_of_step(
    said: Sequence[Token], steps: Sequence[StepMention], context: Context
) -> tuple[Reading, ...]:
    """The number of an utterance about the one step that has such a number to give."""
    named = [mention.step for mention in steps if not mention.denied]
    owners = [step for step in context.steps if step.id in named and step.ranges]
    if len(owners) != 1:
        return ()
    quantity, allowed = list(owners[0].ranges.items())[-1]
    ranges, besides = owners[0].ranges, context.besides
    return find_readings(tuple(said), quantity, allowed, ranges, context.highest_psi, besides)


def _of_another_step(
    own: Sequence[Reading],
    readings: Sequence[Reading],
    steps: Sequence[StepMention],
    context: Context,
) -> bool:
    """Whether the number was said of another step than the one that waits for such a number.

    It is then held against the range of that other step: "thirty compressions", not five blows.
    A bare number is what that step measures, too: "the pulse is gone at one ten" is no rate; and
    a percentage of which nobody can tell what it is of.
    """
    if all(reading.unit is Unit.PERCENT and reading.could_be_in for reading in readings):
        return True
    if len(own) < len(readings) and all(_is_among(one, readings) for one in own):
        return False  # the others are told by their own names: "pulse ninety, breathing eighteen"
    named = {mention.step for mention in steps}
    return context.suggested not in named and (
        [reading.quantity for reading in own] == [reading.quantity for reading in readings]
        or not any(reading.unit_said for reading in readings)
    )


def _is_among(reading: Reading, readings: Sequence[Reading]) -> bool:
    """Whether the number is heard as the same thing among others."""
    told = (reading.quantity, reading.values)
    return any((other.quantity, other.values) == told for other in readings)


def _done(shown: str, asked: bool, context: Context) -> Meaning:
    if asked:
        return Meaning(shown, Kind.ANSWER, answer="yes", done_said=True, confidence=0.9)
    if context.suggested is None:
        return Meaning(shown, done_said=True)
    steps = (StepMention(context.suggested),)
    return Meaning(shown, Kind.STEP, steps=steps, done_said=True, confidence=0.9)
