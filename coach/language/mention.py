"""A number as it stands in what was said, before anybody knows what it is a reading of."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.meaning import Outlook
from coach.core.units import Quantity, Unit
from coach.language.numbers import SpokenNumber


@dataclass(frozen=True, slots=True)
class Mention:
    """A number (two for a blood pressure) at words `start` to `end`, with the unit if said.

    `quantity` is None while nothing tells what was measured; `named` when its own words told it
    ("flow is at ten"). `rivals` are other numbers offered for the same thing. `outlook`: it is
    only planned or supposed. `could_be_in` are what else its unit may be of, as it is said.
    """

    start: int
    end: int
    numbers: tuple[SpokenNumber, ...]
    unit: Unit | None = None
    quantity: Quantity | None = None
    named: bool = False
    hedged: bool = False
    rivals: tuple[float, ...] = ()
    outlook: Outlook | None = None
    could_be_in: tuple[str, ...] = ()

    @property
    def values(self) -> tuple[float, ...]:
        """The likeliest value of each number."""
        return tuple(number.values[0] for number in self.numbers)
