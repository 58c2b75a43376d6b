"""A class at a glance: who is ready in what, by which evidence, and who could help whom."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from coach.records.statistics import Agreement, Interval, agreement, wilson
from coach.rehearsal.outlook import CLOCKS_DIFFER, Standing
from coach.report.attempt import Mark

Chance = Callable[[str, str], float | None]
"""From a learner's id and a skill's, the chance of doing it right now; None if it is not known."""


class Evidence(NamedTuple):
    """One attempt: `started` is the wall clock (ISO 8601), `share` 0 to 1."""

    attempt: str
    started: str
    started_s: float
    way: str
    verdict: str
    share: float
    hints: int


class History(NamedTuple):
    """All attempts of a learner at a skill: how many, how long together, the last one, the last
    one alone (not led) that was judged, and the last clean one (alone, ready, without a hint)."""

    attempts: int
    seconds: float
    last: Evidence
    alone: Evidence | None
    clean: Evidence | None

    @property
    def stands(self) -> bool:
        """Whether it was done clean once, and was not failed alone since."""
        if self.clean is None or self.alone is None:
            return self.clean is not None
        failed = self.alone.verdict != "ready" and self.alone.started_s > self.clean.started_s
        return not failed


@dataclass(frozen=True, slots=True)
class Person:
    """A learner of the class, by id."""

    id: str
    called: str


class Cell(NamedTuple):
    """What a learner is in a skill, and what speaks for it (None: nothing); `chance` is that of
    doing it right now, where it decides (None: it is not known or does not). `after_now`: the last
    attempt is dated after now, so that a clock was wrong, and nothing is known of today."""

    state: Standing
    evidence: Evidence | None
    attempts: int
    chance: float | None
    after_now: bool = False


@dataclass(frozen=True, slots=True)
class StepCounts:
    """How the class did a step: in each learner's last attempt alone at its skill.

    `of` counts the clear marks: `missed`, `wrong` (late or out of order) and done; `unclear` ones
    are told beside. `interval` is that of the share missed.
    """

    skill: str
    step: str
    name: str
    missed: int
    wrong: int
    of: int
    unclear: int

    @property
    def interval(self) -> Interval:
        """Where the true share of missed ones lies, with 95 % confidence."""
        return wilson(self.missed, self.of)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two learners, each with the skills in which that one is ready and the other is not."""

    one: str
    other: str
    one_helps_in: tuple[str, ...]
    other_helps_in: tuple[str, ...]


def coach_and_people(pairs: Sequence[tuple[str, str]]) -> tuple[Agreement, int]:
    """The agreement of the coach's mark of each pair with that of a person, where the coach gave
    one, and in how many it had left that to a person."""
    given = [pair for pair in pairs if pair[0] != Mark.UNCLEAR]
    return agreement(given), len(pairs) - len(given)


@dataclass(frozen=True, slots=True)
class ClassTable:
    """The whole: `cells` by learner and skill. `agreement` is that of the coach's marks with those
    set by hand, where the coach gave one; `settled` counts those that it had left unclear. `made`
    is when (ISO 8601)."""

    made: str
    people: tuple[Person, ...]
    skills: tuple[str, ...]
    cells: Mapping[tuple[str, str], Cell]
    steps: tuple[StepCounts, ...]
    pairs: tuple[Pair, ...]
    agreement: Agreement
    judged: int
    settled: int = 0

    def count(self, skill: str, state: Standing) -> int:
        """How many of the class are that in a skill."""
        return sum(self.cells[person.id, skill].state is state for person in self.people)

    def called(self, learner: str) -> str:
        """What a learner is called."""
        return next(person.called for person in self.people if person.id == learner)


def cell_of(
    history: History | None, chance: float | None, fades_below: float, now_s: float = math.inf
) -> Cell:
    """What the attempts of a learner at a skill come to; `now_s` is the present instant (POSIX)."""
    if history is None:
        return Cell(Standing.NEVER, None, 0, None)
    if history.last.started_s > now_s + CLOCKS_DIFFER.total_seconds():
        return Cell(Standing.NOT_YET, history.last, history.attempts, None, after_now=True)
    if not history.stands:
        return Cell(Standing.NOT_YET, history.alone or history.last, history.attempts, chance)
    fading = chance is not None and chance < fades_below
    state = Standing.FADING if fading else Standing.READY
    return Cell(state, history.clean, history.attempts, chance)


def cells_of(
    people: Iterable[Person],
    skills: Sequence[str],
    histories: Mapping[tuple[str, str], History],
    chance: Chance,
    fades_below: float,
    now_s: float = math.inf,
) -> dict[tuple[str, str], Cell]:
    """The cell of every learner and skill at `now_s`; the chance is asked for where it decides."""
    cells: dict[tuple[str, str], Cell] = {}
    for person in people:
        for skill in skills:
            history = histories.get((person.id, skill))
            decides = history is not None and history.stands
            now = chance(person.id, skill) if decides else None
            cells[person.id, skill] = cell_of(history, now, fades_below, now_s)
    return cells


def most_missed(counts: Iterable[StepCounts]) -> tuple[StepCounts, ...]:
    """Steps that somebody missed, those first of which that is surest: by the lower end of the
    interval, so that one of one does not come before twenty of forty."""
    missed = [one for one in counts if one.missed]
    return tuple(sorted(missed, key=lambda one: (-one.interval.low, one.skill, one.step)))


def pairs_of(
    people: Sequence[Person], skills: Sequence[str], cells: Mapping[tuple[str, str], Cell]
) -> tuple[Pair, ...]:
    """Who could practise with whom, nobody twice.

    Pairs in which each helps the other come first, then those with more to share; the choice is
    one after the other, so that it is the same every time, and not always the very best.
    """
    ready = [
        _bits(cells[person.id, skill].state is Standing.READY for skill in skills)
        for person in people
    ]
    waiting: dict[int, deque[int]] = {}
    for place, mine in enumerate(ready):
        waiting.setdefault(mine, deque()).append(place)
    pairs: list[Pair] = []
    taken: set[int] = set()
    for partners in _partners_by_worth(list(waiting), len(skills)):
        for one in sorted(place for mine in partners for place in waiting[mine]):
            other = None if one in taken else _first_free(waiting, partners[ready[one]], taken, one)
            if other is not None:
                taken |= {one, other}
                gives, gets = ready[one] & ~ready[other], ready[other] & ~ready[one]
                helps = _named(skills, gives), _named(skills, gets)
                pairs.append(Pair(people[one].id, people[other].id, *helps))
    return tuple(pairs)


def _partners_by_worth(masks: Sequence[int], skills: int) -> list[dict[int, list[int]]]:
    """Of those who are ready in the same (`masks`), whom each could practise with, for each worth
    of a pair, the highest first. A class has far fewer of them than learners, mostly; those who are
    ready in the same have nothing to share."""
    more_than_any = skills + 1
    by_worth: list[dict[int, list[int]]] = [{} for _ in range(2 * more_than_any)]
    for number, mine in enumerate(masks):
        for theirs in masks[number + 1 :]:
            both = mine | theirs
            worth = (mine ^ theirs).bit_count()
            partners = by_worth[worth + (more_than_any if mine != both != theirs else 0)]
            partners.setdefault(mine, []).append(theirs)
            partners.setdefault(theirs, []).append(mine)
    return [partners for partners in reversed(by_worth) if partners]


def _first_free(
    waiting: Mapping[int, deque[int]], masks: Sequence[int], taken: Collection[int], one: int
) -> int | None:
    """The first learner after `one` who is ready in one of these and has nobody yet."""
    found: list[int] = []
    for mask in masks:
        places = waiting[mask]
        while places and places[0] in taken:
            places.popleft()
        if places:
            found.append(places[0])
    return min((place for place in found if place > one), default=None)


def _bits(which: Iterable[bool]) -> int:
    """A number with a bit for each, the first the lowest: thousands are compared at once."""
    return sum(yes << place for place, yes in enumerate(which))


def _named(skills: Sequence[str], bits: int) -> tuple[str, ...]:
    return tuple(skill for place, skill in enumerate(skills) if bits >> place & 1)
