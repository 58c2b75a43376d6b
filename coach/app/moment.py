"""The moment in which `understand` and `hear` listen, from what the user typed."""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.errors import InputError
from coach.core.meaning import YES_NO, Expectation
from coach.core.units import Quantity
from coach.dialogue.moment import asked_context, hint_of
from coach.edges.skill_files import load_skill
from coach.hearing.hypothesis import Hint
from coach.language.context import Context
from coach.procedure.wording import did_you_mean

EXPECTATIONS: tuple[str, ...] = (YES_NO, *(str(quantity) for quantity in Quantity))
"""What `--expect` takes."""


def expectation_from(text: str | None) -> Expectation | None:
    """What the coach is taken to have asked; InputError for an unknown word."""
    if text is None or text == YES_NO:
        return text
    if text not in EXPECTATIONS:
        advice = did_you_mean(text, EXPECTATIONS, "words for --expect")
        raise InputError(f"--expect '{text}' is not known: {advice}")
    return Quantity(text)


def moment_context(
    skill_id: str,
    step: str | None,
    expect: str | None,
    choices: Mapping[str, str] | None = None,
) -> tuple[Context, Hint]:
    """The context and the recogniser's hint; InputError for an unknown skill, step or word.

    Every complication has come, so that each step of the skill can be spoken of.
    """
    expected = expectation_from(expect)
    skill_file = load_skill(skill_id)
    came = frozenset(complication.id for complication in skill_file.complications)
    skill = skill_file.chosen(choices or {}, came)
    ids = [known.id for known in skill.steps]
    if step is not None and step not in ids:
        advice = did_you_mean(step, ids, "steps")
        raise InputError(f"{skill.id} has no step '{step}': {advice}")
    context = asked_context(skill, step, expected)
    return context, hint_of(context)


def expected_words(context: Context) -> str:
    """What is expected to be said at that moment, in words."""
    if context.expect == YES_NO:
        asked = "yes or no"
    elif context.expect is None:
        asked = "no answer"
    elif context.expect_range is None:
        asked = str(context.expect)
    else:
        within = context.expect_range
        asked = f"{context.expect} of {within.low:g} to {within.high:g} {within.unit}"
    steps = f"step {context.suggested}" if context.suggested else f"{len(context.steps)} steps"
    return f"{asked}; {steps}; commands"
