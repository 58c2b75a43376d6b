"""Numbers in a row of words, with every value they can mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import combinations

from coach.language.number_grammar import Said, digit_strings, is_digit, is_numeral, numbers_at
from coach.language.number_units import UNIT_WORDS, unit_at
from coach.language.number_words import (
    BEFORE_SCALES,
    DIGITS,
    FILLERS,
    GRAMMAR_WORDS,
    LETTER_ZEROS,
    ONE_LEADS,
    SCALES,
    SCORED,
    SWAPS,
    TEENS,
    TENS,
    ZEROS,
)

_POINTING = frozenset(
    "this that the other another each every which first second third any some same wrong new old "
    "next last bigger smaller larger left right big small".split()
)
"""Words after which "one" stands for a thing."""

_AFTER_OXYGEN = frozenset({"sat", "sats", "saturation", "tank", "cylinder"})
"""Words before which "oh two" is the gas."""

_STATES = frozenset(
    "is are was were be being at reads read shows says said gives gave counts measures".split()
)
"""Words right before a number that is told of something."""

_FRACTIONS_ALONE = frozenset({"half", "quarter", "quarters"})

_COUNTED_WITH = frozenset({*DIGITS, *ZEROS, *TEENS, *TENS, *SCALES}) | _FRACTIONS_ALONE


@dataclass(frozen=True, slots=True)
class SpokenNumber:
    """A number at words `start` to `end` (not included).

    `values` are all it can mean, the likelier first: one as a rule, two when the words truly have
    two meanings. `in_words` and `in_digits` tell how it was said; both, when it was said twice
    ("fifteen, one five"), which settles what sounds alike. `in_figures` was written "15".
    `sound_alikes` are the values it would have if a teen were a ten, or the other way round, if
    "a hundred" were "eight hundred", or if a word had been lost before "hundred" or a zero at the
    end of a row of digits. `misheard`: one of its words is a small word that sounds like a digit.
    """

    start: int
    end: int
    values: tuple[float, ...]
    in_words: bool = False
    in_digits: bool = False
    in_figures: bool = False
    sound_alikes: tuple[float, ...] = ()
    misheard: bool = False


def find_numbers(words: Sequence[str], breaks: Set[int] = frozenset()) -> list[SpokenNumber]:
    """The numbers in lower-case words, longest first from the left.

    `breaks` are the places of words after which the speaker paused: no number reaches across, but
    after "thousand", between digits said one by one, and when it is said once more in digits.
    """
    found: list[SpokenNumber] = []
    at = 0
    while at < len(words):
        number = _number_at(words, at, breaks)
        if number is not None and _is_meant(words, number, breaks):
            found.append(number)
            at = number.end
        else:
            at += 1
    return found


def number_words() -> frozenset[str]:
    """Every word of the number grammar and of the units, for a recogniser's lexicon."""
    spoken = {word for word in UNIT_WORDS if word.isalpha()}
    return GRAMMAR_WORDS | spoken


def tells_a_number(text: str) -> bool:
    """Whether a plain text (lower case, no punctuation) has something of a number or a unit in it.

    The small words between numbers ("a", "and") and letters that may be of a unit are not enough.
    """
    words = text.split()
    return any(
        word in _COUNTED_WITH or word.isdecimal() or _unit_begins(words, at)
        for at, word in enumerate(words)
    )


def states_a_number(text: str) -> bool:
    """Whether a text says of something what number it is: "the pain is eleven"; "I put on two
    straps" does not."""
    words = text.split()
    numbers = find_numbers(words)
    if not numbers or any(word not in FILLERS for word in words[numbers[-1].end :]):
        return False
    before = [word for word in words[: numbers[-1].start] if word not in FILLERS][-2:]
    return any(word in _STATES or word.endswith("'s") for word in before)


def _unit_begins(words: Sequence[str], at: int) -> bool:
    unit = unit_at(words, at)
    return unit is not None and len("".join(words[at : at + unit[0]])) > 1


def _number_at(words: Sequence[str], at: int, breaks: Set[int]) -> SpokenNumber | None:
    if words[at] == "one" and at and words[at - 1] in _POINTING and not _told(words, at - 1):
        every = words[at - 1] in {"every", "each"} and has_unit(words, at + 1)
        if not every:
            return None
    if words[at] == "two" and _is_oxygen(words, at):
        return None
    ways = [
        way for way in (*_once(words, at), *_twice(words, at)) if _unbroken(words, at, way, breaks)
    ]
    if not ways:
        return None
    end = max(way.end for way in ways)
    longest = sorted((way for way in ways if way.end == end), key=lambda way: -way.strength)
    values = tuple(dict.fromkeys(float(way.value) for way in longest))
    main = [way for way in longest if way.value == values[0]]
    in_digits = any(way.as_digits for way in main)
    alike = _sound_alikes(words[at:end], values)
    if in_digits and words[end - 1] in ZEROS | LETTER_ZEROS:
        alike = (*alike, values[0] * 10)
    return SpokenNumber(
        at,
        end,
        values,
        in_words=any(way.as_words for way in main),
        in_digits=in_digits,
        in_figures=any(way.as_numeral for way in main),
        sound_alikes=alike,
    )


def _told(words: Sequence[str], at: int) -> bool:
    """Whether "that" belongs to "make that" and its kin, after which a number may follow."""
    return words[at] in {"that", "this"} and at > 0 and words[at - 1] in {"make", "say", "call"}


def _once(words: Sequence[str], at: int) -> Iterator[Said]:
    yield from numbers_at(words, at)


def _twice(words: Sequence[str], at: int) -> Iterator[Said]:
    """A number said in words and again in digits, in either order, or repeated word by word."""
    for first in numbers_at(words, at):
        if first.value < 10:
            continue
        if first.as_words:
            for end, text in digit_strings(words, first.end):
                if text[0] != "0" and float(text) == first.value:
                    yield Said(end, first.value, as_words=True, as_digits=True, strength=2)
        length = first.end - at
        again = words[first.end : first.end + length]
        if first.as_words and list(again) == list(words[at : first.end]):
            yield Said(first.end + length, first.value, as_words=True, strength=0)
        if first.as_digits:
            for second in numbers_at(words, first.end):
                if second.as_words and second.value == first.value:
                    yield Said(second.end, first.value, as_words=True, as_digits=True, strength=2)


def _unbroken(words: Sequence[str], at: int, way: Said, breaks: Set[int]) -> bool:
    """Whether the pauses within a number are such as a speaker makes there."""
    inner = [place for place in range(at, way.end - 1) if place in breaks]
    if not inner:
        return True
    if way.as_words and way.as_digits:
        return len(inner) == 1
    if all(is_digit(word) or is_numeral(word) for word in words[at : way.end]):
        return len(inner) == way.end - at - 1 and len(inner) > 1
    return all(words[place] == "thousand" for place in inner)


def _is_meant(words: Sequence[str], number: SpokenNumber, breaks: Set[int]) -> bool:
    """Whether the words are a number here, and not a pronoun, a letter or a turn of phrase."""
    said = tuple(words[number.start : number.end])
    before = words[number.start - 1] if number.start else ""
    if said[-1] in _FRACTIONS_ALONE and len(said) <= 2 and "and" not in said:
        return _stands_alone(words, number) or has_unit(words, number.end)
    if said == ("one",):
        if before == "no" and number.start - 1 not in breaks:
            return False
        if list(words[number.end :]) == ["point"]:
            return True
        if number.end == len(words) and (before in SCORED or _is_a_score(words[: number.start])):
            return True
        return _stands_alone(words, number) or has_unit(words, number.end)
    return True


def _is_a_score(before: Sequence[str]) -> bool:
    """Whether "that's a" or the like leads up to a last "one"."""
    return tuple(before[-2:]) in {("that's", "a"), ("it's", "a"), ("is", "a"), ("are", "a")}


def _is_oxygen(words: Sequence[str], at: int) -> bool:
    """Whether the "two" is that of O2 or SpO2, as the ear may have parted them."""
    before = tuple(words[max(0, at - 2) : at])
    if before[-1:] in {("o",), ("spo",)} or before in {("p", "oh"), ("sp", "oh")}:
        return True
    return before[-1:] == ("oh",) and (*words[at + 1 : at + 2], "")[0] in _AFTER_OXYGEN


def _stands_alone(words: Sequence[str], number: SpokenNumber) -> bool:
    others = (*words[: number.start], *words[number.end :])
    return all(word in FILLERS or word in ONE_LEADS for word in others)


def has_unit(words: Sequence[str], at: int) -> bool:
    """Whether a unit begins here, or after the "a" of "half a liter"."""
    return unit_place(words, at) is not None


def unit_place(words: Sequence[str], at: int) -> int | None:
    """Where the unit of a number that ends here begins, if it has one."""
    half = words[at - 1] in _FRACTIONS_ALONE if at else False
    for skipped in ((), ("of", "a"), ("a",)) if half else ((),):
        start = at + len(skipped)
        if tuple(words[at:start]) == skipped and unit_at(words, start):
            return start
    return None


def _sound_alikes(words: Sequence[str], values: tuple[float, ...]) -> tuple[float, ...]:
    """The values of the same words with teens and tens exchanged, nearest first, and then those
    with another word before "hundred".

    "fifty five" keeps its ten: "fifteen five" is not said.
    """
    if not words:
        return ()
    places = [
        place
        for place, word in enumerate(words)
        if word in SWAPS and not (word in TENS and _next(words, place) in DIGITS)
    ]
    heard: list[float] = []
    for count in range(1, len(places) + 1):
        for chosen in combinations(places, count):
            heard += _whole_values(
                [SWAPS[w] if place in chosen else w for place, w in enumerate(words)]
            )
    first, second = words[0], _next(words, 0)
    if first in SCALES:
        heard += [v for lost in BEFORE_SCALES for v in _whole_values([lost, *words])]
    elif first in {"a", "eight"} and second in SCALES:
        other = "eight" if first == "a" else "a"
        heard += _whole_values([other, *words[1:]])
    half = len(words) // 2
    if words[:half] == words[half:]:
        heard += _sound_alikes(words[:half], ())
    return tuple(value for value in dict.fromkeys(heard) if value not in values)


def _whole_values(words: Sequence[str]) -> list[float]:
    """What the words mean where they are one number, said outright, from first to last."""
    return [
        float(way.value) for way in _once(words, 0) if way.end == len(words) and way.strength > 0
    ]


def _next(words: Sequence[str], place: int) -> str:
    return words[place + 1] if place + 1 < len(words) else ""
