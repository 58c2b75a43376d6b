"""What the words around a number say of it: guessed, taken back, corrected, said once more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from enum import Enum, auto

from coach.core.units import RATES, Quantity
from coach.language.number_words import FILLERS, LEADS


def _phrases(listed: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(phrase.split()) for phrase in listed.split("|"))


_HEDGES_BEFORE = _phrases(
    """
    about | around | roughly | approximately | approx | almost | nearly | maybe | perhaps |
    possibly | probably | like | near | under | over | above | below | i think | i guess |
    i believe | i suppose | i'd say | i would say | something like | somewhere | close to |
    less than | more than | at least | at most | not quite | looks like | looks to be |
    look like | seems | might be | could be | should be | must be | let's say |
    in the region of | ballpark | between | not sure
    """
)
_HEDGES_AFTER = _phrases(
    """
    or so | ish | odd | maybe | perhaps | probably | roughly | approximately | i think |
    i guess | i believe | i suppose | thereabouts | or thereabouts | more or less |
    give or take | or something | and change | and a bit | or a bit more | or a bit less |
    not sure | i'm not sure
    """
)
_CORRECTIONS = _phrases(
    """
    no | nope | nah | sorry | wait | i mean | i meant | make that | make it | correction |
    scratch that | strike that | forget that | disregard | disregard that | actually | rather |
    or rather | instead | hold on | hang on | my mistake | my bad | oops | whoops | excuse me |
    pardon | i said | should be | should read | should have been | let me check |
    let me correct that | that's wrong | that is wrong | that's not right
    """
)
_WITHDRAWN = _phrases(
    """
    scratch that | strike that | forget that | disregard | disregard that | never mind |
    nevermind
    """
)
_UNSETTLED = _phrases(
    """
    no | nope | wait | sorry | hold on | hang on | let me check | oops | that's wrong |
    that is wrong | that's not right
    """
)
_SMALL_WORDS = FILLERS | LEADS
_HEDGE_GLUE = frozenset("just a bit little tad slightly of only what it he she then".split())
_AS_FELT = frozenset(
    "strong weak fast slow regular irregular thready full bounding steady rapid even".split()
)
"""How a pulse or a breath is, which may stand before its number: "the pulse is strong, ninety"."""

_LEADING = (
    _SMALL_WORDS | _AS_FELT | _HEDGE_GLUE | {word for phrase in _HEDGES_BEFORE for word in phrase}
)
_NEGATIONS = frozenset("not isn't isnt wasn't wasnt aint ain't".split())
_AFTER_NEGATION = frozenset("at is it reading the a on to set".split())

_BEFORE_TO = frozenset(
    "set turned turn dialed dialled up down flow it adjusted changed opened open go going goes "
    "went bumped cranked increased decreased dropped close now regulator flowmeter meter back over "
    "needle climbs climbed climbing rises jumps jumped swings swung pegged dialed".split()
)
_BEFORE_ON = frozenset(
    "i'm im is it's its now flow still him her patient them running it needle needle's dial "
    "dial's".split()
)
_ANYWHERE_BEFORE = _SMALL_WORDS - frozenset("to on put an of my the a i call".split())

_BY_THE_CLOCK = frozenset(
    "work school class lunch dinner breakfast shift practice train bus bed game meeting"
    " party".split()
)
"""What begins or goes at a time of day: "I've got work at six"."""

_ALSO_BEFORE = _AS_FELT | frozenset("a an than or between from off him her them".split())

_FOLLOW = FILLERS | frozenset(
    "but so by via through at is it its it's that's which because since i i'm i've we we're the "
    "not left remaining steady total thanks thank in on with over by long wide "
    "he's she's he she there's i'll systolic fits".split()
)
_ON_WHAT = frozenset("the this my room air oxygen o2 high a".split())
_INSTRUMENTS = frozenset(
    "gauge dial meter flowmeter regulator cylinder tank bottle monitor oximeter screen display air "
    "flow pressure non nonrebreather nrb oxygen scale".split()
)

QUANTITY_NAMES: dict[str, Quantity] = {
    "gauge": Quantity.PRESSURE,
    "pressure": Quantity.PRESSURE,
    "cylinder": Quantity.PRESSURE,
    "tank": Quantity.PRESSURE,
    "needle": Quantity.PRESSURE,
    "flow": Quantity.FLOW,
    "flowmeter": Quantity.FLOW,
    "sat": Quantity.SATURATION,
    "sats": Quantity.SATURATION,
    "saturation": Quantity.SATURATION,
    "spo2": Quantity.SATURATION,
    "ox": Quantity.SATURATION,
    "satting": Quantity.SATURATION,
    "pulse": Quantity.PULSE_RATE,
    "radial": Quantity.PULSE_RATE,
    "wrist": Quantity.PULSE_RATE,
    "respirations": Quantity.BREATHING_RATE,
    "resps": Quantity.BREATHING_RATE,
    "resp": Quantity.BREATHING_RATE,
    "rr": Quantity.BREATHING_RATE,
    "breathing": Quantity.BREATHING_RATE,
    "heart": Quantity.PULSE_RATE,
    "hr": Quantity.PULSE_RATE,
    "rate": Quantity.RATE,
    "vacuum": Quantity.VACUUM,
    "glucose": Quantity.GLUCOSE,
    "sugar": Quantity.GLUCOSE,
    "bgl": Quantity.GLUCOSE,
    "bg": Quantity.GLUCOSE,
    "pain": Quantity.COUNT,
    "severity": Quantity.COUNT,
    "dose": Quantity.DOSE,
    "peep": Quantity.AIRWAY_PRESSURE,
    "cpap": Quantity.AIRWAY_PRESSURE,
    "pull": Quantity.PULL,
    "traction": Quantity.PULL,
}
"""What a number beside such a word is of."""

_BEFORE_A_NAME = frozenset("on in for at".split())
_BEFORE_THE_NAME = frozenset("the a my his her this that our room radial resting".split())

_BREATHED_OR_CLIPPED: dict[tuple[str, str], Quantity] = {
    ("on", "air"): Quantity.SATURATION,
    ("on", "finger"): Quantity.SATURATION,
    ("on", "meter"): Quantity.GLUCOSE,
}
"""What a number is of by what the patient breathes meanwhile, or where the clip sits."""

EXTENTS = {"long": Quantity.LENGTH, "wide": Quantity.SIZE}
"""Words after a bare number that tell what was measured: "one thirty long"."""

_GOING = frozenset("go goes went gone going come comes came back again returned".split())
"""Words of a pulse that tell no rate: it goes at a pressure, and is back at a pressure."""

_ALSO_HAVE_GAUGES = frozenset({Quantity.VACUUM, Quantity.BLOOD_PRESSURE, Quantity.AIRWAY_PRESSURE})


class Relation(Enum):
    """What a number is to the one before it."""

    SEPARATE = auto()
    ONCE_MORE = auto()
    CORRECTED = auto()
    CHOICE = auto()


def is_hedged(
    words: Sequence[str], breaks: Set[int], start: int, end: int, earliest: int, latest: int
) -> bool:
    """Whether the number at `start` to `end` is a guess; other numbers lie beyond the bounds."""
    lead = words[_lead_in(words, breaks, start, earliest) : start]
    if _in(lead, _HEDGES_BEFORE) or _ends(words[earliest:start], _HEDGES_BEFORE):
        return True
    return any(
        _begins(words[at:latest], _HEDGES_AFTER) for at in _after_fillers(words, end, latest)
    )


def hedge_within(words: Sequence[str], at: int) -> int:
    """How many words of a hedge stand between a number and its unit: "fifteen hundred ish psi"."""
    return max(
        (len(p) for p in (("ish",), ("odd",), ("or", "so")) if tuple(words[at : at + len(p)]) == p),
        default=0,
    )


def is_counting(said: Sequence[str]) -> bool:
    """Whether "one two three" may be a count before a lift rather than 123."""
    count = "one two three four five six".split()
    return len(said) > 2 and list(said) in (count[: len(said)], count[len(said) - 1 :: -1])


def is_denied(words: Sequence[str], start: int, earliest: int) -> bool:
    """Whether the number is what it is not: "not fifteen", "it's not at fifteen"."""
    at = start - 1
    while at >= earliest and words[at] in _AFTER_NEGATION:
        at -= 1
    return at >= earliest and words[at] in _NEGATIONS


def named_quantity(
    words: Sequence[str], breaks: Set[int], start: int, earliest: int, asked: Quantity | None
) -> Quantity | None:
    """The quantity a bare number is of: the one named just before it, else the one asked for."""
    for at in range(start - 1, _lead_in(words, breaks, start, earliest) - 1, -1):
        named = QUANTITY_NAMES.get(words[at])
        if named is None:
            named = QUANTITY_NAMES.get(words[at].removesuffix("'s"))
        if named is None:
            continue
        if named is Quantity.PRESSURE and asked in _ALSO_HAVE_GAUGES:
            return asked
        if named is Quantity.GLUCOSE and asked is Quantity.DOSE:
            return asked  # sugar is what is given
        if named in RATES and asked is Quantity.COUNT:
            return asked  # what was counted is no rate yet
        going = not _GOING.isdisjoint(words[at + 1 : start])
        if named in RATES and asked is Quantity.BLOOD_PRESSURE and going:
            return asked  # where the pulse under a cuff goes or comes back
        return named
    return asked


def named_behind(words: Sequence[str], breaks: Set[int], end: int) -> Quantity | None:
    """The quantity named right behind a bare number that ends there: "two thousand on the gauge",
    "ninety two for the pulse", "ninety six on room air"."""
    if end >= len(words) or end - 1 in breaks or words[end] not in _BEFORE_A_NAME:
        return None
    rest = [word for word in words[end + 1 : end + 4] if word not in _BEFORE_THE_NAME]
    if not rest:
        return None
    return _BREATHED_OR_CLIPPED.get((words[end], rest[0])) or QUANTITY_NAMES.get(rest[0])


def is_placed(
    words: Sequence[str], breaks: Set[int], start: int, end: int, earliest: int, latest: int
) -> bool:
    """Whether a bare number stands where a reading stands, and is not a count of something else.

    "The gauge reads seventeen hundred now" is one; "two hands on it" and "step two" are not.
    """
    return _led_in(words, breaks, start, earliest) and (
        _followed(words, breaks, end, latest) or _only_described(words, start, end)
    )


def relation(gap: Sequence[str], before: Sequence[str]) -> Relation:
    """What the words between two numbers make the second one; `before` led up to the first."""
    between = [word for word in gap if word not in {"um", "uh", "er", "erm", "ah"}]
    if not between:
        return Relation.ONCE_MORE
    rest = _without(between, _CORRECTIONS)
    if len(rest) < len(between) and _is_small(rest):
        return Relation.CORRECTED
    if between in (["to"], ["up", "to"], ["down", "to"]):
        return Relation.CORRECTED if "from" in before[-3:] else Relation.CHOICE
    hedged = _without(between, _HEDGES_BEFORE)
    if hedged[:1] == ["or"] and _is_small(hedged[1:]):
        return Relation.CHOICE
    if hedged == ["and"] and "between" in before[-4:]:
        return Relation.CHOICE
    return Relation.ONCE_MORE if _is_small(between) and "and" not in between else Relation.SEPARATE


def is_withdrawn(rest: Sequence[str]) -> bool:
    """Whether the words after the last number take it back for good."""
    return _in(rest, _WITHDRAWN) and _is_small(_without(rest, (*_WITHDRAWN, *_CORRECTIONS)))


def is_unsettled(rest: Sequence[str]) -> bool:
    """Whether the speaker broke off after the last number: "seventeen hundred, no wait"."""
    left = _without(rest, _UNSETTLED)
    return len(left) < len(rest) and _is_small(left)


def _is_small(words: Iterable[str]) -> bool:
    return all(word in _SMALL_WORDS or word in _HEDGE_GLUE for word in words)


def _lead_in(words: Sequence[str], breaks: Set[int], start: int, earliest: int) -> int:
    """Where the words that lead up to a number, without a pause, begin."""
    at = start
    while at > earliest and at - 1 not in breaks and _leads(words[at - 1]):
        at -= 1
    return at


def _leads(word: str) -> bool:
    """Whether a word leads up to a number, also with its "is": "the tank's at fifteen hundred"."""
    return word in _LEADING or (word.endswith("'s") and word[:-2] in QUANTITY_NAMES)


def _after_fillers(words: Sequence[str], end: int, latest: int) -> Iterable[int]:
    yield end
    while end < latest and words[end] in FILLERS:
        end += 1
        yield end


def _led_in(words: Sequence[str], breaks: Set[int], start: int, earliest: int) -> bool:
    if start == earliest or start - 1 in breaks or _ends(words[earliest:start], _CORRECTIONS):
        return True
    before = words[start - 1]
    earlier = words[start - 2] if start - 2 >= earliest else ""
    if before == "anymore" or (earlier in {"any", "no"} and before in {"longer", "more"}):
        return True  # "I don't feel it any longer, one ten"
    if before == "to":
        return start - 1 == earliest > 0 or earlier in _BEFORE_TO
    if before == "at" and earlier in _BY_THE_CLOCK:
        return False
    if before == "on":
        return earlier in _BEFORE_ON or start - 1 == earliest
    if before == "with":
        return earlier in {"go", "going", "went", "start"}
    if before == "of":
        return earlier in LEADS
    if before in {"make", "call", "that", "it"}:
        return (earlier, before) in {
            ("make", "that"),
            ("make", "it"),
            ("call", "it"),
            ("say", "it"),
        }
    named = before.endswith("'s") and before[:-2] in QUANTITY_NAMES
    if named or before in _ANYWHERE_BEFORE or before in _ALSO_BEFORE:
        return True
    return _ends(words[earliest:start], _HEDGES_BEFORE)


def _followed(words: Sequence[str], breaks: Set[int], end: int, latest: int) -> bool:
    if end >= latest or end - 1 in breaks:
        return True
    if named_behind(words, breaks, end) is not None:
        return True
    after = words[end]
    beyond = words[end + 1 : end + 3]
    if after in {"on", "in"}:
        if after == "in" and beyond[:1] in (["it"], ["there"], ["here"]):
            return True
        return bool(beyond) and beyond[0] in _ON_WHAT and any(w in _INSTRUMENTS for w in beyond)
    if after == "with":
        return bool(beyond) and beyond[0] in {"the", "a"}
    if (after in QUANTITY_NAMES or after in {"bp", "blood"}) and latest < len(words):
        return True  # it names the number behind it: "pulse ninety respirations eighteen"
    if after in _FOLLOW or after in {"or", "to"}:
        return True
    return _begins(words[end:latest], (*_HEDGES_AFTER, *_CORRECTIONS, *_WITHDRAWN))


def _only_described(words: Sequence[str], start: int, end: int) -> bool:
    """Whether nothing is said but a number and how it was measured: "three hundred, kinked"."""
    return start == 0 and len(words) == end + 1 and words[end].endswith("ed")


def _begins(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> bool:
    return any(tuple(words[: len(phrase)]) == phrase for phrase in phrases)


def _ends(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> bool:
    return any(tuple(words[-len(phrase) :]) == phrase for phrase in phrases)


def _in(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> bool:
    return len(_without(words, phrases)) < len(words)


def _without(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> list[str]:
    """The words that belong to none of the phrases; the longest phrase at a place is taken."""
    ordered = sorted(phrases, key=len, reverse=True)
    left: list[str] = []
    at = 0
    while at < len(words):
        taken = next((p for p in ordered if tuple(words[at : at + len(p)]) == p), None)
        if taken is None:
            left.append(words[at])
        at += len(taken) if taken else 1
    return left
