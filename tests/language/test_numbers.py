"""Numbers said in every way, there and back; what has two meanings is told; words are not taken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.language.normal import tokens
from coach.language.numbers import SpokenNumber, find_numbers, number_words, tells_a_number
from coach.trade.wording import cardinal, digit_words
from coach.trade.wording import number_words as wording_of

ONES = "zero one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "_ _ twenty thirty forty fifty sixty seventy eighty ninety".split()

HIGHEST = 3999


def numbers_in(text: str) -> list[SpokenNumber]:
    said = tokens(text)
    pauses = {place for place, token in enumerate(said) if token.break_after}
    return find_numbers([token.word for token in said], pauses)


def values_of(text: str) -> tuple[float, ...]:
    """The values of a text that is one number from its first word to its last; () otherwise."""
    found = numbers_in(text)
    whole = len(found) == 1 and (found[0].start, found[0].end) == (0, len(tokens(text)))
    return found[0].values if whole else ()


# Ways of saying, written apart from the grammar: from the value to the words.


def below_hundred(n: int) -> str:
    if n < 10:
        return ONES[n]
    if n < 20:
        return TEENS[n - 10]
    return TENS[n // 10] + (f" {ONES[n % 10]}" if n % 10 else "")


def digit_ways(text: str) -> Iterator[str]:
    """ "1700": one seven zero zero, one seven oh oh, one seven double zero ..."""
    for zero in ("zero", "oh", "nought"):
        if zero == "oh" and text[0] == "0":
            continue
        words = [zero if d == "0" else ONES[int(d)] for d in text]
        yield " ".join(words)
        for times, name in ((2, "double"), (3, "triple")):
            if len(text) > times and len(set(text[-times:])) == 1:
                yield " ".join([*words[:-times], name, words[-1]])


def with_rest(head: str, rest: int) -> Iterator[str]:
    """A round number and what follows it, with and without "and"."""
    if rest == 0:
        yield head
        return
    yield f"{head} {below_hundred(rest)}"
    yield f"{head} and {below_hundred(rest)}"


def hundreds_ways(n: int) -> Iterator[str]:
    """99 < n < 10,000 counted in hundreds."""
    heads = [f"{below_hundred(n // 100)} hundred"]
    if n < 200:
        heads += ["a hundred", "hundred"]
    for head in heads:
        yield from with_rest(head, n % 100)


def thousands_ways(n: int) -> Iterator[str]:
    heads = [f"{below_hundred(n // 1000)} thousand"]
    if n < 2000:
        heads.append("a thousand")
    for head in heads:
        if n % 1000 < 100:
            yield from with_rest(head, n % 1000)
        else:
            for tail in hundreds_ways(n % 1000):
                if not tail.startswith(("a ", "hundred")):
                    yield f"{head} {tail}"


def pair_ways(n: int) -> Iterator[str]:
    """ "seventeen fifty", "nineteen oh five", "seventeen double oh", "one ten"."""
    head, tail = divmod(n, 100)
    if head < 1:
        return
    first = below_hundred(head)
    if tail >= 10:
        yield f"{first} {below_hundred(tail)}"
        if head >= 10:
            yield f"{ONES[head // 10]} {ONES[head % 10]} {below_hundred(tail)}"
    if head >= 10:
        if tail == 0:
            yield from (f"{first} double oh", f"{first} oh oh", f"{first} zero zero")
        elif tail < 10:
            yield from (f"{first} oh {ONES[tail]}", f"{first} zero {ONES[tail]}")


def ways(n: int) -> set[str]:
    """Every way of saying a whole number that this program promises to know."""
    said = {below_hundred(n)} if n < 100 else set(hundreds_ways(n))
    said |= set(digit_ways(str(n))) if n != 0 else {"zero", "nought"}
    if n >= 1000:
        said |= set(thousands_ways(n))
    said |= set(pair_ways(n))
    return said


@cache
def meanings() -> dict[str, frozenset[int]]:
    """Every sentence of `ways` for 0 to HIGHEST, with all the numbers it is a way of saying."""
    found: dict[str, set[int]] = defaultdict(set)
    for n in range(HIGHEST + 1):
        for sentence in ways(n):
            found[sentence].add(n)
    for n in range(10, 100):
        # the same words twice are the number twice, or a number of four digits
        both = {n, n * 101}
        found[f"{below_hundred(n)} {below_hundred(n)}"] |= both
        for digits in digit_ways(str(n)):
            found[f"{below_hundred(n)} {digits}"] |= both
            found[f"{digits} {below_hundred(n)}"] |= both
    return {sentence: frozenset(values) for sentence, values in found.items()}


@pytest.mark.parametrize("thousand", range(4))
def test_every_way_of_saying_a_number_comes_back(thousand: int) -> None:
    wrong = {
        sentence: (sorted(expected), values_of(sentence))
        for sentence, expected in meanings().items()
        if min(expected) // 1000 == thousand
        and len(expected) == 1
        and set(values_of(sentence)) != set(map(float, expected))
    }
    assert wrong == {}


def test_what_has_two_meanings_is_told_with_both() -> None:
    wrong = {
        sentence: (sorted(expected), values_of(sentence))
        for sentence, expected in meanings().items()
        if len(expected) > 1 and not set(map(float, expected)) <= set(values_of(sentence))
    }
    assert wrong == {}


@pytest.mark.parametrize("lang", ["en", "en_GB"])
def test_cardinals_and_years_of_num2words_come_back(lang: str) -> None:
    # num2words (PyPI, LGPL): an outside speller of numbers
    for n in range(HIGHEST + 1):
        assert values_of(num2words(n, lang=lang)) == (float(n),), n
        if n >= 1000 and n % 1000 >= 10:
            assert float(n) in values_of(num2words(n, lang=lang, to="year")), n


@given(st.integers(0, 99), st.integers(1, 99))
def test_decimals_of_num2words_come_back(whole: int, hundredths: int) -> None:
    value = float(f"{whole}.{hundredths:02}")
    assert values_of(num2words(value, lang="en")) == (value,)


@pytest.mark.parametrize("n", range(0, HIGHEST + 1, 7))
def test_what_the_coach_says_is_heard_as_the_same_number(n: int) -> None:
    assert values_of(cardinal(n)) == (float(n),)
    assert values_of(digit_words(n)) == (float(n),)
    assert values_of(digit_words(n / 10)) == (n / 10,)
    # "fourteen fourteen" may also be a fourteen said twice
    said_twice = n >= 1000 and n // 100 == n % 100
    assert values_of(wording_of(n)) == ((n, n // 100) if said_twice else (n,))


@given(st.integers(0, 999_999), st.integers(0, 9))
def test_figures_come_back(n: int, tenth: int) -> None:
    assert values_of(f"{n:,}") == (float(n),)
    assert values_of(f"{n}.{tenth}") == (float(f"{n}.{tenth}"),)


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("two point five", 2.5),
        ("point five", 0.5),
        ("zero point five", 0.5),
        ("oh point five", 0.5),
        ("two decimal five", 2.5),
        ("seven point two five", 7.25),
        ("half", 0.5),
        ("a half", 0.5),
        ("one half", 0.5),
        ("a quarter", 0.25),
        ("three quarters", 0.75),
        ("one and a half", 1.5),
        ("two and three quarters", 2.75),
        ("two and a half thousand", 2500),
        ("one point five thousand", 1500),
        ("17 hundred", 1700),
        ("1 700", 1700),
        ("2½", 2.5),
        ("one thousand, seven hundred", 1700),
        ("one, seven, zero, zero", 1700),
        ("one triple zero", 1000),
        ("double five", 55),
        ("fife niner", 59),
        ("minus five", -5),
        ("-5", -5),
        ("minus one twenty", -120),
        ("seventeen hundred oh five", 1705),
        ("two thousand one five zero", 2150),
        ("seventeen five zero", 1750),
    ],
)
def test_other_ways(said: str, value: float) -> None:
    assert values_of(said) == (value,)


@pytest.mark.parametrize(
    "said", ["fifteen, one five", "one five, fifteen", "seventeen hundred, one seven zero zero"]
)
def test_words_and_digits_say_a_number_twice(said: str) -> None:
    [number] = numbers_in(said)
    assert number.in_words
    assert number.in_digits
    assert len(number.values) == 1


def test_words_and_other_digits_are_two_numbers() -> None:
    first, second = numbers_in("seventeen hundred one six zero zero")
    assert (first.values, second.values) == ((1700,), (1600,))


@pytest.mark.parametrize(
    ("said", "both"),
    [
        ("fifteen fifteen", {15, 1515}),
        ("seventeen five", {175, 1705}),
        ("twenty two five", {225, 2025, 2205}),
        ("thirty three zero", {30, 330, 3030, 3300}),
        ("fifteen one five", {15, 1515}),
        ("negative sixteen hundred", {-1600, 1600}),
    ],
)
def test_two_meanings(said: str, both: set[float]) -> None:
    assert set(values_of(said)) == both


PAIRS = [
    (f"{stem}teen", f"{ten}ty")
    for stem, ten in zip(
        ("thir", "four", "fif", "six", "seven", "eigh", "nine"),
        ("thir", "for", "fif", "six", "seven", "eigh", "nine"),
        strict=True,
    )
]


@pytest.mark.parametrize(("teen", "ten"), PAIRS)
def test_teens_never_become_tens(teen: str, ten: str) -> None:
    value = 10 + PAIRS.index((teen, ten)) + 3
    [low] = numbers_in(teen)
    [high] = numbers_in(ten)
    assert (low.values, low.sound_alikes) == ((value,), ((value - 10) * 10,))
    assert (high.values, high.sound_alikes) == (((value - 10) * 10,), (value,))
    for frame, eight in (("one {}", ()), ("a hundred and {}", (800 + value,))):
        [framed] = numbers_in(frame.format(teen))
        assert framed.values == (100 + value,)
        assert framed.sound_alikes == (100 + (value - 10) * 10, *eight)


@pytest.mark.parametrize("said", ["fifty five", "one five", "15", "twelve", "twenty", "ten"])
def test_what_has_no_sound_alike(said: str) -> None:
    [number] = numbers_in(said)
    assert number.sound_alikes == ()


@pytest.mark.parametrize(
    "said",
    [
        "this one",
        "that one is loose",
        "the other one",
        "i put one on",
        "no one",
        "the first one",
        "one of them",
        "one moment",
        "for you",
        "to the ear",
        "me too",
        "oh",
        "oh no",
        "o two",
        "spo two",
        "sp o two sensor",
        "a second",
        "the second",
        "half way there",
        "the other half",
        "half full",
        "point it down",
        "double check",
        "at this point",
        "2nd",
        "1e5",
        "1e999",
        "9" * 400,
        "i won",
        "i ate",
        "",
        "...",
    ],
)
def test_no_number(said: str) -> None:
    assert numbers_in(said) == []


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("one", 1),
        ("it's one", 1),
        ("one liter", 1),
        ("i put it to one liter a minute", 1),
        ("make that one fifty", 150),
        ("oh fifteen", 15),
        ("at this point fifteen", 15),
        ("this one fifty", 50),
        ("half a liter", 0.5),
        ("half of a liter", 0.5),
        ("five oh no six liters", 5),
    ],
)
def test_the_number_beside_such_words(said: str, value: float) -> None:
    assert numbers_in(said)[0].values == (value,)


def test_a_pause_parts_numbers() -> None:
    assert [n.values for n in numbers_in("fifteen, fifty")] == [(15,), (50,)]
    assert [n.values for n in numbers_in("sixteen hundred. fifteen")] == [(1600,), (15,)]


@settings(max_examples=300)
@given(st.lists(st.sampled_from(sorted(number_words())), max_size=14))
def test_any_words_give_finite_numbers_in_order(words: list[str]) -> None:
    end = 0
    for number in find_numbers(words):
        assert end <= number.start < number.end <= len(words)
        assert all(abs(value) < 1e9 for value in (*number.values, *number.sound_alikes))
        end = number.end


def test_the_lexicon_holds_every_word_of_every_way() -> None:
    said = {word for sentence in meanings() for word in sentence.split()}
    assert said <= number_words()
    assert {"psi", "liters", "litres", "percent", "bar", "french", "mercury"} <= number_words()


@pytest.mark.parametrize(
    ("text", "has_one"),
    [
        ("where are the gloves", False),
        ("before opening the valve i check the flow", False),
        ("a mask and a bag over there", False),
        ("the gaug reads to thousand", True),
        ("it is at garble pounds", True),
        ("some p s i", True),
        ("2000", True),
        ("half of it", True),
    ],
)
def test_a_text_has_a_number_in_it_or_only_small_words(text: str, has_one: bool) -> None:
    assert tells_a_number(text) is has_one
