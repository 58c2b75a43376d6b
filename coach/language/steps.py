"""Which of the open steps an utterance speaks of, surely or perhaps, done or denied."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from coach.core.meaning import DoubtedStep, StepMention
from coach.language.afterthoughts import lacks
from coach.language.carelessness import Weigher, tellings
from coach.language.clause import Clause, Mood
from coach.language.clause_words import (
    DETERMINERS,
    NEGATORS,
    OMISSIONS,
    OTHERS,
)
from coach.language.clauses import is_put_off, told_plan
from coach.language.context import StepWords
from coach.language.dropped_matches import (
    lacking_something,
    only_adds_nothing,
    without_answered,
    without_taken_back,
)
from coach.language.findings_in_a_row import MOST_FINDINGS, over_findings
from coach.language.hedges import TakenBack
from coach.language.last_told import last_told
from coach.language.leave import answers_another
from coach.language.looked_again import AGAIN, without_first_looks
from coach.language.match import Match
from coach.language.named_doers import by_the_named
from coach.language.omissions import left_out
from coach.language.rival_matches import ambiguous, settled
from coach.language.step_matches import asks_for_leave, likeness, matches_in, tells
from coach.language.surely_meant import done_well, not_of_it, surely_meant
from coach.language.told_order import Place, order_told

WEAK_SHARE = 0.4
"""Share of a line's words from which a step is worth offering."""

ONLY_LIKELY = 0.8
"""How much a step planned, hedged or taken back is worth offering, on the same scale."""

POINTING = frozenset("it it's they they're which that that's".split())
"""Words that point back to a thing named before."""


@dataclass(frozen=True, slots=True)
class _Moment:
    """The open steps, and which of them are suggested, done, or may be done now."""

    steps: Sequence[StepWords]
    suggested: str | None
    done: frozenset[str]
    due: frozenset[str]
    forbidden: frozenset[str]
    tellers: frozenset[str]
    order: dict[str, int]

    @classmethod
    def of(
        cls,
        steps: Sequence[StepWords],
        suggested: str | None,
        done: frozenset[str],
        due: frozenset[str],
    ) -> _Moment:
        """The suggested step first, then what may be done now, then the rest, then what is done."""
        count = len(steps)
        late = {step.id: count * ((step.id not in due) + 2 * (step.id in done)) for step in steps}
        order = {step.id: place + late[step.id] for place, step in enumerate(steps)}
        return cls(
            *(steps, suggested, done, due),
            forbidden=frozenset(step.id for step in steps if step.forbidden),
            tellers=frozenset(step.id for step in steps if tells(step)),
            order={**order, suggested: -1} if suggested in order else order,
        )


@dataclass(slots=True)
class _Found:
    """What the clauses so far speak of.

    `sure` are the matches that count, `weak` the steps perhaps meant with a share from 0 to 1,
    `last` the sure ones of the last clause that had any, `before` all of the clause before, `lone`
    how many clauses in a row had none (at most those that one list of findings may have),
    `lacking_at` the numbers of the clauses that tell what a thing lacks.
    """

    sure: list[Match] = field(default_factory=list)
    weak: dict[str, float] = field(default_factory=dict)
    last: list[Match] = field(default_factory=list)
    before: list[Match] = field(default_factory=list)
    lone: int = 0
    lacking_at: set[int] = field(default_factory=set)

    def perhaps(self, steps: Iterable[str], share: float) -> None:
        """Steps that may be meant with at least that share."""
        for step in steps:
            self.weak[step] = max(self.weak.get(step, 0.0), share)


class SpokenOf(NamedTuple):
    """Steps surely spoken of, in the order of the acts; steps perhaps meant, likeliest first; how
    sure (0 to 1); and those that are only perhaps meant because of how they were told."""

    steps: tuple[StepMention, ...]
    likely: tuple[str, ...]
    sure: float
    doubted: tuple[DoubtedStep, ...] = ()


def mentions(
    parts: Sequence[Clause],
    steps: Sequence[StepWords],
    suggested: str | None,
    done: frozenset[str] = frozenset(),
    due: frozenset[str] = frozenset(),
    taken_back: TakenBack | None = None,
    careless: Weigher | None = None,
) -> SpokenOf:
    """The steps that are spoken of; `careless` doubts how they were done.

    `taken_back`: what was then said of the last of the clauses.
    """
    moment = _Moment.of(steps, suggested, done, due)
    found = _Found()
    for number, clause in enumerate(parts):
        matches = _counted(_matches(number, parts, moment, found), number, parts, moment, found)
        if matches is not None:
            _take(matches, number, clause, moment, found)
    sure = without_answered(steps, found.sure, parts)
    moments = order_told(parts)
    short = lacking_something(steps, sure, parts, found.lacking_at)
    short += _after_something_unclear(parts, moments, sure, moment)
    found.perhaps((match.step for match in short), ONLY_LIKELY)
    sure = [match for match in sure if match not in short]
    if taken_back is not None:
        sure = without_taken_back(parts, sure, found.last, taken_back)
        found.perhaps((match.step for match in found.last if match not in sure), ONLY_LIKELY)
    doubted = _doubted(steps, parts, sure, careless)
    found.perhaps((doubt.step for doubt in doubted), ONLY_LIKELY)
    in_doubt = {doubt.step for doubt in doubted}
    sure = [match for match in sure if match.denied or match.step not in in_doubt]
    sure.sort(key=lambda match: min(moments[place] for place in match.places))
    told = last_told(sure, parts, {step.id for step in steps if step.ends_when_told})
    ranked = sorted(found.weak.items(), key=lambda item: (-item[1], moment.order[item[0]]))
    apart = moment.forbidden | told.keys()
    likely = tuple(s for s, share in ranked if share >= WEAK_SHARE and s not in apart)[:2]
    surest = max((match.sure for match in sure), default=0.0)
    return SpokenOf(tuple(told.values()), likely, surest, doubted)


def _matches(number: int, parts: Sequence[Clause], moment: _Moment, found: _Found) -> list[Match]:
    """Where a clause has the words of the steps."""
    clause = parts[number]
    matches = [match for step in moment.steps for match in matches_in(step, clause)]
    if not matches and number:
        lone = not found.before
        matches = _pointing_back(moment.steps, parts[number - 1], clause, lone=lone)
        matches = matches or over_findings(moment.steps, parts[number - found.lone : number + 1])
    again = {w.place for part in parts[:number] for w in part.words if w.stem in AGAIN}
    matches = without_first_looks(matches, clause, moment.steps, found.sure, again, moment.done)
    matches, others = by_the_named(matches, clause, moment.steps)
    found.perhaps(others, ONLY_LIKELY)
    if clause.written:
        matches = [match for match in matches if match.sure == 1.0]
    if number and answers_another(parts[number - 1], clause):
        asking = {step.id for step in moment.steps if asks_for_leave(step)}
        matches = [match for match in matches if match.step not in asking]
    spoken = {moment.suggested, *(match.step for match in found.sure)}
    found.before = [match for match in matches if not match.alone or match.step in spoken]
    found.lone = 0 if found.before else min(found.lone + 1, MOST_FINDINGS - 1)
    return found.before


def _counted(
    matches: list[Match], number: int, parts: Sequence[Clause], moment: _Moment, found: _Found
) -> list[Match] | None:
    """The matches that count for how the clause is meant; None where nothing more is to be made
    of it."""
    clause = parts[number]
    if clause.mood is not Mood.PLAIN:
        put_off = clause.mood is Mood.PLAN and is_put_off(parts, number)
        if clause.mood in {Mood.PLAN, Mood.HEDGED, Mood.AMISS} and not put_off:
            found.perhaps((match.step for match in matches), ONLY_LIKELY)
        counted = surely_meant(moment.steps, matches, clause)
        if counted and clause.mood is Mood.OTHERS:
            counted = done_well(moment.steps, counted, clause, ())
        return counted if counted or (clause.mood is Mood.HEDGED and not matches) else None
    if (plan := told_plan(clause)) is not None:
        matches = [m for m in matches if min(m.places) < plan or m.step in moment.tellers]
    after = parts[number + 1].texts if number + 1 < len(parts) else ()
    well = done_well(moment.steps, matches, clause, after)
    found.perhaps((match.step for match in matches if match not in well), ONLY_LIKELY)
    return None if matches and not well else well


def _take(
    matches: list[Match], number: int, clause: Clause, moment: _Moment, found: _Found
) -> None:
    """Keep what a clause tells: its matches, what it leaves out, or what it may be about."""
    if clause.words[0].text in POINTING and found.last:
        matches = not_of_it(matches, found.last, clause)
    if any(word.text == "you" for word in clause.words):
        spoken_to = [match for match in matches if match.step == moment.suggested]
        matches = spoken_to or matches  # words to the patient do nothing but tell
    for match in settled(matches, moment.order, moment.forbidden, moment.done, clause):
        if ambiguous(match, matches, moment.suggested, moment.done, moment.due):
            found.weak.update({m.step: 0.7 for m in matches if m.places == match.places})
        else:
            found.sure.append(match)
    if matches:
        places = {word.place for word in clause.words}
        found.last = [match for match in found.sure if match.places & places]
    elif lacking := left_out(moment.steps, clause, moment.suggested):
        if not only_adds_nothing(lacking, clause, found.last):
            found.sure.append(lacking)
    else:
        if lacks(clause.texts, clause.head):
            found.lacking_at.add(number)
        for step in moment.steps:
            found.perhaps([step.id], likeness(step, clause))


def _after_something_unclear(
    parts: Sequence[Clause], moments: Mapping[int, Place], sure: Sequence[Match], moment: _Moment
) -> list[Match]:
    """The matches told to be done after what may have been an open step, and is not surely one.

    "I oiled it after I put it in": was it put in already? Only a person can tell.
    """
    found: list[Match] = []
    for before, clause in pairwise(parts):
        first = moments[clause.words[0].place] < moments[before.words[0].place]
        places = {word.place for word in clause.words}
        if not first or clause.mood is not Mood.PLAIN or any(m.places & places for m in sure):
            continue
        still = [s for s in moment.steps if not s.forbidden and s.id not in moment.done]
        if any(likeness(step, clause) >= WEAK_SHARE for step in still):
            of_it = {word.place for word in before.words}
            found += [match for match in sure if match.places & of_it and not match.denied]
    return found


def _doubted(
    steps: Sequence[StepWords],
    parts: Sequence[Clause],
    sure: Sequence[Match],
    careless: Weigher | None,
) -> tuple[DoubtedStep, ...]:
    """The steps that are told as done by words that may tell that they were done carelessly."""
    if careless is None or not sure:
        return ()
    found = ((t.step.id, careless.doubts(t)) for t in tellings(steps, parts, sure))
    return tuple(DoubtedStep(step, words) for step, words in found if words is not None)


def _pointing_back(
    steps: Sequence[StepWords], before: Clause, clause: Clause, lone: bool
) -> list[Match]:
    """Matches over two clauses of which the second says of the first how a thing is.

    "I checked inside his mouth and it's clear"; where the first tells of nothing by itself
    (`lone`) also with the thing named anew, "the label says aspirin, the date is good".
    """
    anew = lone and not clause.head and not before.head
    points = clause.words[0].text in (POINTING | DETERMINERS | OTHERS if anew else POINTING)
    if not (before.mood is clause.mood is Mood.PLAIN) or not points:
        return []
    if any(word.text in NEGATORS | OMISSIONS for word in (*before.words, *clause.words)):
        return []
    both = Clause((*before.words, *clause.words), Mood.PLAIN, (*before.ands, *clause.ands))
    first = clause.words[0].place
    found = [match for step in steps for match in matches_in(step, both)]
    return [m for m in found if min(m.places) < first < max(m.places) and not m.found]
