"""What of an attempt matters most: what could have hurt someone first, then what cost most."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from coach.report.attempt import Mark, NumberResult, Result, StepResult, Timed, Verdict
from coach.report.attempt_words import expected_words, name_words, said_words
from coach.report.shown_text import clock, number, shown
from coach.trade.wording import counted

MOST = 2
"""More than two things nobody keeps in mind."""


_SHORT_OF = {
    Mark.DONE: "Only in part",
    Mark.LATE: "Late",
    Mark.OUT_OF_ORDER: "Out of order",
    Mark.MISSED: "Missed",
    Mark.UNCLEAR: "Unclear",
}


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing that matters: what it was, and why, in a sentence each; `about` is a step's or an
    act's id."""

    about: str
    what: str
    why: str


def matters_most(result: Result, most: int = MOST) -> tuple[Matter, ...]:
    """At most `most` things, the weightiest first, only one about each step or act."""
    found: dict[str, Matter] = {}
    for matter in _weightiest_first(result):
        found.setdefault(matter.about, matter)
    return tuple(found.values())[:most]


def says_it_all(matter: Matter, sentence: str) -> bool:
    """Whether a sentence, such as the reason of the verdict, tells nothing that this does not."""
    return _told(sentence) - _LINKING <= _told(f"{matter.what} {matter.why}")


def _told(text: str) -> set[str]:
    return set(_WORD.findall(text.lower()))


_WORD = re.compile(r"[\w%]+")

_LINKING = frozenset("it hangs on a which person has to settle not yet unclear".split())
"""Words of a verdict's reason that tell nothing by themselves (`coach.assessment.verdict`)."""


def what_was_good(result: Result) -> str:
    """What went well, in a sentence; nothing is praised that was not there."""
    done = len(result.marked(Mark.DONE))
    if not result.steps or not done:
        return ""
    all_of = "All" if done == len(result.steps) else f"{done} of"
    # What was done without what safety asks for first is marked done all the same: no praise.
    unsafe = any(not failure.corrected for failure in result.failures)
    how = "done" if unsafe else "done in time and order"
    parts = [f"{all_of} {counted(len(result.steps), 'step')} {how}"]
    safe = [step for step in result.steps if step.safety]
    if safe and all(step.mark is Mark.DONE for step in safe) and not result.failures:
        parts.append("every safety step among them")
    read = [each for each in result.numbers if not each.assumed]
    if read and all(each.in_range for each in read):
        parts.append("every number in its range")
    if not result.hints:
        parts.append("no hint needed")
    return f"{', '.join(parts)}."


def _weightiest_first(result: Result) -> Iterator[Matter]:
    names = {step.step: shown(step.name) for step in result.steps}
    unclear = sorted(result.marked(Mark.UNCLEAR), key=lambda step: (not step.safety, -step.out_of))
    if unclear and result.verdict is Verdict.UNCLEAR:
        yield _to_settle(unclear)
    for failure in result.failures:
        if not failure.corrected:
            what = f"Safety, at {clock(failure.at_s)}: {_sentence(failure.what)}"
            yield Matter(failure.about, what, _because(failure.because))
    lost = sorted(
        (step for step in result.steps if step.mark not in (Mark.DONE, Mark.UNCLEAR)),
        key=lambda step: (not step.safety, step.points - step.out_of),
    )
    yield from (_of_step(step) for step in lost if step.safety)
    read = [each for each in result.numbers if not each.assumed]
    yield from (_of_number(each, names) for each in read if not each.in_range)
    if unclear:
        yield _to_settle(unclear)
    yield from (_of_step(step) for step in lost if not step.safety)
    yield from (_of_step(step) for step in _in_part(result))
    yield from (_of_timed(each, names) for each in result.timed if over(each) or under(each))
    if 0 < result.limit_s < result.seconds:
        what = f"It took {clock(result.seconds)}; the limit is {clock(result.limit_s)}."
        yield Matter("", what, "")
    if result.hints:
        yield Matter("hints", f"The coach helped: {counted(result.hints, 'hint')}.", "")


def _in_part(result: Result) -> Iterator[StepResult]:
    """Steps done that cost points all the same, but for hints and numbers, which are told apart."""
    numbers = {each.step for each in result.numbers if not each.in_range}
    for step in result.marked(Mark.DONE):
        if step.points < step.out_of and not step.hints and step.step not in numbers:
            yield step


def over(timed: Timed) -> bool:
    """Whether a timed step took longer than its limit."""
    return 0 < timed.limit_s < timed.seconds


def under(timed: Timed) -> bool:
    """Whether a timed step ended before it had lasted long enough."""
    return timed.seconds < timed.least_s


def against(timed: Timed) -> str:
    """What the seconds of a timed step are held against, and how they compare."""
    if over(timed):
        return f"over the limit of {timed.limit_s} s"
    if under(timed):
        return f"short of the {timed.least_s} s it has to last"
    bounds = [f"at most {timed.limit_s} s"] if timed.limit_s > 0 else []
    bounds += [f"at least {timed.least_s} s"] if timed.least_s > 0 else []
    return f"as it should be ({', '.join(bounds)})" if bounds else "no limit"


def _of_step(step: StepResult) -> Matter:
    safety = " (a safety step)" if step.safety else ""
    what = f"{_SHORT_OF[step.mark]}: {shown(step.name)}{safety}."
    return Matter(step.step, what, _sentence(step.why))


def _of_number(result: NumberResult, names: dict[str, str]) -> Matter:
    what = (
        f"Out of range: {name_words(result.name)} {said_words(result)}, "
        f"expected {expected_words(result)} ({names.get(result.step, name_words(result.step))})."
    )
    return Matter(f"{result.step} {result.name}", what, "")


def _of_timed(timed: Timed, names: dict[str, str]) -> Matter:
    name = names.get(timed.step, name_words(timed.step))
    return Matter(f"{timed.step} time", f"{name}: {number(timed.seconds)} s, {against(timed)}.", "")


def _to_settle(steps: list[StepResult]) -> Matter:
    named = ", ".join(shown(step.name, 60) for step in steps[:3])
    more = f" and {len(steps) - 3} more" if len(steps) > 3 else ""
    what = f"To be settled by a person: {named}{more}."
    return Matter(steps[0].step, what, _sentence(steps[0].why) if len(steps) == 1 else "")


def _because(reason: str) -> str:
    text = shown(reason)
    return _sentence(f"{text[:1].upper()}{text[1:]}")


def _sentence(text: str) -> str:
    line = shown(text)
    return line if not line or line.endswith((".", "!", "?", "\u2026")) else f"{line}."
