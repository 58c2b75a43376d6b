"""Which words of a skill a recogniser does not know, for who writes the skill."""

from __future__ import annotations

import re
from collections.abc import Iterable, Set
from pathlib import Path
from typing import Protocol

from coach.app.moment import moment_context
from coach.procedure.resolve import every_choice, facts_of
from coach.procedure.skill_file import SkillFile


class Vocabulary(Protocol):
    """A recogniser that only hears the words of its model, as VoskRecogniser."""

    def missing_words(self, phrases: Iterable[str]) -> tuple[str, ...]:
        """Words of phrases that it can never hear."""


def unknown_words(skill_file: SkillFile, known: Set[str]) -> tuple[str, ...]:
    """Words of key lines that the program's own recogniser cannot put together, sorted.

    It knows those of its lexicon and of the phrases of the moment. Of words of which one is enough
    ("lips/teeth") none is told where another is known.
    """
    came = frozenset(complication.id for complication in skill_file.complications)
    phrases: set[str] = set()
    lines: set[str] = set()
    for choices in every_choice(facts_of(skill_file.written.get("settings"))):
        for step in skill_file.chosen(choices, came).steps:
            for heard in (
                step.heard_as,
                *((step.clock.start, step.clock.end) if step.clock else ()),
            ):
                phrases.update(word for text in heard.phrases for word in _words_of(text))
                phrases.update(_words_of(" ".join(heard.absent)) if heard is step.heard_as else ())
                lines.update(heard.keys, heard.absent)
            wrong = [line for one in step.wrong for line in one.words]
            phrases.update(_words_of(" ".join(wrong)))
            lines.update(wrong)
    forms = [word.split("/") for line in lines for word in line.lower().split()]
    unknown = (word for any_of in forms if not {*any_of} & (known | phrases) for word in any_of)
    return tuple(sorted(set(unknown)))


def _words_of(text: str) -> list[str]:
    return re.sub("[^a-z']+", " ", text.lower().replace("\u2019", "'")).split()


def unheard_words(skill: Path, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Words of the phrases and keys of a skill file that the model does not know, sorted.

    InputError for a file that is no sound skill file.
    """
    context, hint = moment_context(str(skill), None, None)
    keys = [key for step in context.steps for key in step.done.keys]
    return vocabulary.missing_words([*hint.phrases, *(re.sub("[^a-z']+", " ", k) for k in keys)])
