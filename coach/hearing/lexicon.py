"""The words a recogniser may put together, as the file `models/lexicon.yaml` gives them. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from coach.core.errors import InputError
from coach.hearing.ctc import VOCABULARY

GROUPS = ("digits", "numbers", "units", "agreeing", "refusing", "letters", "words")


@dataclass(frozen=True)
class Lexicon:
    """Words in the recogniser's spelling; `agreeing` and `refusing` are whole answers.

    `digits` are said one by one, `numbers` are the other words of numbers, `units` stand behind
    them, `letters` are single letters, `words` all the rest. `sounds` pairs what a unit may sound
    like behind a number ("sigh") with its spelling ("psi").
    """

    digits: frozenset[str] = frozenset()
    numbers: frozenset[str] = frozenset()
    units: frozenset[str] = frozenset()
    agreeing: frozenset[str] = frozenset()
    refusing: frozenset[str] = frozenset()
    letters: frozenset[str] = frozenset()
    words: frozenset[str] = frozenset()
    sounds: frozenset[tuple[str, str]] = frozenset()

    @cached_property
    def sound_words(self) -> frozenset[str]:
        """Single words of what units may sound like."""
        return frozenset(word for sound, _ in self.sounds for word in sound.split())

    @cached_property
    def all_words(self) -> frozenset[str]:
        """Every single word there is."""
        answers = {word for answer in self.agreeing | self.refusing for word in answer.split()}
        return self.digits | self.numbers | self.units | self.letters | self.words | answers


def parse_lexicon(tree: object, name: str) -> Lexicon:
    """A lexicon from parsed YAML; InputError names the file `name`, the group and the bad entry."""
    if not isinstance(tree, dict):
        raise InputError(f"{name} is no lexicon: it needs the lists {', '.join(GROUPS)}.")
    groups: dict[str, frozenset[str]] = {}
    for group in GROUPS:
        entries = tree.get(group)
        if not isinstance(entries, list):
            raise InputError(f"{name}: {group} must be a list of words.")
        for entry in entries:
            if not isinstance(entry, str) or not speakable(entry):
                raise InputError(
                    f"{name}: {group}: {entry!r} is no word in lower case of a to z "
                    '(write "yes", "no", "on" and "off" in quotation marks, numbers in words).'
                )
        groups[group] = frozenset(entries)
    return Lexicon(**groups, sounds=_sounds(tree.get("sounds", {}), name))


def _sounds(tree: object, name: str) -> frozenset[tuple[str, str]]:
    if not isinstance(tree, dict):
        raise InputError(f"{name}: sounds must give each word the list of what it may sound like.")
    pairs = set()
    for word, sounds in tree.items():
        for sound in sounds if isinstance(sounds, list) else [None]:
            if not isinstance(sound, str) or not speakable(sound) or not speakable(str(word)):
                raise InputError(
                    f"{name}: sounds: {word}: {sound!r} is no row of words in lower case of a to z."
                )
            pairs.add((sound, str(word)))
    return frozenset(pairs)


def spelling(phrase: str) -> str:
    """A phrase in the recogniser's spelling, other marks as spaces; empty if it has figures."""
    if any(character.isdigit() for character in phrase):
        return ""
    text = phrase.lower().replace("\u2019", "'")
    return " ".join("".join(c if c in VOCABULARY else " " for c in text).split())


def speakable(phrase: str) -> bool:
    """Whether a phrase is in the recogniser's spelling: a-z, apostrophes and single spaces."""
    return bool(phrase) and phrase == " ".join(phrase.split()) and not set(phrase) - set(VOCABULARY)
