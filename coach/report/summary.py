"""What was done, missed and read in a session, as data and as a page of text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

CAUTION = (
    "Training aid only, never for patient care. Local protocol, medical direction and licensed "
    "practice decide."
)


@dataclass(frozen=True, slots=True)
class Summary:
    """One session; step ids in the order done, then those missed in the suggested order.

    `readings` are JSON-ready: step, reading, quantity, value, unit, in_range.
    `oxygen_minutes` are the minutes of oxygen last told, None when none were.
    """

    skill: str
    title: str
    done: tuple[str, ...]
    missed: tuple[str, ...]
    out_of_order: tuple[str, ...]
    readings: tuple[Mapping[str, Any], ...]
    oxygen_minutes: int | None
    seconds: float
    names: Mapping[str, str] = field(default_factory=dict)
    clocks: tuple[Mapping[str, Any], ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The last line of `practice --json`."""
        return {
            "type": "summary",
            "skill": self.skill,
            "done": list(self.done),
            "missed": list(self.missed),
            "out_of_order": list(self.out_of_order),
            "readings": [dict(reading) for reading in self.readings],
            "oxygen_minutes": self.oxygen_minutes,
            "seconds": round(self.seconds, 1),
            "clocks": [dict(clock) for clock in self.clocks],
            "caution": CAUTION,
        }

    def as_text(self) -> str:
        """A short page: what was missed first, for that is what the next rehearsal is about."""
        lines = [
            f"{self.title}: {len(self.done)} of {len(self.done) + len(self.missed)} steps done"
        ]
        lines.append(f"Missed: {self._named(self.missed) or 'nothing'}")
        if self.out_of_order:
            lines.append(f"Out of the suggested order: {self._named(self.out_of_order)}")
        for reading in self.readings:
            value = reading["value"]
            shown = "/".join(f"{v:g}" for v in value) if isinstance(value, list) else f"{value:g}"
            outside = "" if reading["in_range"] else " (outside the range)"
            name = str(reading["reading"]).replace("-", " ")
            lines.append(f"Read: {name} {shown} {reading['unit']}{outside}")
        for clock in self.clocks:
            over = f", over the limit of {clock['limit_s']} s" if clock["over"] else ""
            lines.append(f"Counted: {clock['seconds']:g} s{over}")
        if self.oxygen_minutes is not None:
            lines.append(f"Oxygen: {self.oxygen_minutes} minutes, as last told")
        if self.missed:
            lines.append(f"Next rehearsal: begin with {self._named(self.missed[:1])}.")
        lines.append(CAUTION)
        return "\n".join(lines)

    def _named(self, steps: tuple[str, ...]) -> str:
        return ", ".join(self.names.get(step, step) for step in steps)
