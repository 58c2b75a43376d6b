"""Which of the open steps an utterance speaks of, surely or perhaps, done or denied."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from coach.core.meaning import Part, StepMention
from coach.language.body import at_another_part
from coach.language.clause_words import (
    COMPLAINT,
    DEMANDS,
    DETERMINERS,
    IN_VIEW,
    LIMITS,
    LOOKING,
    NEGATORS,
    NEW_SUBJECTS,
    OMISSIONS,
    OTHERS,
    PLACES,
    REQUESTS,
    SUBJECTS,
    SUPPOSING,
    TELLING,
)
from coach.language.clauses import Clause, Mood, told_plan
from coach.language.context import StepWords, Words
from coach.language.denials import denied, looking_denied
from coach.language.hedges import REVISING, TakenBack
from coach.language.lines import absences, in_clause, key_line, phrase_forms, phrase_words
from coach.language.manner import faults, stems_at, tells_only_a_fault
from coach.language.match import Match
from coach.language.omissions import left_out
from coach.language.sending import sent_for
from coach.language.word_forms import same, stem
from coach.language.wrongly import done_wrongly

WEAK_SHARE = 0.4
"""Share of a line's words from which a step is worth offering."""

ONLY_LIKELY = 0.8
"""How much a step planned, hedged or taken back is worth offering, on the same scale."""

SOMEBODY = frozenset(
    "you your partner partner's colleague helper assistant rescuer somebody someone".split()
)
"""Words with which a part of a step for two is given to somebody."""

ASKING = frozenset("can could will would please".split())
"""First words of a question that asks somebody to do something."""

FOUND = 0.9
"""A finding is as good a word for its step as a line of keys is for another."""

CHOOSING = frozenset("go going use take pick choose select want using".split())


POINTING = frozenset("it it's they they're which that that's".split())
"""Words that point back to a thing named before."""

TELLING_STEMS = frozenset(stem(word) for word in TELLING)


def _part_matches(step: str, part: Part, words: Words, clause: Clause) -> list[Match]:
    matches = []
    found = in_clause(words, clause)
    for places, sure in found:
        covered = places | _denied_within(clause, places, [other for other, _ in found])
        bad = denied(clause, covered, max(places)) or _looks_denied(clause, places)
        matches.append(Match(step, part, None, places, bad, sure))
    for places, absent in absences(words, clause):
        bad = not absent or looking_denied(clause)
        matches.append(Match(step, part, None, places, bad, 0.85, found=not absent))
    for places in done_wrongly(words.signs, clause):
        sign = Match(step, part, None, places, True, 0.85, found=True, wrong=True, sign=True)
        matches.append(sign)
    beside = bool(matches)
    for places in done_wrongly(words.wrong, clause):
        told = Match(step, part, None, places, True, 0.85, found=True, wrong=True)
        matches.append(replace(told, alone=not beside))
    return matches


def _denied_within(
    clause: Clause, places: frozenset[int], others: Sequence[frozenset[int]]
) -> frozenset[int]:
    """The words before these places that tell of the same step with a denial of their own.

    "I don't trust that number, carbon monoxide fools the meter": the first denies not the second.
    """
    negators = {word.place for word in clause.words if word.text in NEGATORS}
    before = [other for other in others if other & negators and max(other) < min(places)]
    return frozenset[int]().union(*before)


def _looks_denied(clause: Clause, places: frozenset[int]) -> bool:
    """Whether a match leans on the denial of an act of looking ("I did not check")."""
    negators = {word.place for word in clause.words if word.text in NEGATORS}
    return bool(negators & places) and looking_denied(clause)


def _matches(step: StepWords, clause: Clause) -> list[Match]:
    matches = _part_matches(step.id, Part.DONE, step.done, clause)
    matches += _part_matches(step.id, Part.CLOCK_START, step.clock_start, clause)
    matches += _part_matches(step.id, Part.CLOCK_END, step.clock_end, clause)
    matches = _begun_or_done(matches, clause)
    matches += _part_matches(step.id, Part.PARTNER, step.partner, clause)
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


def _begun_or_done(matches: list[Match], clause: Clause) -> list[Match]:
    """Of the same words for the beginning and the end of an act those that their form tells.

    "I'm counting the breaths" begins what "I counted the breaths" tells as done.
    """
    texts = {word.place: word.text for word in clause.words}
    begun = {match.places for match in matches if match.part is Part.CLOCK_START}
    done = {match.places for match in matches if match.part is Part.DONE}
    past = {places for places in begun & done if any(texts[p].endswith("ed") for p in places)}
    return [
        match
        for match in matches
        if match.places not in begun & done
        or match.part is (Part.DONE if match.places in past else Part.CLOCK_START)
    ]


def _settled(
    matches: list[Match],
    order: dict[str, int],
    forbidden: frozenset[str],
    done: frozenset[str],
    clause: Clause,
) -> list[Match]:
    """Of matches that lean on the same words, the one that explains most of them.

    Of those that explain as many, an act that must not happen: "forcing the regulator on"; then
    what is still to be done, for who says again "no pulse" tells of the second check. What is done
    wrongly counts besides, unless it is such an act.
    """
    ranked = sorted(
        matches,
        key=lambda m: (
            -len(m.places),
            m.step not in forbidden,
            m.step in done and not m.denied,
            -max(m.sure, FOUND if m.found else 0.0),
            order[m.step],
            not m.found,
            m.part is not Part.CLOCK_END,
            m.part is not Part.DONE,
        ),
    )
    wrong = [match for match in ranked if match.wrong]
    kept: list[Match] = []
    used: set[int] = set()
    for match in _without_borrowed([m for m in ranked if not m.wrong], forbidden | done):
        fresh = match.places - used
        if 2 * len(fresh) > len(match.places) or not kept or _adds(match, used, clause):
            kept.append(match)
            used |= match.places
    acts = [m.places for m in kept if m.step in forbidden and not m.denied]
    return kept + [m for m in wrong if not any(m.places & places for places in acts)]


def _adds(match: Match, used: set[int], clause: Clause) -> bool:
    """Whether a match shares only the looking with one before it, and has a thing of its own.

    "I asked about allergies and about bleeding" asks for both.
    """
    looking = {w.place for w in clause.words if w.stem in LOOKING or w.text in {"about", "for"}}
    things, others = match.places - looking, used - looking
    if not match.places & looking & used or not things or not others or things & used:
        return False
    return any(
        max(things) < place < min(others) or max(others) < place < min(things)
        for place in clause.ands
    )


def _without_borrowed(matches: Sequence[Match], apart: frozenset[str]) -> list[Match]:
    """The matches but those that borrow words of another step, while their step has its own.

    "No damage and the washer is whole" tells of the washer by "washer whole", not by "no damage".
    Acts that must not happen and steps done, which are `apart`, neither lend nor borrow.
    """
    open_now = [match for match in matches if match.step not in apart]
    return [m for m in matches if m.step in apart or not _is_borrowing(m, open_now)]


def _is_borrowing(match: Match, matches: Sequence[Match]) -> bool:
    def alike(own: Match) -> bool:
        told = (own.step, own.part, own.denied, own.choice)
        return told == (match.step, match.part, match.denied, match.choice)

    lenders = [
        other
        for other in matches
        if other.step != match.step
        and other.places & match.places
        and match.start <= other.start
        and max(other.places) <= max(match.places)
        and not any(alike(own) and own.places <= other.places for own in matches)
    ]
    return any(
        alike(own)
        and own.sure >= match.sure
        and own.places & match.places
        and (own.start > max(other.places) or max(own.places) < other.start)
        for other in lenders
        for own in matches
    )


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
    taken_back: TakenBack | None = None,
) -> tuple[tuple[StepMention, ...], tuple[str, ...], float]:
    """Steps surely spoken of, as said; steps perhaps meant, likeliest first; the confidence.

    `taken_back`: what was then said of the last of the clauses.
    """
    moment = _Moment(suggested, done, due)
    order = moment.rank(steps)
    forbidden = frozenset(step.id for step in steps if step.forbidden)
    tellers = frozenset(step.id for step in steps if _tells(step))
    sure: list[Match] = []
    weak: dict[str, float] = {}
    last: list[Match] = []
    before: list[Match] = []
    for number, clause in enumerate(parts):
        matches = [match for step in steps for match in _matches(step, clause)]
        if not matches and number:
            matches = _pointing_back(steps, parts[number - 1], clause, lone=not before)
        spoken = {suggested, *(match.step for match in sure)}
        matches = [match for match in matches if not match.alone or match.step in spoken]
        before = matches
        if clause.mood is not Mood.PLAIN:
            if clause.mood in {Mood.PLAN, Mood.HEDGED, Mood.AMISS}:
                for match in matches:
                    weak[match.step] = max(weak.get(match.step, 0.0), ONLY_LIKELY)
            known, matches = matches, _surely_meant(steps, matches, clause)
            if not matches and (known or clause.mood is not Mood.HEDGED):
                continue
        elif (plan := told_plan(clause)) is not None:
            matches = [m for m in matches if min(m.places) < plan or m.step in tellers]
        if clause.mood is Mood.PLAIN:
            after = parts[number + 1].texts if number + 1 < len(parts) else ()
            well = _done_well(steps, matches, clause, after)
            for match in matches:
                if match not in well:
                    weak[match.step] = max(weak.get(match.step, 0.0), ONLY_LIKELY)
            if matches and not well:
                continue
            matches = well
        if clause.words[0].text in POINTING and last:
            matches = _not_of_it(matches, last, clause)
        if any(word.text == "you" for word in clause.words):
            spoken_to = [match for match in matches if match.step == suggested]
            matches = spoken_to or matches  # words to the patient do nothing but tell
        for match in _settled(matches, order, forbidden, done, clause):
            if _ambiguous(match, matches, moment):
                weak.update({m.step: 0.7 for m in matches if m.places == match.places})
            else:
                sure.append(match)
        if matches:
            last = [m for m in sure if m.places & {word.place for word in clause.words}]
        elif lacking := left_out(steps, clause, suggested):
            sure.append(lacking)
        else:
            for step in steps:
                weak[step.id] = max(weak.get(step.id, 0.0), _likeness(step, clause))
    sure = _without_answered(steps, sure, parts)
    if taken_back is not None:
        sure = _without_taken_back(parts, sure, last, taken_back)
        weak.update({m.step: ONLY_LIKELY for m in last if m not in sure})
    told: dict[str, StepMention] = {}
    texts = {word.place: word.text for clause in parts for word in clause.words}
    denials: dict[str, int] = {}
    for match in sorted(sure, key=lambda m: m.start):
        told.pop(match.step, None) if match.denied or match.part is not Part.DONE else None
        earlier = told.get(match.step)
        if match.denied:
            denials[match.step] = max(match.places)
        elif (
            earlier
            and earlier.denied
            and (
                _chosen_instead(earlier, match)
                or _revised(texts, denials[match.step], match, earlier.found)
            )
        ):
            earlier = None
        choice = match.choice or (earlier.choice if earlier else None)
        if earlier is None or match.denied or match.part is not Part.DONE:
            found = match.denied and match.found
            told[match.step] = StepMention(match.step, match.denied, match.part, choice, found)
        elif choice != earlier.choice:
            told[match.step] = replace(earlier, choice=choice)
    ranked = sorted(weak.items(), key=lambda item: (-item[1], order[item[0]]))
    apart = forbidden | told.keys()
    likely = tuple(s for s, share in ranked if share >= WEAK_SHARE and s not in apart)[:2]
    return tuple(told.values()), likely, max((m.sure for m in sure), default=0.0)


def _without_answered(
    steps: Sequence[StepWords], sure: list[Match], parts: Sequence[Clause]
) -> list[Match]:
    """The matches but the signs that a step told with them answers: "he gags, I take it out".

    Such a step names the sign in its own words.
    """
    signs = [match for match in sure if match.sign]
    if not signs:
        return sure
    stems = {word.place: word.stem for clause in parts for word in clause.words}
    told = {match.step for match in sure if not match.denied}
    own = {step.id: _own_stems(step) for step in steps if step.id in told}
    answered = [
        sign
        for sign in signs
        if sign.step not in told and any(stems[max(sign.places)] in words for words in own.values())
    ]
    return [match for match in sure if match not in answered]


def _done_well(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause, after: Sequence[str]
) -> list[Match]:
    """The matches but those of acts done in a wrong manner or at a wrong part of the body.

    "I put it on upside down", "over his eyes"; a step whose own words hold the manner is done so.
    `after` are the words of the next clause, which may tell the manner alone.
    """
    knows = {step.id: step.parts for step in steps}
    matches = [
        match
        for match in matches
        if match.denied or not at_another_part(match, clause, knows[match.step])
    ]
    manner = stems_at(clause.texts, faults(clause.texts))
    spoilt = bool(after) and tells_only_a_fault(after)
    if not manner and not spoilt:
        return matches
    if spoilt:
        manner |= stems_at(after, faults(after)) or {stem("too")}
    right = frozenset(step.id for step in steps if step.forbidden or manner <= _own_stems(step))
    return [match for match in matches if match.denied or match.step in right]


def _own_stems(step: StepWords) -> frozenset[str]:
    """The stems of all words with which a step may be told as done."""
    words = (step.done, step.clock_start, step.clock_end, step.partner, *step.choices.values())
    return frozenset(
        form
        for one in words
        for line in (*map(key_line, one.keys), *map(phrase_forms, one.phrases))
        for forms in line
        for form in forms
    )


def _not_of_it(matches: list[Match], before: Sequence[Match], clause: Clause) -> list[Match]:
    """The matches but those that lean on an "it" which means the thing of another step.

    "One seal, and it's not damaged" tells nothing of the cylinder.
    """
    steps = {match.step for match in before}
    first = clause.words[0].place
    return [
        match
        for match in matches
        if match.step in steps
        or match.sure == 1.0
        or (len(match.places) > 1 and first not in match.places)
    ]


def _surely_meant(steps: Sequence[StepWords], matches: list[Match], clause: Clause) -> list[Match]:
    """Of the matches in a clause that tells nothing plainly those that count even so."""
    if spoken := _done_by_saying(steps, matches, clause) or sent_for(matches, clause):
        return spoken
    if counted := _for_two_or_forbidden(steps, matches, clause):
        return counted
    match clause.mood:
        case Mood.AWAY:
            return _of_a_place(matches, clause)
        case Mood.HEDGED:
            return [m for m in matches if m.denied]
        case Mood.OTHERS:
            return [m for m in matches if m.found]
        case Mood.EARLIER:
            told = frozenset(step.id for step in steps if stem("history") in _own_stems(step))
            return [m for m in matches if m.step in told and not m.denied]
        case Mood.AMISS:
            return [
                m
                for m in matches
                if m.wrong or (m.found and _names_fault(m, clause)) or (m.denied and not m.found)
            ]
        case _:
            return []


def _names_fault(match: Match, clause: Clause) -> bool:
    """Whether the finding is the fault that is told: "too small", "full of blood"."""
    told = COMPLAINT.search(f" {' '.join(clause.texts)} ")
    texts = {word.place: word.text for word in clause.words}
    if told is None:
        return False
    faults = {*told[0].split(), *f" {' '.join(clause.texts)} "[told.end() :].split()[:1]}
    return any(texts[place] in faults for place in match.places)


def _for_two_or_forbidden(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause
) -> list[Match]:
    """Of the matches those of a step for two that is given to somebody, or of a forbidden plan.

    "You squeeze the bag", "can you squeeze the bag", "my partner is going to squeeze it".
    """
    sent = " ".join(clause.texts[:2]) in REQUESTS  # "bring me the mask" sends somebody
    asking = clause.mood is Mood.QUESTION and clause.texts[0] not in ASKING and not sent
    if clause.head in SUPPOSING or asking:
        return []
    found: list[str] = []
    if clause.mood is Mood.PLAN:
        found += [step.id for step in steps if step.forbidden]
    if clause.mood in {Mood.PLAN, Mood.OTHERS} or SOMEBODY & set(clause.texts) or sent:
        found += [step.id for step in steps if step.for_two]
    return [match for match in matches if match.step in found]


def _without_taken_back(
    parts: Sequence[Clause], sure: Sequence[Match], last: Sequence[Match], how: TakenBack
) -> list[Match]:
    """The matches after the last of them were taken back.

    What was told as a denial stays: "it's not leaking, no it isn't" only says so again.
    """
    denying = {
        word.place
        for clause in parts
        if any(word.text in NEGATORS for word in clause.words)
        for word in clause.words
    }
    back = [match for match in last if not match.denied and not match.places & denying]
    kept = [match for match in sure if match not in back]
    if how is TakenBack.DENIED:
        kept += [replace(match, denied=True) for match in back]
    return kept


def _chosen_instead(denial: StepMention, match: Match) -> bool:
    """Whether one choice is named instead of the one denied: "not awake, she answers to pain"."""
    named = denial.choice is not None and match.choice is not None
    return named and not denial.found and match.choice != denial.choice


def _revised(texts: Mapping[int, str], denial_end: int, match: Match, found: bool) -> bool:
    """Whether a word between a denial and a later confirmation makes the later one count.

    After a bad finding not the "no" of a good one itself: "he has ulcers and no bleeding".
    """
    places = set(range(denial_end + 1, max(match.places))) - (match.places if found else set())
    return any(
        texts.get(place, "") in REVISING
        and (place in match.places or not _names_absence(texts, place))
        for place in places
    )


def _names_absence(texts: Mapping[int, str], place: int) -> bool:
    """Whether a "no" there says of what follows that it is not there: "no clotting problems"."""
    following = texts.get(place + 1, "")
    goes_on = SUBJECTS | NEW_SUBJECTS | DETERMINERS | REVISING | NEGATORS
    return texts[place] == "no" and bool(following) and following not in goes_on


def _of_a_place(matches: Sequence[Match], clause: Clause) -> list[Match]:
    """Matches that lean on the place where a thing lies: it lies where it should."""
    places = {word.place for word in clause.words if word.text in PLACES}
    return [match for match in matches if match.places & places]


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
    found = [match for step in steps for match in _matches(step, both)]
    return [m for m in found if min(m.places) < first < max(m.places) and not m.found]


def _done_by_saying(
    steps: Sequence[StepWords], matches: list[Match], clause: Clause
) -> list[Match]:
    """Of the steps in a plan those that are done by saying it.

    They are a choice ("I'll go with the mask"), a promise that sets a limit ("I'll go only as far
    as I can see"), what is asked for the patient ("he needs to be examined"), and telling the
    patient ("I'm going to give you some oxygen").
    """
    if clause.mood is not Mood.PLAN:
        return []
    texts = {word.place: word.text for word in clause.words}
    if any(word.text in CHOOSING for word in clause.words):
        chosen = [match for match in matches if match.choice]
        if chosen:
            return chosen
    said_so = LIMITS | IN_VIEW | DEMANDS
    promised = [m for m in matches if any(texts[p] in said_so for p in m.places)]
    if promised:
        return promised
    if not {"you", "your"} & set(texts.values()):
        return []
    tellers = frozenset(step.id for step in steps if _tells(step))
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
