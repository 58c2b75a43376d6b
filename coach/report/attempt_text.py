"""A scored attempt as a short page of text, and how sure the coach is of it."""

from __future__ import annotations

from collections.abc import Iterator

from coach.report.attempt import Mark, Result, Tells
from coach.report.attempt_words import MARKS, VERDICTS, expected_words, name_words
from coach.report.matters import matters_most, says_it_all
from coach.report.shown_text import clock, shown
from coach.report.summary import ASSUMED, CAUTION

JUDGED = "attempt-judged"
"""What is noted of an attempt that was scored: the result, and the same as text for people."""


def attempt_text(result: Result) -> str:
    """The verdict, what matters most, each step with its mark, numbers, how sure, the caution."""
    return "\n".join(_lines(result))


def _lines(result: Result) -> Iterator[str]:
    matters = matters_most(result)
    told_below = matters and says_it_all(matters[0], result.why)
    verdict = f"{VERDICTS[result.verdict].capitalize()}." if told_below else shown(result.why)
    yield f"{shown(result.title)}: {verdict}"
    yield f"{result.points:g} of {result.out_of:g} points in {clock(result.seconds)}"
    for matter in matters:
        yield f"Matters most: {matter.what} {matter.why}".rstrip()
    width = max((len(MARKS[step.mark]) for step in result.steps), default=0)
    for step in result.steps:
        at = clock(step.at_s) if step.at_s is not None else ""
        why = f"  ({shown(step.why)})" if step.why else ""
        yield f"  {MARKS[step.mark]:{width}}  {at:>5}  {shown(step.name)}{why}"
    for number in result.numbers:
        said = "/".join(f"{value:g}" for value in number.values)
        wrong = "" if number.in_range else f", expected {expected_words(number)}"
        assumed = f" ({ASSUMED})" if number.assumed else ""
        yield f"Number: {name_words(number.name)} {said} {number.unit}{wrong}{assumed}"
    yield how_sure(result)
    if result.program:
        yield f"By the rules of {shown(result.program)}"
    yield from (f"Keep in mind: {shown(caution)}" for caution in result.cautions)
    yield CAUTION


def how_sure(result: Result) -> str:
    """How surely the steps that count were heard, and how many are open."""
    told = {Tells.DONE, Tells.NUMBER, Tells.ENDED}
    done = [step for step in result.steps if step.mark not in {Mark.MISSED, Mark.UNCLEAR}]
    sures = [max((e.sure for e in step.evidence if e.tells in told), default=1.0) for step in done]
    unclear = len(result.marked(Mark.UNCLEAR))
    settle = "is unclear: a person has to settle it"
    if unclear != 1:
        settle = "are unclear: a person has to settle them"
    open_ = f"{unclear} of {len(result.steps)} steps {settle}"
    if not sures:
        return f"How sure: {open_}." if unclear else "How sure: no step was heard."
    least = min(sures)
    mean = sum(sures) / len(sures)
    if len(sures) == 1:
        heard = f"the one step that counts was heard at {100 * mean:.0f} %"
        return f"How sure: {heard}{f'; {open_}' if unclear else ''}."
    heard = f"the {len(sures)} steps that count were heard at {100 * mean:.0f} % on the average"
    end = f"; {open_}." if unclear else "."
    return f"How sure: {heard}, the least at {100 * least:.0f} %{end}"
