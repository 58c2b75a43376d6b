"""Texts and numbers of a skill file with the braces of the chosen options filled in."""

from __future__ import annotations

from dataclasses import dataclass

from coach.procedure.model import HeardAs
from coach.procedure.resolve import Choices, Facts, fill, listed, mapping, number
from coach.procedure.yaml_tree import Json


@dataclass(frozen=True, slots=True)
class Filler:
    """Fills braces from one set of choices."""

    choices: Choices
    facts: Facts

    def text(self, value: Json) -> str:
        """A text filled in; "" for nothing."""
        return "" if value is None else fill(str(value), self.choices, self.facts)

    def sentence(self, value: Json) -> str:
        """A whole sentence filled in, so that it begins with a capital; "" for nothing."""
        text = self.text(value)
        return text[:1].upper() + text[1:]

    def texts(self, value: Json) -> tuple[str, ...]:
        """A list of texts filled in; empty for nothing."""
        return tuple(self.text(text) for text in listed(value))

    def number(self, value: Json) -> float:
        """A number, as written or from a fact; ValueError if it is none."""
        found = number(value, self.choices, self.facts)
        if found is None:
            raise ValueError(f"{value!r} is not a number")
        return float(found)

    def heard_as(self, value: Json) -> HeardAs:
        """What a learner may say, filled in."""
        written = mapping(value)
        return HeardAs(
            phrases=self.texts(written.get("phrases")),
            keys=self.texts(written.get("keys")),
            absent=self.texts(written.get("absent")),
        )


def texts(value: Json) -> tuple[str, ...]:
    """A list of texts as written; empty for nothing."""
    return tuple(str(text) for text in listed(value))
