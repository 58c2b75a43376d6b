"""What is said right after an attempt: the result, what matters most, what was good, what next.

Under a minute aloud; then questions are answered (`coach.assessment.questions`).
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.procedure.model import Skill
from coach.report.attempt import Mark, Result, StepResult, Verdict
from coach.report.matters import Matter, matters_most, what_was_good

MOST_ASKED = 3
"""Unclear steps that are asked about; more would be an examination of its own."""

ASSUMED_ALOUD = "The cylinder pressure was assumed for training, so its step counts neither way."

ASK_ME = "Ask me about it, or say finish."

NO_PASS = "Noted; somebody who saw it has to settle it."
"""After the learner's own yes, which is kept and is no pass."""


def debrief(result: Result, skill: Skill, rehearse: str = "") -> tuple[str, ...]:
    """The lines of the debrief, each of one or two sentences; `rehearse` says when to do it again.

    The verdict comes first, then at most two things that matter most and why, then what was good.
    """
    lines = [spoken_why(result)]
    reasons = {step.id: step.why for step in skill.steps}
    lines += [_about(matter, lines[0], reasons, result) for matter in matters_most(result)]
    if any(number.assumed for number in result.numbers):
        lines.append(ASSUMED_ALOUD)
    lines.append(what_was_good(result))
    lines.append(what_to_rehearse(result, rehearse))
    return tuple(aloud(line) for line in lines if line)


def _about(matter: Matter, verdict: str, reasons: Mapping[str, str], result: Result) -> str:
    """What is said of a matter after the verdict; empty where the verdict has all of it."""
    if matter.why and matter.why.rstrip(".").lower() in verdict.lower():
        return ""
    steps = {step.step: step for step in result.steps}
    step = steps.get(matter.about)
    if step is not None and step.mark is Mark.DONE:
        # What was lacking: the reason for the step says nothing of that.
        return f"{matter.what} {matter.why}".strip()
    why = reasons.get(matter.about, matter.why)
    told = step.name if step is not None else matter.what
    return why if _names(verdict, told, result) else f"{matter.what} {why}".strip()


def _names(verdict: str, told: str, result: Result) -> bool:
    """Whether the verdict tells of it by itself: "closing the flow" is not "the flow"."""
    for other in (*(step.name for step in result.steps), *(each.what for each in result.failures)):
        if told in other and told != other:
            verdict = verdict.replace(other, "")
    return told in verdict


def spoken_why(result: Result) -> str:
    """The verdict with its reason."""
    led = " You were led through it." if result.way == "led" else ""
    return f"{result.why}{led}"


def what_to_rehearse(result: Result, when: str = "") -> str:
    """What to begin the next rehearsal with, and when that is."""
    lost = [step for step in result.steps if step.mark not in {Mark.DONE, Mark.UNCLEAR}]
    hinted = [step for step in result.steps if step.hints]
    first = sorted(lost or hinted, key=lambda step: (not step.safety, step.points - step.out_of))
    if first:
        what = f"Next time, begin with {first[0].name}"
    elif result.verdict is Verdict.READY:
        what = "Next time, the whole of it again, from memory"
    else:
        what = "Next time, the whole of it again"
    return f"{what}{f', {when}' if when else ''}."


def unclear_steps(result: Result) -> tuple[StepResult, ...]:
    """The steps to ask the learner about, the weightiest first."""
    unclear = sorted(result.marked(Mark.UNCLEAR), key=lambda step: (not step.safety, -step.out_of))
    return tuple(unclear[:MOST_ASKED])


def question_about(step: StepResult) -> str:
    """What the coach asks of a step that was not heard surely, or was told in doubtful words."""
    doubted = next((piece.doubted for piece in reversed(step.evidence) if piece.doubted), "")
    heard = f', for you said "{doubted}"' if doubted else ""
    return f"I am not sure of one thing: {step.name}{heard}. Did you do it?"


def aloud(text: str) -> str:
    """A sentence of the report as it is said: signs in words."""
    return text.replace(" %", " percent").replace("SpO2", "saturation")
