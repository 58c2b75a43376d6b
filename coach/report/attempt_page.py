"""The report of one attempt as words and tables, which HTML and PDF both show.

Every text in it is in one line and of bounded length (`shown_text`); none is escaped.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coach.report.attempt import Mark, Result, StepResult, Verdict
from coach.report.attempt_tables import (
    ListTable,
    earlier_table,
    failures_table,
    hand_table,
    numbers_table,
    possible_table,
    timed_table,
)
from coach.report.attempt_words import (
    MARKS,
    SIGNS,
    VERDICT_SIGNS,
    VERDICTS,
    WAYS,
    evidence_words,
    mark_words,
    name_words,
    said_words,
)
from coach.report.by_hand import SetByHand
from coach.report.matters import Matter, matters_most, says_it_all, what_was_good
from coach.report.shown_text import clock, instant, number, percent, shown
from coach.trade.wording import counted

MOST_EVIDENCE = 40
"""Pieces of evidence of a step that the page has; the JSON has all."""

BEFORE_SHOWN = 6
"""Earlier attempts whose marks stand beside a step's."""

HANDS_SHOWN = 3
"""Marks set by hand that stand beside a step's, the last ones; the table has all."""

LONGEST_NAME = 40
"""Letters of a name in the narrow column of the marks."""

ABSENT = "\u2013"
"""Shown for a step that an earlier attempt did not have."""


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step on the page: `marks` are the mark and, beneath it, whose marks it was made of;
    `before` the signs of earlier attempts, oldest first; `evidence` all that was heard of it, of
    which the line at `weightiest` says most by itself."""

    number: int
    name: str
    safety: bool
    mark: Mark
    marks: tuple[str, ...]
    points: str
    at: str
    before: str
    why: str
    evidence: tuple[str, ...]
    weightiest: int = 0


@dataclass(frozen=True, slots=True)
class AttemptPage:
    """All that the report says.

    `facts` are label and text, the weightiest first; `about` the small print by which the very
    attempt, skill text and rule are found again.
    """

    verdict: Verdict
    sign: str
    verdict_word: str
    title: str
    who: str
    facts: tuple[tuple[str, str], ...]
    why: str
    matters: tuple[Matter, ...]
    good: str
    picture_words: str
    steps: tuple[StepRow, ...]
    has_before: bool
    tables: tuple[ListTable, ...]
    oxygen: str
    protocol: tuple[str, ...]
    cautions: tuple[str, ...]
    about: tuple[str, ...]


def page_of(
    result: Result,
    learner: str = "",
    earlier: Sequence[Result] = (),
    by_hand: Sequence[SetByHand] = (),
) -> AttemptPage:
    """The page of a result.

    `learner` is the learner's name for people, "" where it is not known; `earlier` are results of
    the same learner and skill, oldest first; `by_hand` the marks set by hand in this attempt.
    """
    recent = tuple(earlier)[-BEFORE_SHOWN:]
    tables = (
        failures_table(result),
        possible_table(result),
        hand_table(result, by_hand),
        numbers_table(result),
        timed_table(result),
        earlier_table(result, recent),
    )
    matters = matters_most(result)
    return AttemptPage(
        result.verdict,
        VERDICT_SIGNS[result.verdict],
        VERDICTS[result.verdict],
        shown(result.title) or name_words(result.skill),
        _who(result, learner),
        tuple(_facts(result)),
        _why(result, matters),
        matters,
        what_was_good(result),
        _picture_words(result),
        tuple(_rows(result, recent, by_hand)),
        bool(recent),
        tuple(table for table in tables if table.rows),
        _oxygen(result),
        tuple(_protocol(result)),
        tuple(dict.fromkeys(map(shown, result.cautions))),
        tuple(_about(result)),
    )


def _who(result: Result, learner: str) -> str:
    if shown(learner):
        return shown(learner)
    return f"Learner {shown(result.learner)}" if result.learner else "Nobody's attempt"


def _why(result: Result, matters: Sequence[Matter]) -> str:
    """The reason, without the verdict that stands beside it; "" where what matters most beneath
    it says the same."""
    reason = shown(result.why)
    if matters and says_it_all(matters[0], reason):
        return ""
    verdict = f"{VERDICTS[result.verdict]}: "
    if reason.upper().startswith(verdict):
        reason = reason[len(verdict) :]
    return f"{reason[:1].upper()}{reason[1:]}"


def _facts(result: Result) -> Iterator[tuple[str, str]]:
    yield "When", instant(result.started)
    yield "Way", WAYS[result.way]
    limit = f" of {clock(result.limit_s)}" if result.limit_s > 0 else ""
    over = ", over the limit" if 0 < result.limit_s < result.seconds else ""
    yield "Time", f"{clock(result.seconds)}{limit}{over}"
    points = f"{number(result.points)} of {number(result.out_of)} ({percent(result.share)})"
    yield "Points", f"{points}; ready from {percent(result.passed_from)}"
    yield "Hints", number(result.hints)
    if result.choices:
        chosen = (f"{name_words(key)} {name_words(value)}" for key, value in result.choices.items())
        yield "Chosen", ", ".join(sorted(chosen))
    if result.scenario:
        yield "Scenario", name_words(result.scenario)
    yield "Judged by", "the coach" if result.judged_by == "coach" else shown(result.judged_by)


def _picture_words(result: Result) -> str:
    """What the timeline shows, for who cannot see it."""
    tally = ", ".join(
        f"{len(result.marked(mark))} {words}"
        for mark, words in MARKS.items()
        if result.marked(mark)
    )
    return (
        f"Timeline of {clock(result.seconds)}: {counted(len(result.steps), 'step')}"
        f"{f' ({tally})' if tally else ''}, {counted(len(result.failures), 'safety failure')}, "
        f"{counted(result.hints, 'hint')}. The tables below say the same in words."
    )


def _rows(
    result: Result, earlier: tuple[Result, ...], by_hand: Sequence[SetByHand]
) -> Iterator[StepRow]:
    then = [{step.step: step.mark for step in each.steps} for each in earlier]
    for place, step in enumerate(result.steps, start=1):
        hands = [each for each in by_hand if each.step == step.step and not each.agrees]
        evidence = few(tuple(evidence_words(step.evidence)), MOST_EVIDENCE, "the JSON")
        yield StepRow(
            place,
            shown(step.name) or name_words(step.step),
            step.safety,
            step.mark,
            (mark_words(step.mark), *_whose(hands)),
            f"{number(step.points)} of {number(step.out_of)}",
            "" if step.at_s is None else clock(step.at_s),
            " ".join(_sign_of(step.step, marks) for marks in then),
            shown(step.why) if _needs_a_reason(step) or hands else "",
            evidence,
            _weightiest(step, evidence),
        )


def _needs_a_reason(step: StepResult) -> bool:
    counts_less = step.points < step.out_of or not step.out_of
    return step.mark is not Mark.DONE or counts_less or step.hints > 0


def _whose(hands: Sequence[SetByHand]) -> Iterator[str]:
    if hands:
        yield f"coach: {mark_words(hands[0].coachs_mark)}"
    for each in hands[-HANDS_SHOWN:]:
        who = shown(each.by, LONGEST_NAME) + (" says" if each.own_word else "")
        yield f"{who}: {mark_words(each.mark)}"


def _sign_of(step: str, marks: Mapping[str, Mark]) -> str:
    return SIGNS[marks[step]] if step in marks else ABSENT


def _weightiest(step: StepResult, evidence: tuple[str, ...]) -> int:
    """What was heard when the step counted as done; a sentence before it may have been a try."""
    if step.at_s is None:
        return 0
    then = f"{clock(step.at_s)} "
    return next((n for n, line in enumerate(evidence) if line.startswith(then)), 0)


def few(lines: tuple[str, ...], most: int, where: str, weightiest: int = 0) -> tuple[str, ...]:
    """At most so many lines, the first ones and the last: how it began and what it came to.

    Of one line alone, the one at `weightiest`, with how many there are more. What is left out
    amid several is counted, and `where` it stands is told.
    """
    if len(lines) <= most:
        return lines
    if most == 1:
        return (f"{lines[weightiest]} (+{len(lines) - 1})",)
    left = len(lines) - most
    return (*lines[: most - 1], f"({left} more in {where})", lines[-1])


def _oxygen(result: Result) -> str:
    gas = [each for each in result.numbers if each.unit in _GAS_UNITS]
    if result.oxygen_minutes is None:
        return ""
    by = ", by a pressure assumed for training" if result.oxygen_assumed else ""
    minutes = f"{counted(result.oxygen_minutes, 'minute')} of oxygen left, as last told{by}"
    said = "; ".join(f"{name_words(e.name)} {said_words(e)} at {clock(e.at_s)}" for e in gas)
    return f"{minutes}{f' (said before: {said})' if said else ''}."


_GAS_UNITS = ("psi", "bar", "kPa", "MPa", "L/min")


def _protocol(result: Result) -> Iterator[str]:
    if result.program:
        yield f"By the rules of {shown(result.program)}."
    else:
        yield "By the published rules; no local program's rules were in force."
    yield from map(shown, result.weaker)


def _about(result: Result) -> Iterator[str]:
    yield f"Attempt {shown(result.attempt) or 'without an id'}"
    yield f"skill {shown(result.skill)}"
    if result.skill_sha256:
        yield f"text {shown(result.skill_sha256)[:16]}"
    yield f"rule {shown(result.rule)}"
