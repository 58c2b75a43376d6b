"""Which of the open steps an utterance speaks of, surely or perhaps, done or denied."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from coach.core.meaning import Part, StepMention
from coach.language.clause_words import (
    AUXILIARIES,
    IN_VIEW,
    LIMITS,
    NEGATORS,
    OMISSIONS,
    PLACES,
    TELLING,
    VERB_NEGATORS,
)
from coach.language.clauses import Clause, Mood, Word
from coach.language.context import StepWords, Words
from coach.language.denials import denied, looking_denied
from coach.language.lines import (
    EMPTY_WORDS,
    LOOKING_FOR,
    absences,
    in_clause,
    key_line,
    phrase_words,
)
from coach.language.word_forms import same, stem

WEAK_SHARE = 0.4
"""Share of a line's words from which a step is worth offering."""

CHOOSING = frozenset("go going use take pick choose select want using".split())


POINTING = frozenset("it it's they they're which that that's".split())
"""Words that point back to a thing named before."""

ABSENCE = frozenset(map(stem, (*NEGATORS, "absent", "gone")))

LONGEST_OMISSION = 6
"""Words of a clause that leaves out a thing by naming it; a longer one is about more."""

SENSING = frozenset(
    stem(w) for w in "see hear feel find know think understand want like need mean believe".split()
)
"""What is not sensed or wanted is not left out."""

TELLING_STEMS = frozenset(stem(word) for word in TELLING)


@dataclass(frozen=True, slots=True)
class Match:
    """A line of some step's words found in a clause."""

    step: str
    part: Part
    choice: str | None
    places: frozenset[int]
    denied: bool
    sure: float
    found: bool = False

    @property
    def start(self) -> int:
        """Place of its first word."""
        return min(self.places)


def _part_matches(step: str, part: Part, words: Words, clause: Clause) -> list[Match]:
    matches = []
    for places, sure in in_clause(words, clause):
        bad = denied(clause, places, max(places)) or _looks_denied(clause, places)
        matches.append(Match(step, part, None, places, bad, sure))
    for places, absent in absences(words, clause):
        bad = not absent or looking_denied(clause)
        matches.append(Match(step, part, None, places, bad, 0.85, found=not absent))
    return matches


def _looks_denied(clause: Clause, places: frozenset[int]) -> bool:
    """Whether a match leans on the denial of an act of looking ("I did not check")."""
    negators = {word.place for word in clause.words if word.text in NEGATORS}
    return bool(negators & places) and looking_denied(clause)


def _matches(step: StepWords, clause: Clause) -> list[Match]:
    matches = _part_matches(step.id, Part.DONE, step.done, clause)
    matches += _part_matches(step.id, Part.CLOCK_START, step.clock_start, clause)
    matches += _part_matches(step.id, Part.CLOCK_END, step.clock_end, clause)
    chosen = [
        Match(step.id, Part.DONE, option, places, denied(clause, places, max(places)), sure)
        for option, words in step.choices.items()
        for places, sure in in_clause(words, clause)
    ]
    if chosen:
        best = max(chosen, key=lambda match: (not match.denied, len(match.places), match.sure))
        matches = [replace(match, choice=best.choice) for match in matches]
        matches.append(best)
    return matches


def _settled(matches: list[Match], order: dict[str, int]) -> list[Match]:
    """Of matches that lean on the same words, the one that explains most of them."""
    ranked = sorted(
        matches, key=lambda m: (-len(m.places), -m.sure, order[m.step], m.part is not Part.DONE)
    )
    kept: list[Match] = []
    used: set[int] = set()
    for match in ranked:
        fresh = match.places - used
        if 2 * len(fresh) > len(match.places) or not kept:
            kept.append(match)
            used |= match.places
    return kept


def _ambiguous(match: Match, matches: list[Match], moment: _Moment) -> bool:
    """Whether the very same words fit several open steps, of which none is suggested and more
    than one may be done now."""
    same_words = [m for m in matches if m.places == match.places and m.sure == match.sure]
    rivals = {m.step for m in same_words if m.step not in moment.done}
    if match.step == moment.suggested or len(rivals | {match.step}) < 2:
        return False
    return len(rivals & moment.due) > 1


@dataclass(frozen=True, slots=True)
class _Moment:
    suggested: str | None
    done: frozenset[str]
    due: frozenset[str]

    def rank(self, steps: Sequence[StepWords]) -> dict[str, int]:
        """The suggested step first, then what may be done now, then the rest, then what is done."""
        count = len(steps)
        late = {
            step.id: count * ((step.id not in self.due) + 2 * (step.id in self.done))
            for step in steps
        }
        order = {step.id: place + late[step.id] for place, step in enumerate(steps)}
        return {**order, self.suggested: -1} if self.suggested in order else order


def mentions(
    parts: Sequence[Clause],
    steps: Sequence[StepWords],
    suggested: str | None,
    done: frozenset[str] = frozenset(),
    due: frozenset[str] = frozenset(),
) -> tuple[tuple[StepMention, ...], tuple[str, ...], float]:
    """Steps surely spoken of, as said; steps perhaps meant, likeliest first; the confidence."""
    moment = _Moment(suggested, done, due)
    order = moment.rank(steps)
    sure: list[Match] = []
    weak: dict[str, float] = {}
    for number, clause in enumerate(parts):
        matches = [match for step in steps for match in _matches(step, clause)]
        if not matches and number:
            matches = _pointing_back(steps, parts[number - 1], clause)
        if clause.mood is not Mood.PLAIN and (spoken := _done_by_saying(steps, matches, clause)):
            matches = spoken
        elif clause.mood is Mood.AWAY and (placed := _of_a_place(matches, clause)):
            matches = placed
        elif clause.mood is not Mood.PLAIN:
            if clause.mood is Mood.PLAN:
                for match in matches:
                    weak[match.step] = max(weak.get(match.step, 0.0), 0.8)
            continue
        if any(word.text == "you" for word in clause.words):
            spoken_to = [match for match in matches if match.step == suggested]
            matches = spoken_to or matches  # words to the patient do nothing but tell
        for match in _settled(matches, order):
            if _ambiguous(match, matches, moment):
                weak.update({m.step: 0.7 for m in matches if m.places == match.places})
            else:
                sure.append(match)
        if not matches and (left_out := _left_out(steps, clause, suggested)):
            sure.append(left_out)
        elif not matches:
            for step in steps:
                weak[step.id] = max(weak.get(step.id, 0.0), _likeness(step, clause))
    told: dict[str, StepMention] = {}
    for match in sorted(sure, key=lambda m: m.start):
        told.pop(match.step, None) if match.denied or match.part is not Part.DONE else None
        earlier = told.get(match.step)
        choice = match.choice or (earlier.choice if earlier else None)
        if earlier is None or match.denied or match.part is not Part.DONE:
            found = match.denied and match.found
            told[match.step] = StepMention(match.step, match.denied, match.part, choice, found)
        elif choice != earlier.choice:
            told[match.step] = replace(earlier, choice=choice)
    ranked = sorted(weak.items(), key=lambda item: (-item[1], order[item[0]]))
    likely = tuple(s for s, share in ranked if share >= WEAK_SHARE and s not in told)[:2]
    return tuple(told.values()), likely, max((m.sure for m in sure), default=0.0)


def _of_a_place(matches: Sequence[Match], clause: Clause) -> list[Match]:
    """Matches that lean on the place where a thing lies: it lies where it should."""
    places = {word.place for word in clause.words if word.text in PLACES}
    return [match for match in matches if match.places & places]


def _pointing_back(steps: Sequence[StepWords], before: Clause, clause: Clause) -> list[Match]:
    """Matches over two clauses of which the second says of the first how a thing is.

    "I checked inside his mouth and it's clear".
    """
    if not (before.mood is clause.mood is Mood.PLAIN) or clause.words[0].text not in POINTING:
        return []
    if any(word.text in NEGATORS | OMISSIONS for word in (*before.words, *clause.words)):
        return []
    both = Clause((*before.words, *clause.words), Mood.PLAIN, (*before.ands, *clause.ands))
    first = clause.words[0].place
    found = [match for step in steps for match in _matches(step, both)]
    return [m for m in found if min(m.places) < first < max(m.places) and not m.found]


def _left_out(steps: Sequence[StepWords], clause: Clause, suggested: str | None) -> Match | None:
    """The step of which only the thing is named after a denial: "I forgot the gloves", "no lube".

    Of several the suggested one; otherwise nobody can tell.
    """
    deniers = [word.place for word in clause.words if _leaves_out(clause, word)]
    if not deniers or len(clause.words) > LONGEST_OMISSION:
        return None
    if any(word.stem in LOOKING_FOR | SENSING for word in clause.words):
        return None
    if len(deniers) > 1 or denied(clause, frozenset(deniers), deniers[0]):
        return None
    things = [w for w in clause.words if w.text not in EMPTY_WORDS and w.place not in deniers]
    if any(word.text in OMISSIONS for word in clause.words):
        things = [word for word in things if word.place > deniers[0]]
    found: dict[str, int] = {}
    for step in steps:
        heads = frozenset().union(*(key_line(line)[0] for line in step.done.keys))
        findings = [key_line(line) for line in step.done.absent]
        heads -= frozenset().union(*(line[0] for line in findings if len(line) == 1))
        heads -= frozenset().union(
            *(f for line in map(key_line, step.done.keys) if _is_absence(line) for f in line)
        )
        for word in things:
            if any(same(word.stem, form) for form in heads):
                found.setdefault(step.id, word.place)
    if suggested in found:
        return Match(suggested, Part.DONE, None, frozenset({found[suggested]}), True, 0.8)
    if len(found) != 1:
        return None
    step_id, place = next(iter(found.items()))
    return Match(step_id, Part.DONE, None, frozenset({place}), True, 0.8)


def _is_absence(line: Sequence[frozenset[str]]) -> bool:
    """Whether a line is good news by naming what is not there: "no gag", "gag absent"."""
    return any(forms & ABSENCE for forms in line)


def _leaves_out(clause: Clause, word: Word) -> bool:
    before = [w.text for w in clause.words if w.place == word.place - 1]
    if word.text == "not":
        return before[:1] != [] and (before[0] in AUXILIARIES or before[0].endswith("'s"))
    return word.text in OMISSIONS or word.text in VERB_NEGATORS


def _done_by_saying(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause
) -> list[Match]:
    """Of the steps in a plan those that are done by saying it.

    They are a choice ("I'll go with the mask"), a promise that sets a limit ("I'll go only as far
    as I can see"), and telling the patient ("I'm going to give you some oxygen").
    """
    if clause.mood is not Mood.PLAN:
        return []
    texts = {word.place: word.text for word in clause.words}
    if any(word.text in CHOOSING for word in clause.words):
        chosen = [match for match in matches if match.choice]
        if chosen:
            return chosen
    promised = [m for m in matches if any(texts[p] in LIMITS | IN_VIEW for p in m.places)]
    if promised:
        return promised
    if not {"you", "your"} & set(texts.values()):
        return []
    tellers = {step.id for step in steps if _tells(step)}
    return [match for match in matches if match.step in tellers]


def _tells(step: StepWords) -> bool:
    """Whether a step is done by telling somebody something."""
    return any(key_line(key)[0] & TELLING_STEMS for key in step.done.keys)


def _likeness(step: StepWords, clause: Clause) -> float:
    """The largest share of a written line's words that the clause holds."""
    best = 0.0
    lines = [key_line(key) for key in step.done.keys]
    lines += [tuple(frozenset({part}) for part in phrase_words(p)) for p in step.done.phrases]
    for line in lines:
        if len(line) < 2:
            continue
        hits = sum(
            any(same(word.stem, f) for word in clause.words for f in forms) for forms in line
        )
        best = max(best, hits / len(line))
    return best
