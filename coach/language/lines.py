"""Where in a clause the written words of a step stand: its phrases, key lines and findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from coach.language.clause import Clause, Word
from coach.language.clause_words import BE, DETERMINERS, LOOKING, NEGATORS
from coach.language.context import Words
from coach.language.dates import EXPIRY, is_over
from coach.language.denials import denied
from coach.language.normal import tokens
from coach.language.numbers import find_numbers
from coach.language.spelling import joined, meant
from coach.language.word_forms import same, stem

EMPTY_WORDS = frozenset(
    "a an the my your his her its their this that these those is are was were be been am i we it"
    " i'm i've it's have has had having did do does of for at with and then now just also so okay"
    " ok um uh well please to me you they there here got get some".split()
)
"""Words of a phrase that need not be said again."""

LEAD_FILLERS = frozenset("okay ok alright well um uh".split())
NUMBER_GLUE = frozenset("and number numbers position positions".split())
NUMBER_STEMS = frozenset(map(stem, "zero one two three four five six seven eight nine".split()))

PUTTING_ON = frozenset(
    "put puts putting pull pulls pulled pulling slip slips slipped slipping have has got get"
    " getting try trying with going go it her him and turn turned turning".split()
)
"""Words before "on" or "in" of which these are a part: "I have on my gloves"."""

LOOKING_FOR = LOOKING - {stem("test")}
"""Acts that look for a finding; "test" is as often a noun ("the test date")."""

ANYTHING = frozenset({"anything", "nothing", "something", "none"})


@lru_cache(maxsize=4096)
def key_line(line: str) -> tuple[frozenset[str], ...]:
    """The stems of a line of keys, those of which one is enough together."""
    return tuple(frozenset(stem(word) for word in part.split("/")) for part in line.lower().split())


@lru_cache(maxsize=4096)
def phrase_words(phrase: str) -> tuple[str, ...]:
    """The stems of the words of a phrase that must be said."""
    words = [token.word for token in joined(meant(tokens(phrase)))]
    full = tuple(stem(word) for word in words if word not in EMPTY_WORDS)
    return full or tuple(stem(word) for word in words)


@lru_cache(maxsize=4096)
def phrase_forms(phrase: str) -> tuple[frozenset[str], ...]:
    """The words of a phrase as a line of keys with one word each."""
    return tuple(frozenset({part}) for part in phrase_words(phrase))


def all_said(line: Sequence[frozenset[str]], stems: frozenset[str]) -> bool:
    """Whether each word of a line is among the stems; most lines are settled by their first."""
    return all(not forms.isdisjoint(stems) or _nearly_said(forms, stems) for forms in line)


@lru_cache(maxsize=65536)
def _nearly_said(forms: frozenset[str], stems: frozenset[str]) -> bool:
    return any(same(one, form) for form in forms for one in stems)


def _without_lead(clause: Clause) -> tuple[Word, ...]:
    """The words after "okay" and the like, which are no finding there ("okay, the face ...")."""
    start = next((n for n, w in enumerate(clause.words) if w.text not in LEAD_FILLERS), 0)
    return clause.words[start:]


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


def in_clause(
    words: Words, clause: Clause, unsaid: frozenset[str] = frozenset()
) -> list[tuple[frozenset[int], float]]:
    """Every line of the words that the clause holds, with how sure it is.

    `unsaid` are stems that need not be said here, since the clause does what they tell.
    """
    found: list[tuple[frozenset[int], float]] = []
    said = _without_lead(clause)
    stems = frozenset(word.stem for word in said)
    content = [word for word in said if word.text not in EMPTY_WORDS]
    numbers_and_more = [word for word in content if word.text not in NUMBER_GLUE]
    for phrase in words.phrases:
        parts = phrase_words(phrase)
        if content and (_is_whole(parts, content) or _is_whole(_without_who(parts), content)):
            found.append((frozenset(word.place for word in content), 1.0))
        elif len(parts) >= 2:
            wanted = phrase_forms(phrase)
            places = _found(wanted, said) if all_said(wanted, stems) else None
            if places is not None and _as_written(parts, said, places, content):
                found.append((places, 0.95))
    for line in words.keys:
        forms = key_line(line)
        if unsaid and len(forms) > 1:
            forms = tuple(one for one in forms if unsaid.isdisjoint(one)) or forms
        places = _found(forms, said) if all_said(forms, stems) else None
        if places is not None and (_lies_on(forms, said, places) or _leads_on(said, places)):
            continue
        if places is None or (_only_numbers(forms) and len(places) < len(numbers_and_more)):
            continue
        found.append((places, 0.9))
    return [
        (places, sure)
        for places, sure in found
        if not _cuts_a_number(clause, places) and not _within_subject(said, places)
    ]


def _is_whole(parts: Sequence[str], content: Sequence[Word]) -> bool:
    """Whether a phrase is all that is said."""
    return len(parts) == len(content) and all(
        same(word.stem, part) for word, part in zip(content, parts, strict=True)
    )


@lru_cache(maxsize=4096)
def _without_who(parts: tuple[str, ...]) -> tuple[str, ...]:
    """A phrase that somebody has or does nothing, without who: "no questions", of "she has no
    questions"; no part of any other."""
    who = parts[:1] in (("she",), ("he",), ("they",)) and parts[1:2] == ("no",)
    return parts[1:] if who else ()


def _cuts_a_number(clause: Clause, places: frozenset[int]) -> bool:
    """Whether a digit counts that is only a part of a number: the zero of "one one zero zero"."""
    digits = {word.place for word in clause.words if word.stem in NUMBER_STEMS} & places
    if not digits:
        return False
    spans = (
        {word.place for word in clause.words[start:end]}
        for start, end in _numbers(tuple(clause.texts))
    )
    return any(digits & span and not span <= places for span in spans)


@lru_cache(maxsize=4096)
def _numbers(texts: tuple[str, ...]) -> tuple[tuple[int, int], ...]:
    return tuple((number.start, number.end) for number in find_numbers(texts))


def _lies_on(line: Sequence[frozenset[str]], words: Sequence[Word], places: frozenset[int]) -> bool:
    """Whether the thing of a line is only where something else lies: "oil on my gloves"."""
    for before, word in pairwise([w for w in words if w.text not in DETERMINERS]):
        if {before.place, word.place} == places and before.text in {"on", "in"}:
            at = words.index(before)
            earlier = words[at - 1].text if at else ""
            return word.stem in line[0] and at > 0 and earlier not in PUTTING_ON
    return False


def _leads_on(words: Sequence[Word], places: frozenset[int]) -> bool:
    """Whether a "no" of the words belongs to what follows it.

    "The pulse is there, no breathing" tells of no missing pulse; "not about medicines" of nothing.
    """
    if any(
        one.place in places and one.text == "not" and other.text == "about"
        for one, other in pairwise(words)
    ):
        return True
    last = max(places)
    return any(word.place == last and word.text in {"no", "without"} for word in words) and any(
        word.place > last for word in words
    )


def _within_subject(words: Sequence[Word], places: frozenset[int]) -> bool:
    """Whether an "on" or "in" only tells which thing is spoken of, before any verb.

    "The suction on our old rig was always clogged", "the bag on this mask has a hole in it".
    """
    texts = [word.text for word in words]
    for at, word in enumerate(words[:-1]):
        if word.text not in {"on", "in"} or word.place not in places or not at:
            continue
        verbs = [place for place, text in enumerate(texts) if text in BE]
        owned = texts[at + 1] in DETERMINERS | {"this", "that", "our", "these", "those"}
        if owned and texts[0] in DETERMINERS | {"our"} and verbs and min(verbs) > at + 2:
            return True
    return False


def _excluded(clause: Clause, finding: frozenset[int]) -> bool:
    """ "Contraindications have been ruled out", "the gurgling is gone", but not "isn't gone".

    Not where it is the finding itself that something is gone: "the pulse is gone".
    """
    become = {  # "his toes have gone numb": it has come, and not left
        one.place for one, other in pairwise(clause.words) if other.place in finding
    }
    words = [
        word
        for word in clause.words
        if word.place not in finding and not (word.text == "gone" and word.place in become)
    ]
    texts = [word.text for word in words]
    gone = {("ruled", "out"), ("ruling", "out")}
    return any(
        (word in {"excluded", "gone", "stopped", "disappeared"} and before not in NEGATORS)
        or (before, word) in gone
        for before, word in pairwise(["", *texts])
    )


@lru_cache(maxsize=4096)
def _only_numbers(line: tuple[frozenset[str], ...]) -> bool:
    """Whether a line is numbers only ("two five"), which must be all that is said."""
    return all(form in NUMBER_STEMS or form.isdigit() for forms in line for form in forms)


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


def absences(words: Words, clause: Clause) -> list[tuple[frozenset[int], bool]]:
    """Findings spoken of, and whether they are said to be absent.

    One that was only looked for ("I checked for leaks") says neither.
    """
    result = []
    stems = frozenset(word.stem for word in clause.words)
    for line in words.absent:
        wanted = [
            forms | ({stem(w) for w in ANYTHING} if forms & {stem("anything")} else frozenset())
            for forms in key_line(line)
        ]
        for number, places in enumerate(_each_time(wanted, clause.words, stems)):
            if _leads_on(clause.words, places):
                continue
            own = frozenset(
                word.place
                for word in clause.words
                if word.place in places and word.text not in ANYTHING
            )
            absent = denied(clause, own, max(places), finding=True) or _excluded(clause, own)
            if any(word.place in own and word.stem == EXPIRY for word in clause.words):
                over = is_over(clause.texts)
                if over is None:
                    continue
                absent = absent or not over
            if number and not absent and _is_listed(clause, own):
                continue
            if absent or not any(word.stem in LOOKING_FOR for word in clause.words):
                result.append((places, absent))
    good = frozenset[int]().union(*(places for places, absent in result if absent))
    return [
        (places, absent)
        for places, absent in result
        if absent or not _denies_other(clause.words, places, good)
    ]


def _each_time(
    wanted: Sequence[frozenset[str]], words: Sequence[Word], stems: frozenset[str]
) -> Iterator[frozenset[int]]:
    """Each time that the words tell a finding: "no tears and some holes" does it twice."""
    first = _found(wanted, words) if all_said(wanted, stems) else None
    if first is None:
        return
    yield first
    for forms in wanted:
        others = list(words)
        places = first
        while True:
            others = [
                w
                for w in others
                if w.place not in places or not any(same(w.stem, form) for form in forms)
            ]
            again = _found(wanted, others)
            if again is None:
                break
            yield again
            places = again


def _is_listed(clause: Clause, places: frozenset[int]) -> bool:
    """Whether a finding only goes on with one before it: "no tears and holes"."""
    return min(places) - 1 in clause.ands


def _denies_other(words: Sequence[Word], places: frozenset[int], good: frozenset[int]) -> bool:
    """Whether the first of the words is the "no" of another finding, which is thereby absent.

    "No obstruction, airway open" tells of no airway that is not open.
    """
    first = min(places)
    if not any(word.place == first and word.text == "no" for word in words):
        return False
    following = [word.place for word in words if word.place > first]
    return bool(following) and following[0] in good - places
