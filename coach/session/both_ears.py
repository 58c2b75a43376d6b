"""One hypothesis from two ears: what the larger one may say where the first is at a loss. Pure.

The larger ear understands free sentences, but it writes fluent words for any sound and its numbers
are no better. So it only helps with what was done: never with a yes or no, a number or a command.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Kind, Meaning, Part
from coach.hearing.hypothesis import Hypothesis
from coach.language.context import Context
from coach.language.understand import understand
from coach.session.costs import LIMITS

StepsTold = frozenset[tuple[str, bool, Part, str | None]]
"""Steps, each with whether it was denied, the part of it that was told, and what it chose."""


def both_ears(hypothesis: Hypothesis, context: Context) -> Hypothesis:
    """The hypothesis to judge: the first ear's, the second ear's, or the first's, now surer.

    Where the first ear's words mean nothing at this moment and the second ear's are about steps and
    nothing else, those count. Where both ears tell the same of the same steps, the words of the
    first count and are as sure as the surer ear. Where one tells of a step as done and the other
    as not done, the learner is asked.
    """
    if hypothesis.second_ear is None:
        return hypothesis
    first = understand(hypothesis.text, context)
    if first.kind not in {Kind.NONE, Kind.STEP}:
        return hypothesis
    text, sure = hypothesis.second_ear
    second = understand(text, context)
    if not _only_steps(second):
        return hypothesis
    if first.kind is Kind.NONE:
        return replace(hypothesis, text=text, confidence=sure, second=None)
    if steps_told(first) == steps_told(second):
        return replace(hypothesis, confidence=max(hypothesis.confidence, sure))
    if _contradict(first, second):
        return replace(hypothesis, confidence=min(hypothesis.confidence, LIMITS.likely))
    return hypothesis


def _only_steps(meaning: Meaning) -> bool:
    return meaning.kind is Kind.STEP and not meaning.done_said


def _contradict(first: Meaning, second: Meaning) -> bool:
    denied = {mention.step: mention.denied for mention in first.steps}
    return any(denied.get(m.step, m.denied) is not m.denied for m in second.steps)


def steps_told(meaning: Meaning) -> StepsTold:
    """What is told of which steps: two texts of one meaning tell the same."""
    return frozenset((m.step, m.denied, m.part, m.choice) for m in meaning.steps)
