"""What counts in `coach oxygen` where no option says so: one's settings and one's program."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from coach.app.cylinder_in_use import cylinders_known, numbers_known
from coach.app.local_rules import program_in_force, settings_by
from coach.edges.settings import DEFAULT, load_settings
from coach.procedure.in_force import RESERVE, InForce
from coach.procedure.oxygen_numbers import OxygenNumbers
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Cylinders, Region


@dataclass(frozen=True, slots=True)
class Usual:
    """The region of a letter, the pressure kept back, and the cylinders and numbers that are known.

    `program` names the local program in force ("": none); `changes` has the reason for what it has
    less safe than published, or "", by fact, and `used` are those of them that are worked with.
    """

    region: Region
    reserve: WrittenPressure
    cylinders: Cylinders
    numbers: OxygenNumbers
    program: str = ""
    changes: Mapping[str, str] = field(default_factory=dict)
    used: tuple[str, ...] = ()

    @property
    def weaker(self) -> tuple[str, ...]:
        """The reasons of the program for what is worked with and less safe than published."""
        return tuple(dict.fromkeys(filter(None, (self.changes[fact] for fact in self.used))))

    def working_with(self, facts: Iterable[str]) -> Usual:
        """The same where these facts, too, are worked with."""
        more = (fact for fact in facts if fact in self.changes)
        return replace(self, used=(*self.used, *more))

    def without_reserve(self) -> Usual:
        """The same where no reserve is kept: without other numbers of it the program is untold."""
        used = tuple(fact for fact in self.used if fact != RESERVE)
        return replace(self, program=self.program if used else "", used=used)

    def data(self) -> dict[str, object]:
        """What programs are told of it, if anything."""
        told = {"program": self.program, "weaker": " ".join(self.weaker)}
        return {name: text for name, text in told.items() if text}

    def lines(self) -> list[str]:
        """What is printed of it below the reserve."""
        lines = [f"  Rules      {self.program}"] if self.program else []
        return [*lines, *(f"  Less safe than published: {reason}" for reason in self.weaker)]


def usual(program: str | None, reserve_given: bool) -> Usual:
    """What the settings say, with the program of that name, or that the settings name, in force.

    With `reserve_given` the program's reserve counts for nothing. InputError for what is wrong with
    the settings, the program or the table of facts.
    """
    settings = load_settings({"program": program}, os.environ)
    rules = program_in_force(settings)
    reserve = settings_by(rules, settings).reserve
    known = Usual(settings.region, reserve, cylinders_known(rules), numbers_known(rules))
    if rules is None:
        return known
    changes = {change.fact: change.weakens for change in rules.changes}
    own = reserve_given or settings.origin("reserve") != DEFAULT
    named = InForce(rules.name, rules.date, rules.approved_by).named
    known = replace(known, program=named, changes=changes)
    return known if own else known.working_with([RESERVE])
