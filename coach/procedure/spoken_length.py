"""Sentences that are too long for an ear whose owner has both hands full."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from coach.procedure.facts import in_words
from coach.procedure.resolve import (
    BRACES,
    Choices,
    Facts,
    every_choice,
    fact,
    facts_of,
    listed,
    mapping,
)
from coach.procedure.skill_texts import LONGEST_SAY
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.wording import cardinal, counted

_RESTS = re.compile(r"(?<=[.?!;:])\s+")
"""Where the voice rests; what stands between two rests has to be held in mind at once."""

_WHOLE_NUMBER = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+")

_GROWS = re.compile("[{0-9]")
"""What becomes more words than it is written with: braces and figures."""

_LARGEST = 10**12
"""From here on a number has no words, and is no number of the trade."""

_SPOKEN = ("why", "how", "aloud", "found", "cue", "unsafe-left-out")
_SPOKEN_OF_READING = ("ask", "outside")


def length_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every spoken text with more than 20 words between two rests, whatever is chosen.

    What a step's `say` may have in all is told elsewhere.
    """
    facts = facts_of(root.get("settings"))
    names = {
        str(mapping(step).get("id")): str(mapping(step).get("name", ""))
        for step in listed(root.get("steps"))
    }
    for path, spoken in _spoken(root, names):
        if len(spoken.split()) <= LONGEST_SAY and not _GROWS.search(spoken):
            continue
        parts = [part for text in _told(spoken, facts) for part in _RESTS.split(text.strip())]
        longest = max(parts, key=spoken_words)
        if spoken_words(longest) > LONGEST_SAY:
            yield (
                path,
                f"{place(root, path)} has {counted(spoken_words(longest), 'spoken word')} without "
                f"a rest: keep to {LONGEST_SAY}, and make two sentences of "
                f'"{_beginning(longest)} ...".',
            )


def _spoken(root: dict[str, Json], names: dict[str, str]) -> Iterator[tuple[Path, str]]:
    for number, step in enumerate(listed(root.get("steps"))):
        path: Path = ("steps", number)
        yield from _of_part(path, mapping(step), names)
        for position, variant in enumerate(listed(mapping(step).get("variants"))):
            yield from _of_part((*path, "variants", position), mapping(variant), names)
    for number, complication in enumerate(listed(root.get("complications"))):
        yield from _texts(("complications", number), mapping(complication), ("announce",))
    for name, setting in mapping(root.get("settings")).items():
        yield from _texts(("settings", name), mapping(setting), ("asks", "asks-first"))


def _of_part(
    path: Path, part: dict[str, Json], names: dict[str, str]
) -> Iterator[tuple[Path, str]]:
    yield from _texts(path, part, _SPOKEN)
    for number, reading in enumerate(listed(part.get("readings"))):
        yield from _texts((*path, "readings", number), mapping(reading), _SPOKEN_OF_READING)
    yield from _texts((*path, "clock"), mapping(part.get("clock")), ("over", "reached", "under"))
    for number, first in enumerate(listed(part.get("after"))):
        because = mapping(first).get("because")
        if isinstance(because, str):
            name = names.get(str(mapping(first).get("step")), "")
            yield (*path, "after", number, "because"), f"First {name}, because {because}"


def _texts(path: Path, part: dict[str, Json], keys: tuple[str, ...]) -> Iterator[tuple[Path, str]]:
    for key in keys:
        text = part.get(key)
        if isinstance(text, str):
            yield (*path, key), text


def _told(text: str, facts: Facts) -> Iterator[str]:
    """The text with every choice of the settings that it names."""
    named = sorted({reference.partition(".")[0] for reference in BRACES.findall(text)})
    for choices in every_choice({name: facts[name] for name in named if facts.get(name)}):
        yield BRACES.sub(partial(_value, choices, facts), text)


def _value(choices: Choices, facts: Facts, reference: re.Match[str]) -> str:
    try:
        return in_words(fact(reference[1], choices, facts))
    except KeyError:
        return reference[0]


def spoken_words(text: str) -> int:
    """Words as they are spoken."""
    return len(_aloud(text).split())


def _aloud(text: str) -> str:
    """Figures in words: "2,216" is five of them."""
    return _WHOLE_NUMBER.sub(lambda found: _in_words(found[0]), text)


def _in_words(figures: str) -> str:
    number = int(figures.replace(",", ""))
    return cardinal(number) if number < _LARGEST else figures


def _beginning(text: str) -> str:
    return " ".join(text.split()[:4])
