"""Numbers that stand in a skill file as they are, where only the table of facts may give them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.procedure.resolve import BRACES, listed, mapping
from coach.procedure.skill_texts import every_text
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path

COUNTING_WORDS = (
    *("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
    *("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"),
    *("hundred", "thousand", "half", "third", "thirds", "quarter", "quarters", "twice", "dozen"),
)
"""Words taken for a number; "one" and "zero" are not, which hardly ever are one to be sourced."""

PLAIN_NUMBER = re.compile(
    rf"[0-9]+(?:[.,][0-9]+)*|\b(?:{'|'.join(COUNTING_WORDS)})\b", re.IGNORECASE
)

_COUNTING = frozenset(COUNTING_WORDS)
_FIGURE = re.compile("[0-9]")
_LETTERS = re.compile("[a-z]+")

_UNSPOKEN = (
    *(
        "heard-as",
        "wrong",
        "start",
        "end",
        "sources",
        "id",
        "step",
        "when",
        "chooses",
        "complication",
    ),
    "brings",
    *("quantity", "unit", "by", "default", "sets", "reopens", "minutes", "from", "until", "of"),
)
"""Keys whose texts the coach does not speak."""

_LIMITS = (
    *("low", "high", "limit-s", "least-s", "calls-every-s", "seconds", "for-s", "per-minute"),
    *("compressions", "breaths", "times", "breath-s", "lower-low", "lower-high"),
    *("bad-below", "bad-above", "age-years"),
)


def plain_number_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every number to be spoken or compared that neither the table nor a setting gives."""
    for path, text in every_text(root, ()):
        if is_spoken(path) and _may_have_number(text):
            found = PLAIN_NUMBER.search(BRACES.sub("", text))
            if found:
                yield path, _message(place(root, path), found[0])
    for path, value in _bare_numbers(root):
        yield path, _message(place(root, path), str(value))


def _may_have_number(text: str) -> bool:
    """Whether a look for one is worth it: nearly no text has a figure or a counting word."""
    return bool(_FIGURE.search(text)) or not _COUNTING.isdisjoint(_LETTERS.findall(text.casefold()))


def is_spoken(path: Path) -> bool:
    """Whether the coach speaks the text that stands there."""
    if any(key in _UNSPOKEN for key in path):
        return False
    named_only = path[-1] == "name" and "readings" in path
    return not named_only and not (path[0] == "complications" and path[-1] == "after")


def _bare_numbers(root: dict[str, Json]) -> Iterator[tuple[Path, int | float]]:
    for name, setting in mapping(root.get("settings")).items():
        for option, written in mapping(mapping(setting).get("options")).items():
            for key, value in mapping(written).items():
                if not isinstance(value, dict | list):
                    yield from _every_number(value, ("settings", name, "options", option, key))
    timed = {key: root.get(key) for key in ("steps", "repeats")}
    for path, number in _every_number(dict(timed), ()):
        if path[-1] in _LIMITS:
            yield path, number


def _every_number(value: Json, path: Path) -> Iterator[tuple[Path, int | float]]:
    if isinstance(value, int | float) and not isinstance(value, bool):
        yield path, value
    for key, child in mapping(value).items():
        yield from _every_number(child, (*path, key))
    for number, child in enumerate(listed(value)):
        yield from _every_number(child, (*path, number))


def _message(where: str, number: str) -> str:
    return (
        f"{where} has the number {number} from nowhere: name a fact of the table, such as "
        f"{{fact.suction-pass-adult}}, or write {{no-fact.{number}}} if it is none."
    )
