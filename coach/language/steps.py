"""Which of the open steps an utterance speaks of, surely or perhaps, done or denied."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from coach.core.meaning import Part, StepMention
from coach.language.clause_words import LOOKING, NEGATORS, OMISSIONS
from coach.language.clauses import Clause, Mood, Word, denied, looking_denied
from coach.language.context import StepWords, Words
from coach.language.word_forms import same, stem

EMPTY_WORDS = frozenset(
    "a an the my your his her its their this that these those is are was were be been am i we it"
    " i'm i've it's have has had having did do does of for at with and then now just also so okay"
    " ok um uh well please to me you they there here got get some".split()
)
"""Words of a phrase that need not be said again."""

WEAK_SHARE = 0.4
"""Share of a line's words from which a step is worth offering."""

CHOOSING = frozenset("go going use take pick choose select want using".split())

LOOKING_FOR = LOOKING - {stem("test")}
"""Acts that look for a finding; "test" is as often a noun ("the test date")."""

ANYTHING = frozenset({"anything", "nothing", "something", "none"})


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


@lru_cache(maxsize=4096)
def _line(line: str) -> tuple[frozenset[str], ...]:
    return tuple(frozenset(stem(word) for word in part.split("/")) for part in line.lower().split())


@lru_cache(maxsize=4096)
def _phrase(phrase: str) -> tuple[str, ...]:
    words = phrase.lower().replace(",", " ").replace(".", " ").split()
    full = tuple(stem(word) for word in words if word not in EMPTY_WORDS)
    return full or tuple(stem(word) for word in words)


def _place_of(wanted: Iterable[str], words: Sequence[Word], taken: list[int]) -> int | None:
    for word in words:
        if word.place not in taken and any(same(word.stem, form) for form in wanted):
            return word.place
    return None


def _found(line: Sequence[Iterable[str]], words: Sequence[Word]) -> frozenset[int] | None:
    """Places of all words of a line where they stand closest together, in its order if they can;
    None if one lacks."""
    width = 2 * len(line) + 4
    best: tuple[int, bool, frozenset[int]] | None = None
    for start in range(len(words) if line else 0):
        taken: list[int] = []
        for wanted in line:
            place = _place_of(wanted, words[start : start + width], taken)
            if place is None:
                break
            taken.append(place)
        else:
            found = (max(taken) - min(taken), taken != sorted(taken), frozenset(taken))
            if best is None or found[:2] < best[:2]:
                best = found
    return best[2] if best else None


def _in_clause(words: Words, clause: Clause) -> list[tuple[frozenset[int], float]]:
    """Every line of the words that the clause holds, with how sure it is."""
    found: list[tuple[frozenset[int], float]] = []
    content = [word for word in clause.words if word.text not in EMPTY_WORDS]
    for phrase in words.phrases:
        parts = _phrase(phrase)
        whole = len(parts) == len(content) and all(
            same(word.stem, part) for word, part in zip(content, parts, strict=True)
        )
        if whole and content:
            found.append((frozenset(word.place for word in content), 1.0))
        elif len(parts) >= 2:
            places = _found([{part} for part in parts], clause.words)
            if places is not None and _as_written(parts, clause.words, places, content):
                found.append((places, 0.95))
    for line in words.keys:
        places = _found(_line(line), clause.words)
        if places is not None:
            found.append((places, 0.9))
    return found


def _as_written(
    parts: Sequence[str], words: Sequence[Word], places: frozenset[int], content: Sequence[Word]
) -> bool:
    """Whether words found are close enough to the phrase: two in its order, a denial unbroken.

    "Not leaking" is not in "I did not check for leaks".
    """
    found = [word for word in words if word.place in places]
    if len(parts) == 2 and not all(same(w.stem, p) for w, p in zip(found, parts, strict=True)):
        return False
    if not any(word.text in NEGATORS for word in found):
        return True
    order = [word.place for word in content]
    spots = sorted(order.index(word.place) for word in found if word.place in order)
    return spots == list(range(spots[0], spots[0] + len(spots))) if spots else True


def _absences(words: Words, clause: Clause) -> list[tuple[frozenset[int], bool]]:
    """Findings spoken of, and whether they are said to be absent.

    One that was only looked for ("I checked for leaks") says neither.
    """
    result = []
    for line in words.absent:
        wanted = [
            forms | ({stem(w) for w in ANYTHING} if forms & {stem("anything")} else frozenset())
            for forms in _line(line)
        ]
        places = _found(wanted, clause.words)
        if places is None:
            continue
        own = frozenset(
            word.place
            for word in clause.words
            if word.place in places and word.text not in ANYTHING
        )
        absent = denied(clause, own, max(places), finding=True)
        if absent or not any(word.stem in LOOKING_FOR for word in clause.words):
            result.append((places, absent))
    return result


def _part_matches(step: str, part: Part, words: Words, clause: Clause) -> list[Match]:
    matches = []
    for places, sure in _in_clause(words, clause):
        bad = denied(clause, places, max(places)) or _looks_denied(clause, places)
        matches.append(Match(step, part, None, places, bad, sure))
    for places, absent in _absences(words, clause):
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
        for places, sure in _in_clause(words, clause)
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
    for clause in parts:
        matches = [match for step in steps for match in _matches(step, clause)]
        if clause.mood is Mood.PLAN and _chooses(clause):
            matches = [match for match in matches if match.choice]
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
        if not matches and (left_out := _left_out(steps, clause)):
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


def _left_out(steps: Sequence[StepWords], clause: Clause) -> Match | None:
    """The step of which only the thing is named after a verb of omission: "I forgot the gloves"."""
    verbs = [word.place for word in clause.words if word.text in OMISSIONS]
    if not verbs or denied(clause, frozenset(verbs), verbs[0]):
        return None
    things = [w for w in clause.words if w.place > verbs[0] and w.text not in EMPTY_WORDS]
    found = {
        step.id: word.place
        for step in steps
        for line in step.done.keys
        for word in things
        if any(same(word.stem, form) for form in _line(line)[0])
    }
    if len(found) != 1:
        return None
    step_id, place = next(iter(found.items()))
    return Match(step_id, Part.DONE, None, frozenset({place}), True, 0.8)


def _chooses(clause: Clause) -> bool:
    """Whether a plan is a choice, which is made by saying it: "I'll go with the mask"."""
    return any(word.text in CHOOSING for word in clause.words)


def _likeness(step: StepWords, clause: Clause) -> float:
    """The largest share of a written line's words that the clause holds."""
    best = 0.0
    lines = [_line(key) for key in step.done.keys]
    lines += [tuple(frozenset({part}) for part in _phrase(p)) for p in step.done.phrases]
    for line in lines:
        if len(line) < 2:
            continue
        hits = sum(
            any(same(word.stem, f) for word in clause.words for f in forms) for forms in line
        )
        best = max(best, hits / len(line))
    return best
