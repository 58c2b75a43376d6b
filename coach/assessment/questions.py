"""Questions after an attempt: which step one is about, and what is answered."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from coach.assessment.debrief import aloud, what_to_rehearse
from coach.assessment.topics import ENDS, TOPICAL, WHOLE_ENDS, Asked, topic_of
from coach.dialogue.lines import listed, seconds_words, sentence
from coach.language.normal import plain
from coach.language.word_forms import stem
from coach.procedure.model import Skill, Step
from coach.report.attempt import Mark, NumberResult, Result, SafetyFailure, StepResult
from coach.report.attempt_words import MARKS, expected_words
from coach.report.matters import against, over, under, what_was_good
from coach.trade.wording import counted

NAMED = 2.0
"""How much a word of a step's name or numbers weighs, one of its phrases being 1."""

NO_DAY = " No day is planned, since nobody was named for the attempt."

EMPTY = frozenset(
    "a about and at be did do for how i in is it me my of on say tell that the this to was we were"
    " what when where which who why with wrong you your not should late missed unclear order out"
    " have had done".split()
)
"""Words that tell no step from another."""


def understood(text: str, skill: Skill, result: Result) -> tuple[Asked, StepResult | None]:
    """What a question is about; the step comes with STEP."""
    words = plain(text)
    if not words:
        return Asked.UNKNOWN, None
    if words in WHOLE_ENDS or set(words.split()) <= ENDS:
        return Asked.END, None
    topic = topic_of(words)
    naming = words.split() if topic is None else [w for w in words.split() if w not in TOPICAL]
    step = None
    if topic is not Asked.NEXT:
        step = step_asked_about(naming, skill, result, by_name=topic is not None)
    if step is not None:
        return Asked.STEP, step
    if topic is None and set(words.split()) & ENDS:
        return Asked.END, None
    return topic or Asked.UNKNOWN, None


def step_asked_about(
    words: Sequence[str], skill: Skill, result: Result, by_name: bool = False
) -> StepResult | None:
    """The step whose own words the question has most of, rare words counting more; None for none.

    `by_name`: only words of its name and of its numbers tell that it is meant.

    Of two alike the one that is named wholly is meant ("the flow", not "closing the flow"), then
    the one that fell short.
    """
    told = {stem(word) for word in words if word not in EMPTY}
    vocabularies = {step.id: _vocabulary(step) for step in skill.steps}
    steps = {step.step: step for step in result.steps}
    best: tuple[float, bool, bool, int] | None = None
    found: StepResult | None = None
    for place, (step_id, vocabulary) in enumerate(vocabularies.items()):
        shared = told & vocabulary.keys()
        weight = sum(vocabulary[word] * _rarity(word, vocabularies.values()) for word in shared)
        named = any(vocabulary[word] == NAMED for word in shared)
        if weight <= 0 or step_id not in steps or (by_name and not named):
            continue
        name = {stem(word) for word in _words(steps[step_id].name)}
        rank = (weight, bool(name) and name <= told, _fell_short(steps[step_id], result), -place)
        if best is None or rank > best:
            best, found = rank, steps[step_id]
    return found


def _fell_short(step: StepResult, result: Result) -> bool:
    lost = step.mark is not Mark.DONE or step.points < step.out_of
    return lost or any(_is_about(failure, step) for failure in result.failures)


def _rarity(word: str, vocabularies: Iterable[Mapping[str, float]]) -> float:
    every = list(vocabularies)
    having = sum(word in vocabulary for vocabulary in every)
    return math.log(1 + len(every) / having)


def _vocabulary(step: Step) -> dict[str, float]:
    """The stems of a step's words; those of its name and readings count twice."""
    named = [step.name, step.id.replace("-", " "), *(spec.name for spec in step.readings)]
    named += [str(spec.quantity) for spec in step.readings]
    said = [step.say, *step.heard_as.phrases]
    vocabulary = {stem(word): 1.0 for text in said for word in _words(text)}
    return vocabulary | {stem(word): NAMED for text in named for word in _words(text)}


def _words(text: str) -> list[str]:
    return [word for word in plain(text.replace("-", " ")).split() if word not in EMPTY]


def answer(
    asked: Asked, step: StepResult | None, skill: Skill, result: Result, when: str = ""
) -> str:
    """What the coach answers, in one to three sentences; `when` is the day of the next rehearsal,
    "" where none is planned."""
    if step is not None:
        return aloud(_of_step(step, skill, result))
    if asked is Asked.MISSED:
        return _missed(result)
    if asked is Asked.GOOD:
        return aloud(what_was_good(result)) or "Nothing was done in time and order yet."
    if asked is Asked.POINTS:
        points = f"{result.points:g} of {result.out_of:g} points"
        return aloud(f"{points}. {result.why}")
    if asked is Asked.NEXT:
        unplanned = "" if when or result.learner else NO_DAY
        return f"{what_to_rehearse(result, when)}{unplanned}"
    if asked is Asked.TIME:
        return aloud(_time_taken(result))
    if asked is Asked.HINTS:
        return _hints(result)
    if asked is Asked.UNCLEAR:
        return _unclear(result)
    return "Ask why a step was wrong, what you missed, or say finish."


def _time_taken(result: Result) -> str:
    """How long it took, the limit, and the timed steps that took too long or ended too soon."""
    limit = ""
    if result.limit_s > 0:
        how = "over" if result.seconds > result.limit_s else "within"
        limit = f", {how} the limit of {seconds_words(round(result.limit_s))}"
    names = {step.step: step.name for step in result.steps}
    wrong = [
        sentence(f"{names.get(one.step, one.step)}: {one.seconds:g} seconds, {against(one)}")
        for one in result.timed
        if over(one) or under(one)
    ]
    return " ".join((sentence(f"it took {seconds_words(round(result.seconds))}{limit}"), *wrong))


def _hints(result: Result) -> str:
    helped = [step.name for step in result.steps if step.hints]
    if not result.hints:
        return "No hint was needed."
    of = f": {listed(helped)}" if helped else ""
    return sentence(f"{counted(result.hints, 'hint')}{of}")


def _unclear(result: Result) -> str:
    names = [step.name for step in result.marked(Mark.UNCLEAR)]
    return sentence(f"unclear: {listed(names)}") if names else "Nothing was unclear."


def _missed(result: Result) -> str:
    """What was unsafe, missed, late or a wrong number; what is unclear is not told as done."""
    lost = [s.name for s in result.steps if s.mark in {Mark.MISSED, Mark.OUT_OF_ORDER}]
    wrong = {number.step for number in result.numbers if not number.in_range}
    told = {
        "Unsafe": [failure.what for failure in result.failures if not failure.corrected],
        "Missed or out of order": lost,
        "Late": [s.name for s in result.steps if s.mark is Mark.LATE],
        "With a wrong number": [s.name for s in result.steps if s.step in wrong],
        "Unclear": [s.name for s in result.steps if s.mark is Mark.UNCLEAR],
    }
    parts = [f"{what}: {listed(names)}." for what, names in told.items() if names]
    if not lost:
        parts.insert(0, f"Nothing was {'surely ' if told['Unclear'] else ''}missed.")
    return " ".join(parts)


def _of_step(step: StepResult, skill: Skill, result: Result) -> str:
    """What became of a step, what was expected of its numbers, and what it is good for."""
    told = "done in time and order" if step.mark is Mark.DONE else MARKS[step.mark]
    unsafe = [_of_failure(failure) for failure in result.failures if _is_about(failure, step)]
    if step.mark is Mark.DONE and (unsafe or step.why):
        told = "done"
    name = step.name[:1].upper() + step.name[1:]
    numbers = [_of_number(n) for n in result.numbers if n.step == step.step and not n.in_range]
    reason = next((other.why for other in skill.steps if other.id == step.step), "")
    said = (f"{name}: {told}.", *unsafe, step.why, *numbers, reason)
    return " ".join(part for part in said if part)


def _is_about(failure: SafetyFailure, step: StepResult) -> bool:
    """Whether it is the step's own, or the step is what was done without or before another."""
    acts = tuple(f"{step.name} {how} " for how in ("before", "without", "with a wrong"))
    return failure.about == step.step or failure.what.startswith(acts)


def _of_failure(failure: SafetyFailure) -> str:
    then = " It was put right in time." if failure.corrected else ""
    return f"Unsafe: {failure.what}; {failure.because.rstrip('.')}.{then}"


def _of_number(number: NumberResult) -> str:
    said = " over ".join(f"{value:g}" for value in number.values)
    return f"You said {said}; {expected_words(number)} is expected."
