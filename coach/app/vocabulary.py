"""Which words of a skill a recogniser does not know, for who writes the skill."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Protocol

from coach.app.moment import moment_context
from coach.edges.local_program_file import load_local_program
from coach.procedure.resolve import listed, mapping


class Vocabulary(Protocol):
    """A recogniser that only hears the words of its model, as VoskRecogniser."""

    def missing_words(self, phrases: Iterable[str]) -> tuple[str, ...]:
        """Words of phrases that it can never hear."""


def unheard_words(skill: Path, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Words of the phrases and keys of a skill file that the model does not know, sorted.

    InputError for a file that is no sound skill file.
    """
    context, hint = moment_context(str(skill), None, None)
    keys = [key for step in context.steps for key in step.done.keys]
    return vocabulary.missing_words([*hint.phrases, *(re.sub("[^a-z']+", " ", k) for k in keys)])


def unheard_program_words(path: Path, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Words of the phrases that a local program adds which the model does not know, sorted.

    InputError for a file that is no sound one.
    """
    changes = load_local_program(path).skills.values()
    steps = (step for change in changes for step in mapping(change.written.get("steps")).values())
    phrases = (str(phrase) for step in steps for phrase in listed(mapping(step).get("phrases")))
    return vocabulary.missing_words(phrases)
