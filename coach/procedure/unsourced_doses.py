"""Doses that no text gives: the mark for a number that is no fact does not stand for a source."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.core.units import Quantity
from coach.procedure.fact_references import NO_FACT
from coach.procedure.plain_numbers import is_spoken
from coach.procedure.resolve import BRACES, listed, mapping
from coach.procedure.skill_texts import every_text
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path

_MEASURED = (
    *("mg", "milligram", "milligramme", "mcg", "\u00b5g", "\u03bcg", "ug", "microgram"),
    *("microgramme", "g", "gram", "gramme", "ml", "milliliter", "millilitre", "cc", "mmol"),
    *("millimole", "meq", "milliequivalent", "iu", "unit"),
)
_COUNTED = (
    *("puff", "spray", "squirt", "drop", "tablet", "pill", "capsule", "dose", "ampule", "ampoule"),
    *("vial", "teaspoon", "tablespoon"),
)
"""What a drug is measured or counted in; liters are not among them, which are a flow."""

_MARK = "\x00"
"""Stands before and after a number that is marked as no fact while a text is looked through."""

_DOSE = re.compile(
    rf"{_MARK}(?:(?P<number>[^{_MARK}]+){_MARK}[ -]*|(?P<within>[^{_MARK} -]+)(?:[ -]+|(?<=[0-9])))"
    rf"(?:(?:international|more|full|whole|single) )?(?P<unit>{'|'.join((*_MEASURED, *_COUNTED))})"
    r"s?\b",
    re.IGNORECASE,
)
"""A number with its unit beside the mark or within it."""

_ONE = re.compile(
    r"\b(?:one|an?)[ -]"
    rf"(?P<unit>{'|'.join(unit for unit in _MEASURED if unit not in ('g', 'unit'))})\b",
    re.IGNORECASE,
)
"""One of what is hardly measured but for a drug: "one" needs no mark elsewhere."""


def dose_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every dose told, and every range that a learner's dose is held against, without a fact."""
    for path, text in every_text(root, ()):
        if not is_spoken(path):
            continue
        found = _DOSE.search(_marked(root, text)) or _ONE.search(text)
        if found:
            told = found[0].replace(_MARK, "")
            yield (
                path,
                f'{place(root, path)} tells "{told}" from no text, and what is measured so may be '
                "a dose: take the number out, or name a fact of the table with its source; a dose "
                "itself is never told.",
            )
    for path, reading in _dose_readings(root):
        for key in ("low", "high"):
            end = reading.get(key)
            if isinstance(end, str) and _MARK in _marked(root, end):
                here = (*path, key)
                yield (
                    here,
                    f"{place(root, here)} is of a dose and from no text: name a fact of the table "
                    "with its source, or leave the number out of the skill.",
                )


def _marked(root: dict[str, Json], text: str) -> str:
    """The text with each number that is no fact between marks, also one that an option passes on,
    and a star for all else in braces."""
    if "{" not in text:
        return text

    def shown(found: re.Match[str]) -> str:
        name, _, rest = found[1].partition(".")
        if name == NO_FACT:
            return f"{_MARK}{rest}{_MARK}"
        options = mapping(mapping(mapping(root.get("settings")).get(name)).get("options"))
        for option in options.values():
            passed = mapping(option).get(rest or "says")
            inner = BRACES.findall(passed) if isinstance(passed, str) else ()
            for reference in inner:
                if reference.startswith(f"{NO_FACT}."):
                    return f"{_MARK}{reference.partition('.')[2]}{_MARK}"
        return "*"

    return BRACES.sub(shown, text)


def _dose_readings(value: Json, path: Path = ()) -> Iterator[tuple[Path, dict[str, Json]]]:
    """Each reading of a dose, wherever a step or a variant of it has it."""
    if isinstance(value, dict):
        if value.get("quantity") == str(Quantity.DOSE):
            yield path, value
        for key, child in value.items():
            yield from _dose_readings(child, (*path, key))
    for number, child in enumerate(listed(value)):
        yield from _dose_readings(child, (*path, number))
