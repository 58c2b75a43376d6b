"""Chosen options put into a skill: which texts stand, and what their braces become.

Works on the values of a skill file as they were written, so that the checks can try every choice
before anything is built.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import product
from typing import TypeAlias

from coach.procedure.facts import in_words
from coach.procedure.yaml_tree import Json, Path

Facts: TypeAlias = Mapping[str, Mapping[str, Mapping[str, "str | float"]]]
"""Setting, then option, then fact; what the option `says` stands under the empty name."""

Choices: TypeAlias = Mapping[str, str]
"""The chosen option of each setting."""

BRACES = re.compile(r"\{([^{}]*)\}")
"""A `{setting}` or `{setting.fact}` in a text."""

NOT_FACTS = ("says", "heard-as", "sources")
"""Keys of an option that are no facts."""

NOT_FIELDS = ("id", "when", "variants")
"""Keys of a step or variant that decide which texts stand and are no texts themselves."""


def facts_of(settings: Json) -> Facts:
    """The facts in a skill file's `settings`; what is malformed is left out."""
    return {
        name: {
            option: {"" if key == "says" else key: value for key, value in _facts(written)}
            for option, written in mapping(mapping(setting).get("options")).items()
        }
        for name, setting in mapping(settings).items()
    }


def _facts(option: Json) -> Iterator[tuple[str, str | float]]:
    for key, value in mapping(option).items():
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            continue
        if key == "says" or key not in NOT_FACTS:
            yield key, value


def every_choice(facts: Facts) -> Iterator[dict[str, str]]:
    """Each way the settings can stand together."""
    for options in product(*facts.values()):
        yield dict(zip(facts, options, strict=True))


def applies(when: Json, choices: Choices) -> bool:
    """Whether a `when` holds: every setting it names stands at its option, or at one of its list.

    A setting that is not among the choices fails it.
    """
    return all(
        choices.get(setting) in (options if isinstance(options, list) else [options])
        for setting, options in mapping(when).items()
    )


def settings_deciding(part: Json) -> tuple[str, ...]:
    """The settings by which a step, or another part with a `when`, exists or is said otherwise."""
    written = mapping(part)
    whens = (written, *map(mapping, listed(written.get("variants"))))
    return tuple(dict.fromkeys(name for when in whens for name in mapping(when.get("when"))))


def written_fields(step: Json, choices: Choices) -> dict[str, tuple[Path, Json]] | None:
    """The keys of a step that stand with these choices, each with its path within the step.

    A later variant goes before an earlier one. None when the step does not exist with the choices.
    """
    step = mapping(step)
    if not applies(step.get("when"), choices):
        return None
    fields: dict[str, tuple[Path, Json]] = {}
    layers: list[tuple[Path, Json]] = [((), step)]
    for number, variant in enumerate(listed(step.get("variants"))):
        if applies(mapping(variant).get("when"), choices):
            layers.append((("variants", number), variant))
    for prefix, layer in layers:
        for key, value in mapping(layer).items():
            if key not in NOT_FIELDS:
                fields[key] = ((*prefix, key), value)
    return fields


def fact(reference: str, choices: Choices, facts: Facts) -> str | float:
    """What `setting` or `setting.fact` stands for; KeyError with the missing name if unknown."""
    setting, _, name = reference.partition(".")
    return facts[setting][choices[setting]][name]


def fill(text: str, choices: Choices, facts: Facts) -> str:
    """A text with its braces filled in; KeyError if one stands for nothing."""
    return BRACES.sub(lambda found: in_words(fact(found[1], choices, facts)), text)


def number(value: Json, choices: Choices, facts: Facts) -> float | int | None:
    """A number as written, or from a fact in braces; None if it is neither."""
    if isinstance(value, str):
        found = BRACES.fullmatch(value.strip())
        if not found:
            return None
        try:
            value = fact(found[1], choices, facts)
        except KeyError:
            return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return value


def mapping(value: Json) -> dict[str, Json]:
    """The value if it is a mapping, else an empty one."""
    return value if isinstance(value, dict) else {}


def listed(value: Json) -> list[Json]:
    """The value if it is a list, else an empty one."""
    return value if isinstance(value, list) else []


def or_zero(value: Json) -> float:
    """The value if it is a number, else 0."""
    return float(value) if isinstance(value, int | float) else 0.0
