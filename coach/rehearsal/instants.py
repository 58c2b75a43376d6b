"""The instant of a wall clock as it was written down."""

from __future__ import annotations

from datetime import UTC, datetime


def instant_of(wall_clock: str) -> datetime:
    """The instant of a wall clock (ISO 8601), with its zone.

    One without an offset from UTC, which today's journals never have, is taken for UTC. ValueError
    for a text that is no time.
    """
    when = datetime.fromisoformat(wall_clock)
    return when if when.utcoffset() is not None else when.replace(tzinfo=UTC)
