"""Text as typed or heard, brought to plain lower-case words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import zip_longest

from coach.language.number_units import spelled_unit
from coach.language.number_words import SCALES, TEENS, TENS


@dataclass(frozen=True, slots=True)
class Token:
    """One word in lower case, and whether punctuation parts it from the next word."""

    word: str
    break_after: bool = False


_SAME_AS = str.maketrans(
    {
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{SINGLE HIGH-REVERSED-9 QUOTATION MARK}": "'",
        "\N{MODIFIER LETTER APOSTROPHE}": "'",
        "`": "'",
        "\N{ACUTE ACCENT}": "'",
        "\N{PRIME}": "'",
        "\N{HYPHEN}": "-",
        "\N{NON-BREAKING HYPHEN}": "-",
        "\N{FIGURE DASH}": " - ",
        "\N{EN DASH}": " - ",
        "\N{EM DASH}": " - ",
        "\N{MINUS SIGN}": "-",
        "\N{HORIZONTAL ELLIPSIS}": ". ",
        "\N{MULTIPLICATION SIGN}": " ",
        "\N{ALMOST EQUAL TO}": "~",
        "\N{FRACTION SLASH}": "/",
        "\N{DIVISION SLASH}": "/",
    }
)


def _joined(abbreviation: re.Match[str]) -> str:
    """ "p.s.i." is "psi"; its last stop is kept, since it may end the sentence too."""
    letters = abbreviation.group().replace(".", "")
    at_end = not abbreviation.string[abbreviation.end() :].strip()
    return letters + ("." if at_end else "")


_MARKS: tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...] = (
    (re.compile(r"(?<![\w.])((?:[a-z]\.){2,}[a-z]?)(?![\w])"), _joined),
    (re.compile(r"(?<=\d),(?=\d{3}(?!\d))"), ""),
    (re.compile(r"(?<![\d.])\.(?=\d)"), "0."),
    (re.compile(r"(?<=\d)\s*-\s*(?=\d)"), " to "),
    (re.compile(r"(?<![\w-])-(?=\d)"), " minus "),
    (re.compile(r"(?<=\d)\s*/\s*(?=\d)"), " over "),
    (re.compile(r"(?<![a-z])l\s*/\s*m\b"), "l per min"),
    (re.compile(r"(?<=mg)\s*/\s*(?=dl\b)|(?<=mmol)\s*/\s*(?=l\b)"), " per "),
    (re.compile(r"/\s*(?=min(?:ute)?s?\b|sec\b|s\b)"), " per "),
    (re.compile(r"%"), " percent "),
    (re.compile(r"~"), " about "),
    (re.compile(r"&"), " and "),
    (re.compile(r"="), " is "),
    (re.compile(r"(?<=[a-z])-(?=[a-z])"), " "),
    (re.compile(r"(?<=\d)-(?=[a-z])|(?<=[a-z])-(?=\d)"), " "),
)
_PLAIN = re.compile(r"[A-Za-z' \n,;:!?]*\.?")
"""Letters, blanks and marks that mean nothing but a pause, as in most of what is heard."""

_WORD = re.compile(r"\d+\.\d+[a-z]*|[^\W_]+(?:'[^\W_]+)*")
_BREAK = re.compile(r"[.,;:!?()\[\]{}\n\r|]|(?<!\S)-+(?!\S)|--")
_GLUED = re.compile(r"(\d+(?:\.\d+)?)([a-z]+)$")
_GLUED_UNITS = frozenset(
    {"l", "s", "sec", "secs", "min", "mins", "mm", "fr", "bar", "lbs", "mg", "g", "mmol"}
)
_FRACTION_SIGN = re.compile(r"(\d?)\s*([½¼¾])")
_FRACTION_NAMES = {"½": "a half", "¼": "a quarter", "¾": "three quarters"}


@lru_cache(maxsize=4096)
def tokens(text: str) -> tuple[Token, ...]:
    """The words of a text, numerals kept ("1,700" is one word, "1700"), and where it pauses."""
    found: list[Token] = []
    line = _marked(text)
    places = list(_WORD.finditer(line))
    for place, after in zip_longest(places, places[1:]):
        gap = line[place.end() : after.start() if after else len(line)]
        pause = bool(_BREAK.search(gap))
        *before, last = _unglued(place.group())
        found += [Token(word) for word in before]
        found.append(Token(last, pause and after is not None))
    return tuple(found)


def plain(text: str) -> str:
    """The text in lower case without punctuation; decimal points and apostrophes stay."""
    return " ".join(token.word for token in tokens(text))


def normalised(text: str) -> str:
    """The plain text with spelled units in one word: "p s i" is "psi", "s p o two" is "spo2"."""
    words = plain(text).split()
    folded: list[str] = []
    at = 0
    while at < len(words):
        length, word = spelled_unit(words, at) or (1, words[at])
        folded.append(word)
        at += length
    return " ".join(folded)


def _marked(text: str) -> str:
    """Lower case, one kind of quote and dash, and the marks that numbers need put in words."""
    if _PLAIN.fullmatch(text):
        return text.lower()
    named = _FRACTION_SIGN.sub(_fraction_name, text.translate(_SAME_AS))
    letters = unicodedata.normalize("NFKD", named)
    line = "".join(_ascii_digit(c) for c in letters if not unicodedata.combining(c)).lower()
    for pattern, instead in _MARKS:
        line = pattern.sub(instead, line)
    return line


def _fraction_name(sign: re.Match[str]) -> str:
    name = _FRACTION_NAMES[sign[2]]
    return f"{sign[1]} and {name} " if sign[1] else f" {name} "


def _ascii_digit(character: str) -> str:
    return str(unicodedata.decimal(character)) if character.isdecimal() else character


def _unglued(word: str) -> list[str]:
    """ "15l" is two words if its letters are a unit, and "fifteenish" too; "2nd" stays whole."""
    stem = word.removesuffix("ish")
    if stem != word and (stem in TEENS or stem in TENS or stem in SCALES or stem.isdigit()):
        return [stem, "ish"]
    glued = _GLUED.match(word)
    if glued and (spelled_unit([glued[2]], 0) or glued[2] in _GLUED_UNITS):
        return [glued[1], glued[2]]
    return [word]
