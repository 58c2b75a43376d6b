"""Which settings decide over a part of a skill file, and what of each step stands with a choice.

A part is looked at once for each way in which its own settings can stand, not for every way of all
of them: three settings that a step does not name make no difference to it.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.procedure.resolve import (
    BRACES,
    Choices,
    Facts,
    every_choice,
    mapping,
    settings_deciding,
    written_fields,
)
from coach.procedure.skill_texts import every_text
from coach.procedure.yaml_tree import Json, Path


def references_in(value: Json) -> tuple[str, ...]:
    """The inside of every pair of braces in the texts of a value, each once."""
    texts = (text for _, text in every_text(value, ()) if "{" in text)
    return tuple(dict.fromkeys(name for text in texts for name in BRACES.findall(text)))


def settings_named(value: Json) -> tuple[str, ...]:
    """The settings that decide over a value or are named in its texts, each once."""
    named = (reference.partition(".")[0] for reference in references_in(value))
    return tuple(dict.fromkeys((*settings_deciding(value), *named)))


def choices_for(value: Json, facts: Facts) -> Iterator[dict[str, str]]:
    """Each way in which the settings can stand that decide over a value or are named in it."""
    named = settings_named(value)
    return every_choice({name: options for name, options in facts.items() if name in named})


class Standing:
    """The steps of a file, and what of each stands with a choice, worked out once for each."""

    def __init__(self, steps: list[Json]) -> None:
        self._steps = steps
        self._deciding = [settings_deciding(step) for step in steps]
        self._known: dict[
            tuple[int, tuple[str | None, ...]], dict[str, tuple[Path, Json]] | None
        ] = {}

    @property
    def deciding(self) -> frozenset[str]:
        """The settings that decide over any step."""
        return frozenset[str]().union(*self._deciding)

    def present(self, choices: Choices) -> Iterator[tuple[int, dict[str, tuple[Path, Json]]]]:
        """The position of each step that exists with the choices, and its fields as
        `written_fields` has them: the same object for the same choices of its own settings."""
        for position, step in enumerate(self._steps):
            key = position, tuple(map(choices.get, self._deciding[position]))
            if key not in self._known:
                self._known[key] = written_fields(step, choices)
            fields = self._known[key]
            if fields is not None:
                yield position, fields

    def id_at(self, position: int) -> Json:
        """The id of a step as it is written."""
        return mapping(self._steps[position]).get("id")
