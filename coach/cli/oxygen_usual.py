"""What counts in `coach oxygen` where no option says so: one's settings and one's program."""

from __future__ import annotations

import os
from dataclasses import dataclass

from coach.app.cylinder_in_use import cylinders_known
from coach.app.local_rules import program_in_force, settings_by
from coach.edges.settings import DEFAULT, load_settings
from coach.procedure.in_force import RESERVE, InForce
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Cylinders, Region


@dataclass(frozen=True, slots=True)
class Usual:
    """The region of a letter, the pressure kept back, and the cylinders that are known.

    `program` names the local program in force ("": none), `weaker` its reason for a reserve that is
    less safe than the published one.
    """

    region: Region
    reserve: WrittenPressure
    cylinders: Cylinders
    program: str = ""
    weaker: str = ""

    def data(self) -> dict[str, object]:
        """What programs are told of it, if anything."""
        told = {"program": self.program, "weaker": self.weaker}
        return {name: text for name, text in told.items() if text}

    def lines(self) -> list[str]:
        """What is printed of it below the reserve."""
        lines = [f"  Rules      {self.program}"] if self.program else []
        return [*lines, *([f"  Less safe than published: {self.weaker}"] if self.weaker else [])]


def usual(program: str | None, reserve_given: bool) -> Usual:
    """What the settings say, with the program of that name, or that the settings name, in force.

    With `reserve_given` the program's reserve counts for nothing. InputError for what is wrong with
    the settings or the program.
    """
    settings = load_settings({"program": program}, os.environ)
    rules = program_in_force(settings)
    reserve = settings_by(rules, settings).reserve
    cylinders = cylinders_known(rules)
    if rules is None:
        return Usual(settings.region, reserve, cylinders)
    named = InForce(rules.name, rules.date, rules.approved_by).named
    own = reserve_given or settings.origin("reserve") != DEFAULT
    weaker = [each.weakens for each in rules.changes if each.fact == RESERVE and not own]
    return Usual(settings.region, reserve, cylinders, named, "".join(weaker))
