"""How a mark, a verdict, a way and a piece of evidence are called on a report."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from coach.report.attempt import Evidence, Mark, NumberResult, Tells, Verdict, Way
from coach.report.shown_text import clock, number, percent, shown

MARKS: Mapping[Mark, str] = {
    Mark.DONE: "done",
    Mark.LATE: "late",
    Mark.OUT_OF_ORDER: "out of order",
    Mark.MISSED: "missed",
    Mark.UNCLEAR: "unclear",
}

SIGNS: Mapping[Mark, str] = {
    Mark.DONE: "\u25cf",
    Mark.LATE: "\u25ba",
    Mark.OUT_OF_ORDER: "\u25c6",
    Mark.MISSED: "\u2717",
    Mark.UNCLEAR: "?",
}
"""A sign of its own shape for every mark, for paper without colours."""

VERDICTS: Mapping[Verdict, str] = {
    Verdict.READY: "READY",
    Verdict.NOT_YET: "NOT YET",
    Verdict.UNCLEAR: "UNCLEAR",
}

VERDICT_SIGNS: Mapping[Verdict, str] = {
    Verdict.READY: "\u2713",
    Verdict.NOT_YET: "\u2717",
    Verdict.UNCLEAR: "?",
}

WAYS: Mapping[Way, str] = {
    Way.LED: "led by the coach",
    Way.RECALL: "from memory, hints if need be",
    Way.ASSESSED: "assessed, the coach silent",
    Way.DRILL: "drill with a played patient",
}

_TOLD: Mapping[Tells, str] = {
    Tells.DONE: "done",
    Tells.PERHAPS: "perhaps",
    Tells.DENIED: "said not done",
    Tells.FOUND: "found",
    Tells.NUMBER: "number",
    Tells.BEGUN: "begun",
    Tells.ENDED: "ended",
    Tells.HINT: "hint of the coach",
    Tells.PROMPT: "named by the coach",
}

BY_COACH = frozenset({Tells.HINT, Tells.PROMPT})
"""Evidence that the coach said: nothing of it was heard, so nothing is more or less sure."""


LONGEST_UNIT = 20
MOST_VALUES = 4
"""A number on the page is one or, of a blood pressure, two."""


def evidence_words(pieces: Iterable[Evidence]) -> Iterator[str]:
    """A line for each piece: when, what it tells, how sure it was heard, and the words.

    What the same words told at the same moment stands in one line.
    """
    for (at_s, text, sure, doubted), group in groupby(
        pieces, lambda each: (each.at_s, each.text, each.sure, each.doubted)
    ):
        tells = _surest(each.tells for each in group)
        told = ", ".join(_TOLD[each] for each in tells)
        how_sure = "" if BY_COACH.issuperset(tells) else f", {percent(sure)}"
        said = f": \u201c{shown(text)}\u201d" if shown(text) else ""
        doubt = f", in doubt for \u201c{shown(doubted)}\u201d" if doubted else ""
        yield f"{clock(at_s)} {told}{how_sure}{said}{doubt}"


def _surest(tells: Iterable[Tells]) -> tuple[Tells, ...]:
    """What words told for sure; what they perhaps told only where that is all."""
    told = tuple(dict.fromkeys(tells))
    return tuple(each for each in told if each is not Tells.PERHAPS) or told


def mark_words(mark: Mark) -> str:
    """Sign and word, which no line breaks apart."""
    return f"{SIGNS[mark]}\u00a0{MARKS[mark]}"


def unit_words(unit: str) -> str:
    """A unit as it stands behind a number, with its space; nothing for a bare count."""
    return "" if unit in ("", "counted") else f" {shown(unit, LONGEST_UNIT)}"


def said_words(result: NumberResult) -> str:
    """The number that was said, with its unit: "1700 psi", "120/80 mmHg", "2216 psi (assumed)"."""
    assumed = " (assumed)" if result.assumed else ""
    return "/".join(map(number, result.values[:MOST_VALUES])) + unit_words(result.unit) + assumed


def expected_words(result: NumberResult) -> str:
    """What was expected: "1500 to 2200 psi"."""
    low, high = number(result.low), number(result.high)
    return (low if low == high else f"{low} to {high}") + unit_words(result.unit)


def name_words(identifier: str) -> str:
    """An id as words: "set-flow" is "set flow"."""
    return shown(identifier.replace("-", " "))
