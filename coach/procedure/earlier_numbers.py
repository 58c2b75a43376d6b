"""The numbers of what is worked out that programs had before they kept them with each skill.

An attempt of then is judged by these for ever, whatever the table of facts says now: nothing here
is ever changed, and no new number belongs here.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.procedure.facts import Amount

EARLIER: Mapping[str, Amount] = {
    "pressure-believed": Amount(low=40.0, high=300.0),
    "diastolic-believed": Amount(low=0.0, high=200.0),
    "pulse-pressure-narrow": Amount(value=25.0),
    "pulse-pressure-wide": Amount(value=100.0),
    "fastest-breaths": Amount(value=120.0),
    "fastest-pulse": Amount(value=320.0),
}
