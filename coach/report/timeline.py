"""What stands where on the picture of an attempt: seconds and rows, no drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from coach.report.attempt import Mark, NumberResult, Result, Spoken, StepResult, Tells
from coach.report.attempt_words import name_words, said_words
from coach.report.shown_text import shown

WORDS_A_SECOND = 2.5
"""150 words a minute, a common rate of English talk (from memory): of a stretch of talk one end and
the words are kept."""

SILENCE_S = 10.0
"""Seconds without a word from which a silence is shown: shorter ones are breaths and hands."""

LONGEST_S = 86_400.0
"""A picture of more than a day shows nothing."""

LEAST_S = 10.0
"""A picture of nothing has some seconds on its axis."""

LONGEST_READING = 24
"""Letters of a number on the picture."""

_TRIES = (Tells.PERHAPS, Tells.DENIED, Tells.FOUND)
_HELP = (Tells.HINT, Tells.PROMPT)


@dataclass(frozen=True, slots=True)
class Stretch:
    """From one second to another."""

    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class Reading:
    """A number said, at a second; out of its range or not."""

    at_s: float
    text: str
    in_range: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A step's row: when it was done (None: it was not), what was heard of it that was no doing
    (`tries_s`), when the coach helped, when it was under way, and its numbers."""

    number: int
    name: str
    safety: bool
    mark: Mark
    done_s: float | None
    tries_s: tuple[float, ...]
    helped_s: tuple[float, ...]
    under_way: tuple[Stretch, ...]
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Failure:
    """A safety failure, at a second; put right in time or not."""

    at_s: float
    corrected: bool


@dataclass(frozen=True, slots=True)
class Timeline:
    """The whole picture, from 0 to `end_s` seconds; `limit_s` is None without a time limit."""

    end_s: float
    over_s: float
    limit_s: float | None
    learner: tuple[Stretch, ...]
    coach: tuple[Stretch, ...]
    silences: tuple[Stretch, ...]
    failures: tuple[Failure, ...]
    rows: tuple[Row, ...]

    @property
    def path(self) -> tuple[tuple[float, int], ...]:
        """Second and row (from 0) of every step done, in the order of time: a staircase downwards
        if they came in the suggested order."""
        done = [
            (row.done_s, place) for place, row in enumerate(self.rows) if row.done_s is not None
        ]
        return tuple(sorted(done))


def timeline_of(result: Result) -> Timeline:
    """The picture of a result; `over_s` is when the attempt was over."""
    rows = tuple(_row(result, place, step) for place, step in enumerate(result.steps, start=1))
    failures = tuple(Failure(_within(each.at_s), each.corrected) for each in result.failures)
    limit = _within(result.limit_s) if result.limit_s > 0 else None
    over = _within(result.seconds)
    shown_s = [LEAST_S, over, *(failure.at_s for failure in failures), *_seconds(rows)]
    if limit is not None and limit <= 1.5 * max(shown_s):
        shown_s.append(1.03 * limit)
    end = _within(max(shown_s))
    learner = tuple(_cut(each, end) for each in _learners(result.spoken))
    coach = _coachs(result.spoken, end)
    return Timeline(
        end,
        over,
        limit if limit is not None and limit <= end else None,
        learner,
        coach,
        tuple(_silences((*learner, *coach), over)),
        failures,
        rows,
    )


def _cut(stretch: Stretch, end_s: float) -> Stretch:
    return Stretch(min(stretch.start_s, end_s), min(stretch.end_s, end_s))


def _row(result: Result, place: int, step: StepResult) -> Row:
    numbers = [each for each in result.numbers if each.step == step.step]

    def when(tells: Sequence[Tells]) -> tuple[float, ...]:
        return tuple(_within(each.at_s) for each in step.evidence if each.tells in tells)

    return Row(
        place,
        shown(step.name) or name_words(step.step),
        step.safety,
        step.mark,
        None if step.at_s is None else _within(step.at_s),
        when(_TRIES),
        when(_HELP),
        tuple(_under_way(when((Tells.BEGUN,)), when((Tells.ENDED,)))),
        tuple(Reading(_within(each.at_s), _reading(each), each.in_range) for each in numbers),
    )


def _reading(result: NumberResult) -> str:
    """A number with a unit says what it is; a bare count does not."""
    named = f"{name_words(result.name)} " if result.unit == "counted" else ""
    return shown(f"{named}{said_words(result)}", LONGEST_READING)


def _under_way(begun: Sequence[float], ended: Sequence[float]) -> Iterator[Stretch]:
    for start in begun:
        after = [end for end in ended if end >= start]
        if after:
            yield Stretch(start, min(after))


def _learners(spoken: Sequence[Spoken]) -> tuple[Stretch, ...]:
    """What the learner said is known when it has been heard: each stretch ends at its second, and
    began as long before as its words take, not before the one before it ended."""
    stretches: list[Stretch] = []
    for each in _since_the_beginning(spoken, by_coach=False):
        earliest = stretches[-1].end_s if stretches else 0.0
        end = _within(each.at_s)
        stretches.append(Stretch(min(end, max(earliest, end - _takes_s(each))), end))
    return tuple(stretches)


def _coachs(spoken: Sequence[Spoken], end_s: float) -> tuple[Stretch, ...]:
    """What the coach said begins at its second; lines of one moment follow one another."""
    takes: dict[float, float] = {}
    for each in _since_the_beginning(spoken, by_coach=True):
        start = _within(each.at_s)
        takes[start] = takes.get(start, 0.0) + _takes_s(each)
    following = [*takes, end_s][1:]
    return tuple(
        Stretch(start, max(start, min(start + length, stop)))
        for (start, length), stop in zip(takes.items(), following, strict=True)
    )


def _since_the_beginning(spoken: Sequence[Spoken], by_coach: bool) -> list[Spoken]:
    """In the order of time, without what was said before the attempt began."""
    wanted = (each for each in spoken if each.by_coach is by_coach and each.at_s >= 0)
    return sorted(wanted, key=lambda each: each.at_s)


def _takes_s(spoken: Spoken) -> float:
    return len(spoken.text.split()) / WORDS_A_SECOND


def _silences(talk: Sequence[Stretch], over_s: float) -> Iterator[Stretch]:
    ends_so_far = 0.0
    spans = sorted(talk, key=lambda each: each.start_s)
    marks = [Stretch(0.0, 0.0), *spans, Stretch(over_s, over_s)]
    for before, after in pairwise(marks):
        ends_so_far = max(ends_so_far, before.end_s)
        until = min(after.start_s, over_s)
        if until - ends_so_far >= SILENCE_S:
            yield Stretch(ends_so_far, until)


def _seconds(rows: Sequence[Row]) -> Iterator[float]:
    for row in rows:
        yield from (*row.tries_s, *row.helped_s, *(reading.at_s for reading in row.readings))
        if row.done_s is not None:
            yield row.done_s


def _within(seconds: float) -> float:
    return min(max(0.0, seconds), LONGEST_S)
