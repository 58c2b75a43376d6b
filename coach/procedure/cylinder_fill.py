"""To what pressure the cylinder in use is filled: the option of a skill that fits its size."""

from __future__ import annotations

from collections.abc import Mapping

from coach.procedure.model import Setting
from coach.trade.cylinders import Cylinder

HIGHEST_PSI = "highest-psi"
"""The fact of an option that gives the highest gauge of a cylinder filled so, in psi."""


def fill_choices(settings: Mapping[str, Setting], cylinder: Cylinder) -> dict[str, str]:
    """The option of each setting about the filling that a cylinder of this size goes by.

    It is the one with the lowest highest gauge that the cylinder still reaches when it is full, so
    that a misread gauge is questioned soonest. Empty where no option takes a full one.
    """
    chosen: dict[str, str] = {}
    for name, setting in settings.items():
        highest = {
            option: float(fact)
            for option, written in setting.options.items()
            if isinstance(fact := written.facts.get(HIGHEST_PSI), int | float)
        }
        fits = {o: psi for o, psi in highest.items() if psi >= cylinder.highest_fill.psi - 1e-6}
        if fits and len(highest) == len(setting.options):
            chosen[name] = min(fits, key=lambda option: fits[option])
    return chosen
