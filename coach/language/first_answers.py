"""Answers to the questions before the first practice: which of the choices is meant, if any."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.context import Words
from coach.language.normal import plain
from coach.language.word_forms import occurs, stem
from coach.trade.wording import cardinal

REGION_WORDS = {
    "us": Words(
        (
            *("the united states", "we are in america", "american cylinders", "u s"),
            *("in the states", "us", "the us", "in the us", "from the us"),
        ),
        (
            *("united states", "america/american", "states", "usa", "u s a"),
            *("in/from u s", "in/from us", "u s cylinder"),
        ),
    ),
    "uk": Words(
        ("the united kingdom", "british cylinders", "u k", "in britain", "in england"),
        (
            *("united kingdom", "kingdom", "britain/british", "england/english"),
            *("scotland/scottish", "wales/welsh", "u k", "uk"),
        ),
    ),
    "anz": Words(
        ("australia", "new zealand", "australian cylinders", "australia and new zealand"),
        ("australia/australian", "zealand", "anz"),
    ),
}
"""How the regions are said."""

UNIT_WORDS = {
    "psi": Words(
        ("p s i", "we use p s i", "it shows p s i", "pounds per square inch"),
        ("psi", "p s i", "pounds/pound"),
    ),
    "bar": Words(("bar", "we use bar", "it shows bar", "it reads in bar"), ("bar/bars",)),
}
"""How the units of gauges are said."""

UNKNOWING = (
    "i don't know",
    "i do not know",
    "i'm not sure",
    "not sure",
    "no idea",
    "i have no idea",
    "you choose",
    "whatever is usual",
    "the default",
)
"""Ways to say that one does not know, for recognisers."""

_UNKNOWING = re.compile(
    r"\b(?:don't|do not|wouldn't) (?:really )?(?:know|care|mind)\b|\bdunno\b"
    r"|\bno (?:idea|clue)\b"
    r"|\b(?:not|isn't) (?:\w+ )?(?:sure|certain)\b|\bunsure\b|\byou (?:choose|decide|pick)\b"
    r"|\b(?:default|whatever|whichever|usual one|beats me|no matter|doesn't matter|can't say)\b"
)
_DENYING = re.compile(r"\b(?:not|no|nor|never|without|isn't|aren't|don't|doesn't|neither)\b")

_LETTER_NAMES = {
    "a": "alpha alfa",
    "b": "bravo bee",
    "c": "charlie see sea cee",
    "d": "delta dee",
    "e": "echo",
    "f": "foxtrot ef eff",
    "g": "golf gee",
    "h": "hotel aitch",
    "i": "india",
    "j": "juliet juliett jay",
    "k": "kilo kay",
    "l": "lima el",
    "m": "mike em",
    "n": "november en",
    "o": "oscar",
    "p": "papa pee",
    "q": "quebec",
    "r": "romeo",
    "s": "sierra ess",
    "t": "tango tee",
    "u": "uniform",
    "v": "victor vee",
    "w": "whiskey whisky",
    "x": "xray ex",
    "y": "yankee",
    "z": "zulu zee zed",
}
"""The names of letters, and the words of the spelling alphabet of radio (ITU Radio Regulations,
appendix 14), by which letters that sound alike are told apart."""

SPELLED = {letter: names.split()[0] for letter, names in _LETTER_NAMES.items() if letter != "x"} | {
    "x": "x-ray"
}
"""The word of the spelling alphabet for each letter."""

_NAMED = {name: letter for letter, names in _LETTER_NAMES.items() for name in names.split()}

_LETTER_A = re.compile(r"(?:.*\b)?(?:size|letter|type|an?) a(?: \w+)?|a")
"""The letter, and not the article: "size a", "an a cylinder"."""

_CARRIES_NOTHING = frozenset(
    "i i'm i've we we've you it it's its is that that's they they're a an the our ours my mine this"
    " use uses using used have has got get here there in on of for with and size letter type kind"
    " cylinder cylinders tank tanks bottle bottles one ones think guess believe mostly usually"
    " normally oxygen small portable steel aluminum aluminium please um uh er well oh so called"
    " just as like coach okay ok".split()
)


def says_not_to_know(text: str) -> bool:
    """Whether somebody says that he does not know, or leaves it to the coach."""
    return _UNKNOWING.search(plain(text)) is not None


def choice_in(text: str, choices: dict[str, Words]) -> str | None:
    """The choice whose words are in the text, None where there is none or more than one.

    A line of keys counts when all its words occur; of two choices the one counts whose line has all
    words of the other's. In a text that denies anything nothing is chosen.
    """
    words = plain(text)
    if _DENYING.search(words):
        return None
    for name, ways in choices.items():
        if words in {plain(phrase) for phrase in ways.phrases}:
            return name
    heard = [stem(word) for word in words.split()]
    found = {name: _lines_in(ways.keys, heard) for name, ways in choices.items()}
    for name, lines in found.items():
        others = [line for other, theirs in found.items() if other != name for line in theirs]
        if any(all(other < line for other in others) for line in lines):
            return name
    return None


def _lines_in(lines: Sequence[str], heard: Sequence[str]) -> list[frozenset[str]]:
    keys = (frozenset(line.split()) for line in lines)
    return [line for line in keys if all(occurs(key, heard) for key in line)]


def letter_in(text: str, letters: Sequence[str]) -> str | None:
    """The cylinder ("D", "CD", "M15") that a text names and nothing else; None for any other."""
    words = [_NAMED.get(word, word) for word in plain(text).replace("x ray", "xray").split()]
    spellings = {letter.lower(): letter for letter in letters}
    if len(words) > 3 and words[-3:-1] == ["as", "in"] and words[-4] == words[-1]:
        words = words[:-3]  # "D as in delta"
    kept = [word for word in words if word not in _CARRIES_NOTHING]
    found = spellings.get(_joined(kept))
    if found is None and not kept and _LETTER_A.fullmatch(" ".join(words)):
        found = spellings.get("a")
    return found


def _joined(words: Sequence[str]) -> str:
    """Letters and numbers in one word: "m fifteen" is "m15"."""
    joined = ""
    at = 0
    while at < len(words):
        pair = " ".join(words[at : at + 2])
        if pair in _NUMBERS or pair.replace(" ", "-") in _NUMBERS:
            joined += _NUMBERS.get(pair) or _NUMBERS[pair.replace(" ", "-")]
            at += 2
            continue
        joined += _NUMBERS.get(words[at], words[at])
        at += 1
    return joined


_NUMBERS = {cardinal(number): str(number) for number in range(1, 100)}


def letter_phrases(letters: Sequence[str]) -> tuple[str, ...]:
    """Ways to name the cylinders, for recognisers."""
    found: list[str] = []
    for letter in letters:
        said = letter_sounds(letter).lower()
        found += [said, f"a {said} cylinder", f"size {said}"]
        if len(letter) == 1:
            found.append(SPELLED[letter.lower()].replace("-", " "))
    return tuple(found)


def letter_words(letter: str) -> str:
    """A cylinder's letter as it is read back: "D as in delta", "C D", "M fifteen"."""
    said = letter_sounds(letter)
    return f"{said} as in {SPELLED[letter.lower()]}" if len(letter) == 1 else said


def letter_sounds(letter: str) -> str:
    """A cylinder's letter as it sounds: "D", "C D", "M fifteen"."""
    stem_ = letter.rstrip("0123456789")
    said = " ".join(stem_)
    return said if letter == stem_ else f"{said} {cardinal(int(letter[len(stem_) :]))}"
