"""Where a learner stands with a skill: the chance now, the next date, and why, in a sentence."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from coach.rehearsal.aim import AIM
from coach.rehearsal.memory import Memory, memory_after
from coach.rehearsal.practised import Practised, in_order
from coach.rehearsal.spans import about_percent, day_words, span_words
from coach.report.attempt import Verdict, Way

CLOCKS_DIFFER = timedelta(days=1)
"""By as much may the clocks of two stations differ before an attempt is held to be dated wrongly
(our own choice, no source)."""


class Standing(StrEnum):
    """READY: done clean, and the chance is what is aimed at. FADING: done clean, the chance is
    less. NOT_YET: tried, never clean or not the last time. NEVER: not tried."""

    READY = "ready"
    FADING = "fading"
    NOT_YET = "not-yet"
    NEVER = "never"


@dataclass(frozen=True, slots=True)
class Outlook:
    """A skill of one learner at a moment.

    `attempts` are in the order they happened. `chance` is that of doing it right now (None:
    nothing is known of it), `due` the day of the next rehearsal (None: never practised), `aim` the
    chance that is aimed at.
    """

    skill: str
    now: datetime
    aim: float
    attempts: tuple[Practised, ...] = ()
    memory: Memory | None = None

    @property
    def chance(self) -> float | None:
        """Of doing it right now, 0 to 1."""
        return None if self.memory is None else self.memory.chance(self.now)

    @property
    def after_now(self) -> bool:
        """Whether the last attempt is dated after now, so that one of two clocks was wrong: what
        it tells of today cannot be known then."""
        return bool(self.attempts) and self.attempts[-1].instant > self.now + CLOCKS_DIFFER

    @property
    def due(self) -> date | None:
        """The day of the next rehearsal, in the time zone of `now`; today if a clock was wrong."""
        if self.memory is None or self.now.tzinfo is None:
            return None
        if self.after_now:
            return self.now.date()
        return self.memory.due(self.aim, self.now.tzinfo)

    @property
    def is_due(self) -> bool:
        """Whether it is to be rehearsed today, or was before."""
        return self.due is not None and self.due <= self.now.date()

    @property
    def last_clean(self) -> Practised | None:
        """The last attempt that was clean."""
        return next((attempt for attempt in reversed(self.attempts) if attempt.clean), None)

    @property
    def seconds(self) -> float:
        """Time practised."""
        return sum(attempt.seconds for attempt in self.attempts)

    @property
    def standing(self) -> Standing:
        """Where the learner stands."""
        if self.memory is None or self.chance is None:
            return Standing.NEVER
        if not self.memory.shown or self.last_clean is None or self.after_now:
            return Standing.NOT_YET
        return Standing.FADING if self.chance < self.aim else Standing.READY

    def sentence(self) -> str:
        """Why it is due or not: "Six weeks since the last clean one; about 70 % now."."""
        if self.chance is None:
            return "Never practised."
        if self.after_now:
            day = day_words(self.attempts[-1].when.astimezone(self.now.tzinfo).date())
            return f"The last attempt is dated {day}: is the clock of this machine right?"
        return f"{self._past()}; {about_percent(self.chance)} now."

    def _past(self) -> str:
        last, clean = self.attempts[-1], self.last_clean
        if clean is last:
            return self._since(clean, "the last clean one")
        tried = self._since(last, "the last one")
        came_to = {
            Verdict.NOT_YET: "was not clean yet",
            Verdict.UNCLEAR: "is still to be judged",
            Verdict.READY: "was led" if last.way is Way.LED else "needed hints",
        }[last.verdict]
        told = f"{tried}, which {came_to}"
        if clean is None:
            return f"{told}, and none was clean so far"
        return f"{told}, and {self._since(clean, 'the last clean one').lower()}"

    def _since(self, attempt: Practised, what: str) -> str:
        """Days are those of the calendar: what was yesterday evening is a day ago this morning."""
        days = (self.now.date() - attempt.when.astimezone(self.now.tzinfo).date()).days
        if days < 1:
            return f"Today was {what}"
        return f"{span_words(days).capitalize()} since {what}"


def outlook(skill: str, attempts: Iterable[Practised], now: datetime, aim: float = AIM) -> Outlook:
    """A skill at `now` (with its time zone) from the attempts at it."""
    if now.utcoffset() is None:
        raise ValueError(f"{now.isoformat()} has no time zone")
    ordered = in_order(attempt for attempt in attempts if attempt.skill == skill)
    return Outlook(skill, now, aim, ordered, memory_after(ordered))


def outlooks(attempts: Iterable[Practised], now: datetime, aim: float = AIM) -> dict[str, Outlook]:
    """Every skill that was practised, by its id, in order of ids."""
    by_skill: defaultdict[str, list[Practised]] = defaultdict(list)
    for attempt in attempts:
        by_skill[attempt.skill].append(attempt)
    return {skill: outlook(skill, by_skill[skill], now, aim) for skill in sorted(by_skill)}
