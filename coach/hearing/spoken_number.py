"""How numbers are said, as an automaton over words, and what such a row of words is worth. Pure.

It knows digits in a row ("one seven oh oh"), hundreds and thousands ("seventeen hundred and
fifty"), pairs ("seventeen fifty"), decimals and halves. What is not said so is not forbidden: the
search only pays for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum, auto

DIGITS = dict(
    zip("one two three four five six seven eight nine".split(), range(1, 10), strict=True)
)
ZEROS = frozenset({"zero", "oh"})
TEENS = dict(
    zip(
        "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(),
        range(10, 20),
        strict=True,
    )
)
TENS = dict(
    zip(
        "twenty thirty forty fifty sixty seventy eighty ninety".split(),
        range(20, 100, 10),
        strict=True,
    )
)
HALF = "half"
DOUBLE = "double"
NUMBER_WORDS = frozenset(
    {*DIGITS, *ZEROS, *TEENS, *TENS, "hundred", "thousand", "point", HALF, DOUBLE}
)


class Place(Enum):
    """How far a number has been said."""

    OUTSIDE = auto()
    ZERO = auto()
    DIGIT = auto()
    DIGITS = auto()
    TEEN = auto()
    TEN = auto()
    TEN_DIGIT = auto()
    PAIR = auto()
    HUNDRED = auto()
    THOUSAND = auto()
    REST_DIGIT = auto()
    REST = auto()
    AND = auto()
    POINT = auto()
    DECIMAL = auto()
    DOUBLED = auto()
    ARTICLE = auto()
    END = auto()


_FIRST = {
    "digit": Place.DIGIT,
    "zero": Place.ZERO,
    "teen": Place.TEEN,
    "ten": Place.TEN,
    "hundred": Place.HUNDRED,
    "thousand": Place.THOUSAND,
    "point": Place.POINT,
    "half": Place.END,
    "double": Place.DOUBLED,
}
_ROW = {
    "digit": Place.DIGITS,
    "zero": Place.DIGITS,
    "double": Place.DOUBLED,
    "point": Place.POINT,
}
_REST = {
    "digit": Place.REST_DIGIT,
    "zero": Place.REST_DIGIT,
    "teen": Place.REST,
    "ten": Place.REST,
    "and": Place.AND,
}
_NEXT: dict[Place, dict[str, Place]] = {
    Place.OUTSIDE: _FIRST,
    Place.ARTICLE: {"hundred": Place.HUNDRED, "thousand": Place.THOUSAND, "half": Place.END},
    Place.DIGIT: {
        "digit": Place.DIGITS,
        "zero": Place.DIGITS,
        "double": Place.DOUBLED,
        "teen": Place.PAIR,
        "ten": Place.TEN,
        "hundred": Place.HUNDRED,
        "thousand": Place.THOUSAND,
        "point": Place.POINT,
        "and": Place.AND,
    },
    Place.ZERO: _ROW,
    Place.DIGITS: _ROW,
    Place.DOUBLED: {"digit": Place.DIGITS, "zero": Place.DIGITS},
    Place.TEEN: {
        "hundred": Place.HUNDRED,
        "thousand": Place.THOUSAND,
        "teen": Place.PAIR,
        "ten": Place.TEN,
        "zero": Place.DIGITS,
        "double": Place.DOUBLED,
        "point": Place.POINT,
        "and": Place.AND,
    },
    Place.TEN: {
        "digit": Place.TEN_DIGIT,
        "hundred": Place.HUNDRED,
        "thousand": Place.THOUSAND,
        "teen": Place.PAIR,
        "ten": Place.TEN,
        "zero": Place.DIGITS,
        "double": Place.DOUBLED,
        "point": Place.POINT,
        "and": Place.AND,
    },
    Place.TEN_DIGIT: {
        "hundred": Place.HUNDRED,
        "thousand": Place.THOUSAND,
        "teen": Place.PAIR,
        "ten": Place.TEN,
        "point": Place.POINT,
        "and": Place.AND,
    },
    Place.PAIR: {"point": Place.POINT, "and": Place.AND},
    Place.HUNDRED: _REST,
    Place.THOUSAND: _REST,
    Place.REST_DIGIT: {
        "hundred": Place.HUNDRED,
        "digit": Place.REST_DIGIT,
        "zero": Place.REST_DIGIT,
        "and": Place.AND,
    },
    Place.REST: {"digit": Place.REST_DIGIT, "zero": Place.REST_DIGIT},
    Place.AND: {**_REST, "half": Place.END, "article": Place.ARTICLE},
    Place.POINT: {"digit": Place.DECIMAL, "zero": Place.DECIMAL, "teen": Place.END},
    Place.DECIMAL: {"digit": Place.DECIMAL, "zero": Place.DECIMAL},
    Place.END: {},
}


def _kind(word: str) -> str | None:
    """What part of a number a word is, None for any other word."""
    if word in DIGITS:
        return "digit"
    if word in ZEROS:
        return "zero"
    if word in TEENS:
        return "teen"
    if word in TENS:
        return "ten"
    if word in {"hundred", "thousand", "point", HALF, DOUBLE, "and"}:
        return word
    return "article" if word == "a" else None


def step(place: Place, word: str) -> tuple[Place, bool]:
    """Where a word leads to, and whether that is how numbers are said; OUTSIDE for other words."""
    kind = _kind(word)
    following = _NEXT[place].get(kind) if kind else None
    if following is not None:
        return following, True
    if kind == "article":
        return Place.ARTICLE, True
    if word not in NUMBER_WORDS:
        return Place.OUTSIDE, True
    return _FIRST[kind or ""], place in {Place.OUTSIDE, Place.ARTICLE}


def number_spans(words: Sequence[str]) -> list[tuple[int, int]]:
    """First and last-but-one places of the numbers in a row of words, each as long as may be."""
    spans: list[tuple[int, int]] = []
    place, start, end = Place.OUTSIDE, 0, 0
    for at, word in enumerate([*words, ""]):
        before, (place, lawful) = place, step(place, word)
        inside = word in NUMBER_WORDS
        if (
            end > start
            and (not lawful or place in {Place.OUTSIDE, Place.ARTICLE})
            and (before is not Place.AND or place is not Place.ARTICLE)
        ):
            spans.append((start, end))
            start = end = at
        if inside:
            start = at if end <= start else start
            end = at + 1
    return spans


def value(words: Sequence[str]) -> float | None:
    """What one number said in words is worth; None where it cannot be told."""
    head, _, tail = " ".join(words).partition(" point ")
    if words[:1] == ["point"]:
        head, tail = "", " ".join(words[1:])
    whole = _whole(head.split())
    if whole is None:
        return None
    if tail:
        digits = _in_a_row(tail.split())
        return float(f"{int(whole)}.{digits}") if digits else None
    return whole


def _whole(words: Sequence[str]) -> float | None:
    if HALF in words:
        rest = [word for word in words if word not in {HALF, "and", "a"}]
        below = _whole(rest) if rest else 0.0
        return None if below is None else below + 0.5
    if "thousand" in words:
        return _scaled(words, "thousand", 1000)
    if "hundred" in words:
        return _scaled(words, "hundred", 100)
    digits = _in_a_row([word for word in words if word != "and"])
    return float(digits) if digits else 0.0 if not words else None


def _scaled(words: Sequence[str], scale: str, factor: int) -> float | None:
    at = list(words).index(scale)
    head = [word for word in words[:at] if word not in {"a", "and"}]
    tail = [word for word in words[at + 1 :] if word != "and"]
    times = _whole(head) if head else 1.0
    rest = _whole(tail) if tail else 0.0
    return None if times is None or rest is None else times * factor + rest


def _in_a_row(words: Sequence[str]) -> str:
    """The figures of "one seven oh oh", "seventeen fifty", "twenty two"; empty if there is none."""
    figures = ""
    for at, word in enumerate(words):
        times = 2 if at and words[at - 1] == DOUBLE else 1
        if word in DIGITS:
            after_ten = at > 0 and words[at - 1] in TENS
            figures = figures[: -1 if after_ten else None] + str(DIGITS[word]) * times
        elif word in ZEROS:
            figures += "0" * times
        elif word in TEENS or word in TENS:
            figures += str(TEENS.get(word) or TENS[word])
        elif word != DOUBLE:
            return ""
    return figures
