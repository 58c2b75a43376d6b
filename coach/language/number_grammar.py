"""Every number that begins at a word: the grammar of how whole numbers and fractions are said.

All functions take the words and a place and yield what may begin there; none of them chooses.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from coach.language.number_words import (
    DIGITS,
    FRACTIONS,
    LETTER_ZEROS,
    MAY_BEGIN,
    MINUSES,
    POINTS,
    REPEATS,
    SCALES,
    TEENS,
    TENS,
    ZEROS,
)

LONGEST_DIGIT_STRING = 6
"""More digits than any gauge shows; a longer string is no reading."""

Words = Sequence[str]


@dataclass(frozen=True, slots=True)
class Said:
    """One way to read words as a number: where it ends, its value, and how it was said.

    `strength` tells what outweighs what when two ways end at the same word: 1 is a number said
    outright, 0 is a guess at a way that is not quite settled.
    """

    end: int
    value: float
    as_words: bool = False
    as_digits: bool = False
    as_numeral: bool = False
    strength: int = 1


def numbers_at(words: Words, at: int) -> Iterator[Said]:
    """All numbers that begin at a word, of every length."""
    if (first := _word(words, at)) not in MAY_BEGIN and not first[:1].isdigit():
        return
    yield from _unsigned(words, at)
    if _word(words, at) in MINUSES:
        for said in _unsigned(words, at + 1):
            yield replace(said, value=-said.value)
            if words[at] == "negative":
                # on the radio "negative" is a no: "negative, sixteen hundred"
                yield said


def _unsigned(words: Words, at: int) -> Iterator[Said]:
    for whole in _whole(words, at):
        yield whole
        yield from _decimals(words, whole)
        yield from _mixed(words, whole)
    yield from _point_first(words, at)
    yield from _fraction(words, at)


def _whole(words: Words, at: int) -> Iterator[Said]:
    for end, value in _numeral(words, at):
        yield Said(end, value, as_numeral=True)
        yield from _scaled(words, at, end, value)
    for end, value in _below_hundred(words, at):
        yield Said(end, value, as_words=True)
    for end, value in _hundreds(words, at):
        yield Said(end, value, as_words=True)
    for end, value in _thousands(words, at):
        yield Said(end, value, as_words=True)
    yield from _in_pairs(words, at)
    for end, text in digit_strings(words, at):
        if len(text) > 1 or text == "0":
            numeral = all(word.isdigit() for word in words[at:end])
            yield Said(end, float(text), as_digits=not numeral, as_numeral=numeral)


def _word(words: Words, at: int) -> str:
    return words[at] if 0 <= at < len(words) else ""


def is_numeral(word: str) -> bool:
    """Whether a word is a number in figures that a float holds without loss."""
    digits = word.replace(".", "", 1)
    return word[:1].isdecimal() and len(word) <= 9 and digits.isascii() and digits.isdecimal()


def _numeral(words: Words, at: int) -> Iterator[tuple[int, float]]:
    word = _word(words, at)
    if is_numeral(word):
        yield at + 1, float(word)
        after = _word(words, at + 1)
        if len(word) == 1 and len(after) == 3 and after.isascii() and after.isdecimal():
            yield at + 2, float(word + after)


def _scaled(words: Words, at: int, end: int, value: float) -> Iterator[Said]:
    """Figures with a scale in words: "17 hundred", "1.5 thousand"."""
    scale = SCALES.get(_word(words, end))
    if scale:
        yield Said(end + 1, value * scale, as_numeral=True)


def _ones(words: Words, at: int) -> Iterator[tuple[int, int]]:
    word = _word(words, at)
    if word in DIGITS:
        yield at + 1, DIGITS[word]


def _two_digits(words: Words, at: int) -> Iterator[tuple[int, int]]:
    """10 to 99 in words."""
    word = _word(words, at)
    if word in TEENS:
        yield at + 1, TEENS[word]
    elif word in TENS:
        yield at + 1, TENS[word]
        for end, one in _ones(words, at + 1):
            yield end, TENS[word] + one


def _below_hundred(words: Words, at: int) -> Iterator[tuple[int, int]]:
    yield from _ones(words, at)
    yield from _two_digits(words, at)


def _article(words: Words, at: int, scale: str) -> Iterator[int]:
    """Where "a hundred", "hundred" ends."""
    if _word(words, at) == "a" and _word(words, at + 1) == scale:
        yield at + 2
    elif _word(words, at) == scale and _word(words, at - 1) != "a":
        yield at + 1


def _rest(words: Words, at: int, places: int) -> Iterator[tuple[int, int]]:
    """What may follow a hundred (two places) or a thousand (three): "and ten", "five zero"."""
    yield at, 0
    after_and = at + 1 if _word(words, at) == "and" else at
    for end, value in _below_hundred(words, after_and):
        if value >= 10 or not is_digit(_word(words, end)):
            yield end, value
    if places == 3:
        for end, value in _small_hundreds(words, after_and):
            yield end, value
    for end, text in digit_strings(words, at, leading_letter=True):
        fits = len(text) == places or (len(text) == 2 and text[0] == "0")
        if fits and not is_digit(_word(words, end)):
            yield end, int(text)


def _small_hundreds(words: Words, at: int) -> Iterator[tuple[int, int]]:
    for end, hundreds in _ones(words, at):
        if _word(words, end) == "hundred":
            for last, rest in _rest(words, end + 1, 2):
                yield last, hundreds * 100 + rest


def _hundreds(words: Words, at: int) -> Iterator[tuple[int, int]]:
    """ "a hundred and ten", "seventeen hundred", "two hundred five"."""
    for end, hundreds in _below_hundred(words, at):
        if _word(words, end) == "hundred":
            for last, rest in _rest(words, end + 1, 2):
                yield last, hundreds * 100 + rest
    for end in _article(words, at, "hundred"):
        for last, rest in _rest(words, end, 2):
            yield last, 100 + rest


def _thousands(words: Words, at: int) -> Iterator[tuple[int, int]]:
    """ "one thousand seven hundred", "a thousand and fifty", "two thousand one five zero"."""
    for end, thousands in (*_below_hundred(words, at), *_small_hundreds(words, at)):
        if _word(words, end) == "thousand":
            for last, rest in _rest(words, end + 1, 3):
                yield last, thousands * 1000 + rest
    for end in _article(words, at, "thousand"):
        for last, rest in _rest(words, end, 3):
            yield last, 1000 + rest


def _in_pairs(words: Words, at: int) -> Iterator[Said]:
    """Digits by groups: "seventeen fifty", "one ten", "nineteen oh five", "seventeen double oh"."""
    for middle, head in _two_digits(words, at):
        for end, tail in _two_digits(words, middle):
            yield Said(end, head * 100 + tail, as_words=True)
        # in "twenty two five" nobody means "twenty" and then "two five" for sure
        split = _word(words, middle - 1) in TENS and _word(words, middle) in DIGITS
        for end, text in digit_strings(words, middle, leading_letter=True):
            if len(text) == 2 and not is_digit(_word(words, end)):
                value = head * 100 + int(text)
                yield Said(end, value, as_words=True, strength=0 if split else 1)
        tail_word = _word(words, middle)
        ends = not _is_number_word(_word(words, middle + 1))
        last_oh = tail_word in LETTER_ZEROS and middle + 1 == len(words)
        if ends and not split and (tail_word in DIGITS or tail_word in ZEROS or last_oh):
            # "seventeen five" is said for 175 and, less often, for 1705
            tail = DIGITS.get(tail_word, 0)
            yield Said(middle + 1, head * 10 + tail, as_words=True, strength=0)
            yield Said(middle + 1, head * 100 + tail, as_words=True, strength=0)
    for middle, head in _ones(words, at):
        for end, tail in _two_digits(words, middle):
            yield Said(end, head * 100 + tail, as_words=True)
        ten = _digit(words, middle)
        if ten is not None:
            for end, tail in _two_digits(words, middle + 1):
                yield Said(end, head * 1000 + int(ten) * 100 + tail, as_words=True)


def _is_number_word(word: str) -> bool:
    return is_digit(word) or word in TEENS or word in TENS or word in SCALES


def is_digit(word: str) -> bool:
    """Whether a word can be one digit of a number said digit by digit."""
    return word in DIGITS or word in ZEROS or word in LETTER_ZEROS


def digit_strings(words: Words, at: int, leading_letter: bool = False) -> Iterator[tuple[int, str]]:
    """Digits said one by one from a place, at every length: (end, "1700").

    "oh" begins a string only where `leading_letter` allows it, inside a longer number.
    """
    text = ""
    if not leading_letter and _word(words, at) in LETTER_ZEROS:
        return
    while len(text) < LONGEST_DIGIT_STRING:
        times = REPEATS.get(_word(words, at), 1)
        at += 1 if times > 1 else 0
        digit = _digit(words, at)
        if digit is None:
            return
        text += digit * times
        at += 1
        yield at, text


def _digit(words: Words, at: int) -> str | None:
    word = _word(words, at)
    if word in DIGITS:
        return str(DIGITS[word])
    if word in ZEROS:
        return "0"
    if word in LETTER_ZEROS:
        return None if _word(words, at + 1) in _AFTER_EXCLAMATION else "0"
    return word if len(word) == 1 and word.isdigit() else None


_AFTER_EXCLAMATION = frozenset({"no", "wait", "sorry", "god", "my", "well", "okay", "dear", "yes"})
"""Words before which "oh" is an exclamation: "five oh no six"."""


def _decimals(words: Words, whole: Said) -> Iterator[Said]:
    if _word(words, whole.end) in POINTS and whole.value == int(whole.value):
        for end, fraction in _after_point(words, whole.end + 1):
            value = float(f"{int(whole.value)}.{fraction}")
            yield Said(end, value, whole.as_words, whole.as_digits, whole.as_numeral)
            scale = SCALES.get(_word(words, end))
            if scale:
                yield Said(end + 1, value * scale, as_words=True)


def _point_first(words: Words, at: int) -> Iterator[Said]:
    """ "point five", "oh point five"; "at this point five ..." is no decimal point."""
    start = at + 1 if _word(words, at) in LETTER_ZEROS else at
    pointed = _word(words, start) in POINTS
    if pointed and _word(words, start - 1) not in {"this", "that", "the", "which", "what", "a"}:
        for end, fraction in _after_point(words, start + 1):
            yield Said(end, float(f"0.{fraction}"), as_words=True)


def _after_point(words: Words, at: int) -> Iterator[tuple[int, str]]:
    yield from digit_strings(words, at, leading_letter=True)
    for end, value in _two_digits(words, at):
        yield end, str(value)


def _fraction(words: Words, at: int) -> Iterator[Said]:
    for phrase, value in FRACTIONS.items():
        if tuple(words[at : at + len(phrase)]) == phrase:
            yield Said(at + len(phrase), value, as_words=True)


def _mixed(words: Words, whole: Said) -> Iterator[Said]:
    """ "two and a half", "two and a half thousand"."""
    if _word(words, whole.end) != "and" or whole.value != int(whole.value):
        return
    for part in _fraction(words, whole.end + 1):
        value = whole.value + part.value
        yield Said(part.end, value, as_words=True)
        scale = SCALES.get(_word(words, part.end))
        if scale:
            yield Said(part.end + 1, value * scale, as_words=True)
