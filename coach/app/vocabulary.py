"""Which words of a skill a recogniser does not know, for who writes the skill."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Protocol

from coach.app.moment import moment_context


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
