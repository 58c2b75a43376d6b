"""A number that stands already and may still be corrected: a quiet coach reads nothing back."""

from __future__ import annotations

from coach.core.units import Quantity
from coach.dialogue.state import Standing, State

RECENT_S = 20.0
"""A number may be corrected without its unit for so long (common practice, no source)."""


def just_given(state: State, quantity: Quantity | None = None) -> Standing | None:
    """The number last given to a quiet coach, of that quantity if one is named; None if it is
    longer ago than RECENT_S."""
    if not state.quiet:
        return None
    for standing in reversed(state.readings):
        if quantity in (None, standing.quantity) and state.at_s - standing.at_s <= RECENT_S:
            return standing
    return None
