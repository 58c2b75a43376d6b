"""Every phrase of every skill means its step when its step is due, whatever else its words may be.

Also of skills written later: the skills are those that come with the program. Each phrase is tried
as written, without punctuation, and with spelled letters in one word ("usp"), as recognisers write.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache

import pytest
from benchmarks.hearing.moments import running

from coach.core.meaning import Part
from coach.dialogue.moment import context_of, step_words
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.language.context import Context, StepWords, Words
from coach.language.normal import plain
from coach.language.understand import understand

SPELLED = re.compile(r"\b(?:[a-z] ){2,}[a-z]\b")
FEWEST = 500


@dataclass(frozen=True, slots=True)
class Saying:
    """A phrase of a skill, the step or part of a step it means, and the moment it is said in."""

    skill: str
    step: str
    part: Part
    choice: str | None
    phrase: str
    context: Context = field(compare=False)


def ways(skill: str) -> Iterator[dict[str, str]]:
    """The settings as they come, and each other option once."""
    yield {}
    for name, setting in load_skill(skill).settings.items():
        yield from ({name: option} for option in setting.options if option != setting.default)


def sayings_of(skill: str) -> Iterator[Saying]:
    """Every phrase in each moment that has it; a phrase said in several ways once each."""
    came = frozenset(complication.id for complication in load_skill(skill).complications)
    for choices in ways(skill):
        chosen = load_skill(skill).chosen(choices, came)
        for step in chosen.steps:
            words = step_words(chosen, step, None, frozenset(), both_clock_parts=True)
            for part, choice, said in written(words):
                state = running(skill, step.id, choices, came, part)
                context = context_of(state)
                for phrase in said.phrases:
                    yield Saying(skill, step.id, part, choice, phrase, context)


def written(words: StepWords) -> Iterator[tuple[Part, str | None, Words]]:
    """The words of a step with what they mean."""
    yield Part.DONE, None, words.done
    yield Part.CLOCK_START, None, words.clock_start
    yield Part.CLOCK_END, None, words.clock_end
    for choice, said in words.choices.items():
        yield Part.DONE, choice, said


@cache
def sayings(skill: str) -> tuple[Saying, ...]:
    """Every phrase of a skill once for each thing it means."""
    return tuple(dict.fromkeys(sayings_of(skill)))


@pytest.mark.parametrize("skill", skill_ids())
def test_each_phrase_of_a_skill_means_its_step_when_it_is_due(skill: str) -> None:
    wrong: list[str] = []
    for saying in sayings(skill):
        heard = plain(saying.phrase)
        whole = SPELLED.sub(lambda letters: letters[0].replace(" ", ""), heard)
        for text in dict.fromkeys((saying.phrase, heard, whole)):
            meant = understand(text, saying.context)
            done = {mention.step for mention in meant.steps if not mention.denied}
            right = any(
                (mention.step, mention.part, mention.denied) == (saying.step, saying.part, False)
                and saying.choice in {None, mention.choice}
                for mention in meant.steps
            )
            if not right or done - {saying.step} - saying.context.done:
                wrong.append(f"{saying.step} {saying.part}: {text!r} is heard as {meant.steps}")
    assert not wrong, "\n".join(wrong)


def test_there_are_many() -> None:
    assert sum(len(sayings(skill)) for skill in skill_ids()) >= FEWEST
