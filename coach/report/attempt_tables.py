"""The plain tables on the report of an attempt."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coach.report.attempt import Result
from coach.report.attempt_words import (
    VERDICT_SIGNS,
    VERDICTS,
    WAYS,
    expected_words,
    mark_words,
    name_words,
    said_words,
)
from coach.report.by_hand import SetByHand
from coach.report.matters import against
from coach.report.shown_text import clock, instant, number, percent, shown
from coach.trade.wording import counted


@dataclass(frozen=True, slots=True)
class ListTable:
    """A table with its heading; every row has as many cells as `head`. `widths` are the shares of
    its columns, which add up to 1."""

    heading: str
    head: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]


def failures_table(result: Result) -> ListTable:
    """What could have hurt a patient, and whether it was put right."""
    rows = (
        (
            clock(each.at_s),
            shown(each.what),
            shown(each.because),
            "put right in time" if each.corrected else "not put right",
        )
        for each in result.failures
    )
    head = ("at", "what", "because", "then")
    return ListTable("Safety failures", head, (0.08, 0.37, 0.37, 0.18), tuple(rows))


def possible_table(result: Result) -> ListTable:
    """What may have been unsafe and was not made out: a person has to settle it."""
    rows = (
        (clock(each.at_s), shown(each.what), shown(each.because), "not made out")
        for each in result.possible
    )
    head = ("at", "what", "because", "then")
    widths = (0.08, 0.37, 0.37, 0.18)
    return ListTable("Perhaps unsafe, for a person to settle", head, widths, tuple(rows))


OWN_WORD = " (own word: no verdict goes by it)"


def hand_table(result: Result, by_hand: Sequence[SetByHand]) -> ListTable:
    """The marks that people set, beside the coach's; a row for each person who only agrees."""
    names = _names(result)
    rows = [
        (
            names.get(each.step, name_words(each.step)),
            mark_words(each.coachs_mark),
            mark_words(each.mark),
            f"{shown(each.by)}{OWN_WORD if each.own_word else ''}, {instant(each.when)}",
            shown(each.because),
        )
        for each in by_hand
        if each.own_word or not each.agrees
    ]
    agreed: dict[str, list[SetByHand]] = {}
    for each in by_hand:
        if each.agrees and not each.own_word:
            agreed.setdefault(each.by, []).append(each)
    for by, marks in agreed.items():
        amount = counted(len({each.step for each in marks}), "step")
        who = f"{shown(by)}, {instant(marks[-1].when)}"
        rows.append((f"In {amount}", "", "as the coach", who, ""))
    head = ("step", "coach", "person", "who, when", "because")
    whose = " (the verdict is the coach's own)" if result.judged_by == "coach" else ""
    widths = (0.22, 0.13, 0.13, 0.26, 0.26)
    return ListTable(f"Marks set by hand{whose}", head, widths, tuple(rows))


def numbers_table(result: Result) -> ListTable:
    """Numbers said against numbers expected."""
    names = _names(result)
    rows = (
        (
            clock(each.at_s),
            f"{names.get(each.step, name_words(each.step))}: {name_words(each.name)}",
            said_words(each),
            expected_words(each),
            ("in range" if each.in_range else "OUT OF RANGE")
            + (", corrected before" if each.corrected else "")
            + (", assumed for a training cylinder" if each.assumed else ""),
        )
        for each in result.numbers
    )
    head = ("at", "number", "said", "expected", "")
    return ListTable("Numbers", head, (0.08, 0.4, 0.15, 0.19, 0.18), tuple(rows))


def timed_table(result: Result) -> ListTable:
    """Steps held against a clock."""
    names = _names(result)
    rows = (
        (names.get(each.step, name_words(each.step)), f"{number(each.seconds)} s", against(each))
        for each in result.timed
    )
    return ListTable("Timed steps", ("step", "took", ""), (0.4, 0.12, 0.48), tuple(rows))


def earlier_table(result: Result, earlier: Iterable[Result]) -> ListTable:
    """Earlier attempts, oldest first, and this one; nothing where there are none."""
    rows = [_attempt(each) for each in earlier]
    if rows:
        when, *rest = _attempt(result)
        rows.append((f"{when} (this one)", *rest))
    head = ("when", "way", "result", "share", "time", "hints", "safety failures")
    widths = (0.28, 0.25, 0.13, 0.08, 0.08, 0.07, 0.11)
    return ListTable("Earlier attempts", head, widths, tuple(rows))


def _attempt(result: Result) -> tuple[str, ...]:
    return (
        instant(result.started),
        WAYS[result.way],
        f"{VERDICT_SIGNS[result.verdict]} {VERDICTS[result.verdict]}",
        percent(result.share),
        clock(result.seconds),
        number(result.hints),
        number(len(result.failures)),
    )


def _names(result: Result) -> dict[str, str]:
    return {step.step: shown(step.name) or name_words(step.step) for step in result.steps}
