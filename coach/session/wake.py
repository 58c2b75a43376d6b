"""In a class the coach hears neighbours, too: only talk that is meant for it comes through.

Talk is meant for the coach when it begins with the wake word, when it follows within OPEN_S after
the word said alone or after a key, or when the coach has just asked a yes or no or a number. "Stop"
and "this is real" always come through. All else is dropped without a word.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from rapidfuzz import fuzz

from coach.core.errors import InputError
from coach.core.meaning import Command
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.language.commands import command_in
from coach.language.normal import plain
from coach.session.passing_ear import PassingEar
from coach.session.ports import Ear, EarEvent, KeyHit, SilencePassed, SpeechBegan, TextHeard

OPEN_S = 6.0
"""How long the ear stays open: time to turn back to the task and speak (common practice, no
source)."""

ALIKE = 75.0
"""Likeness out of 100 from which a word is taken for the wake word: one wrong letter of four is 75,
one of five ("couch" for "coach") 80, two of five 60."""

ALIKE_IN_PARTS = 87.0
"""The same where it was heard in one part more than it has ("co ch" for "coach" is 89)."""

SHORTEST, MOST_WORDS = 4, 2
"""Letters of the shortest wake word and words of the longest: with three letters one wrong letter
would be a third of it, and other talk would pass."""

CALLS = frozenset("hey hi hello ok okay oh um uh er so please and now".split())
"""Words that may stand before the wake word."""

_WORD = re.compile(r"[^\W_]+(?:'[^\W_]+)*")


def wake_word(text: str, phrases: Iterable[str]) -> str:
    """The wake word as the recogniser spells it; InputError for one that cannot serve.

    `phrases` are what the learner says anyway: a word that one of them begins with would be cut
    off it.
    """
    word = plain(text)
    letters = word.replace(" ", "")
    spelt = letters.isascii() and letters.isalpha()
    if not spelt or len(letters) < SHORTEST or len(word.split()) > MOST_WORDS:
        raise InputError(
            f'--wake "{text}" cannot be told from other talk: use one word of at least {SHORTEST} '
            "letters a to z, or two, such as coach."
        )
    if word in CALLS:
        raise InputError(f'--wake "{text}" begins too much other talk: use a word such as coach.')
    clash = next((phrase for phrase in phrases if after_word(phrase, word) is not None), None)
    if clash is not None:
        raise InputError(
            f'--wake "{text}" sounds like the beginning of "{clash}", which you will say in this '
            "practice: choose another word, such as coach."
        )
    return word


def after_word(text: str, word: str) -> str | None:
    """What follows the wake word at the head of an utterance ("" for nothing), None without it.

    One letter may be wrong, a word heard in two parts, and a call ("hey") may stand before it.
    """
    rest, found = None, _cut(text, word)
    while found is not None:
        # Who is not answered calls once more: "coach, coach, next".
        rest, found = found, _cut(found, word)
    return rest


def _cut(text: str, word: str) -> str | None:
    """What follows one wake word at the head of a text, None without it."""
    places = list(_WORD.finditer(text.lower()))
    first = next((at for at, place in enumerate(places) if place.group() not in CALLS), 0)
    found = [_best(places, start, word) for start in {0, first} if places]
    likeness, end = max(found, default=(0.0, 0))
    return None if likeness < ALIKE else text[end:].lstrip(" ,.;:!?-")


def _best(places: Sequence[re.Match[str]], start: int, word: str) -> tuple[float, int]:
    """The likeness of the words from `start` on to the wake word, and where they end in the text.

    In one part more than it has, it must be nearly right: "my coach" is not "coach".
    """
    parts = len(word.split())
    wanted = word.replace(" ", "")
    best, end, said = 0.0, 0, ""
    for number, place in enumerate(places[start : start + parts + 1], 1):
        said += place.group()
        likeness = fuzz.ratio(said, wanted)
        if likeness > best and (number <= parts or likeness >= ALIKE_IN_PARTS):
            best, end = likeness, place.end()
    return best, end


def passes_always(text: str) -> bool:
    """Whether it is a "stop" or a "this is real"."""
    said = plain(text)
    found = command_in(said) if said else None
    # Other ways to end ("we're done for the day") are what people in a class say to each other.
    stops = found is not None and found[0] is Command.STOP and "stop" in said.split()
    return stops or (found is not None and found[0] is Command.QUIET)


@dataclass(frozen=True, slots=True)
class Attention:
    """How long the ear is open without the word; seconds on the ear's own clock.

    `until_s` is set by the word and by keys, `asked_until_s` by a question of the coach.
    """

    until_s: float = float("-inf")
    asked_until_s: float = float("-inf")

    def open_at(self, at_s: float) -> bool:
        """Whether talk that begins now is meant for the coach whatever it is."""
        return at_s <= max(self.until_s, self.asked_until_s)

    def called(self, at_s: float) -> Attention:
        """After the word alone, or a key."""
        return replace(self, until_s=at_s + OPEN_S)

    def asked(self, at_s: float) -> Attention:
        """While the coach asks, and at the end of its question."""
        return replace(self, asked_until_s=at_s + OPEN_S)

    def answered(self) -> Attention:
        """The question was answered."""
        return replace(self, asked_until_s=float("-inf"))

    def used(self) -> Attention:
        """What was said after the word or the key was heard: neighbours are not, any more."""
        return replace(self, until_s=float("-inf"))


class WakeEar(PassingEar):
    """An Ear that hears only what is meant for the coach; `word` as `wake_word` gives it.

    The beginning of talk is held back until its words show whom it is for, unless the ear is open;
    so a neighbour does not cut the coach off, and every SpeechBegan is followed by its TextHeard.
    `now_s` gives seconds that never go back, `speaking` says whether the coach speaks. Silence that
    is skipped (SilencePassed) counts as time.
    """

    def __init__(
        self, ear: Ear, word: str, now_s: Callable[[], float], speaking: Callable[[], bool]
    ) -> None:
        super().__init__(ear)
        self._word = word
        self._clock_s = now_s
        self._speaking = speaking
        self._attention = Attention()
        self._asking = False
        self._skipped_s = 0.0
        self._held = self._passed_on = False
        self._ready: deque[EarEvent] = deque()

    def listen(self, hint: Hint) -> None:
        """Pass the hint on with the word in it; one that expects something is a question."""
        self._asking = hint.expect is not None
        now_s = self._now_s()
        attention = self._attention
        self._attention = attention.asked(now_s) if self._asking else attention.answered()
        self._ear.listen(replace(hint, phrases=(self._word, *hint.phrases)))

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing meant for the coach; None when nothing was, perhaps before the time."""
        if not self._ready:
            self._watch()
            event = self._ear.next(timeout_s)
            self._watch()
            if event is not None:
                self._take(event)
        return self._ready.popleft() if self._ready else None

    def _now_s(self) -> float:
        return self._clock_s() + self._skipped_s

    def _watch(self) -> None:
        """While the coach speaks no silence passes: who is polite waits until it has finished."""
        if not self._speaking():
            return
        now_s, attention = self._now_s(), self._attention
        if self._asking:
            self._attention = attention = attention.asked(now_s)
        if now_s <= attention.until_s:
            self._attention = attention.called(now_s)

    def _take(self, event: EarEvent) -> None:
        match event:
            case SpeechBegan():
                self._held = not self._attention.open_at(self._now_s())
                self._passed_on = not self._held
                if self._held:
                    return
            case TextHeard():
                self._judge(event)
                return
            case KeyHit():
                self._attention = self._attention.called(self._now_s())
            case SilencePassed(seconds=seconds):
                self._skipped_s += seconds
        self._ready.append(event)

    def _judge(self, heard: TextHeard) -> None:
        """Pass words on, or drop them: those that began in an open moment always pass."""
        held, passed_on = self._held, self._passed_on
        self._held = self._passed_on = False
        meant = meant_words(heard.hypothesis, self._word)
        now_s, attention = self._now_s(), self._attention
        # A key that was pressed while the words were spoken opens the ear for them, a question that
        # was asked meanwhile does not: they were no answer to it.
        is_open = now_s <= attention.until_s if held else attention.open_at(now_s)
        named = meant is not None and meant is not heard.hypothesis
        called = named or now_s <= attention.until_s
        if meant is None and (passed_on or is_open):
            meant = heard.hypothesis
        alone = meant is not None and not meant.text and bool(heard.hypothesis.text)
        if alone:
            self._attention = self._attention.called(self._now_s())
        elif meant is not None and meant.text:
            self._attention = self._attention.used()
        if meant is None or not (meant.text or passed_on):
            return
        if held:
            self._ready.append(SpeechBegan())
        self._ready.append(replace(heard, hypothesis=meant, called=called))


def meant_words(heard: Hypothesis, word: str) -> Hypothesis | None:
    """The words without the wake word where it stands before them; None for talk without it.

    A "stop" and a "this is real" need no word. Where only the second opinion begins with the word,
    the second opinion is taken.
    """
    for text in (heard.text, heard.second or ""):
        rest = after_word(text, word)
        if rest is not None:
            second = after_word(heard.second, word) if heard.second else None
            return replace(heard, text=rest, second=second, shares=None)
    return heard if passes_always(heard.text) or passes_always(heard.second or "") else None
