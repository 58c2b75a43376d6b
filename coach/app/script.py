"""A learner's script played through a session, and held against what it says must come of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from coach.app.meaning_told import meaning_fields, meaning_words
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields
from coach.dialogue.ending import summary_of
from coach.dialogue.state import State
from coach.procedure.dialogue_file import Dialogue, Turn
from coach.report.summary import Summary
from coach.session.loop import LET_PASS, Observer
from coach.session.ports import EarEvent, KeyHit, SilencePassed


@dataclass
class Exchange:
    """What came of one turn of the script; `notes` are the names and data of what was noted."""

    turn: Turn | None
    said: list[str] = field(default_factory=list)
    meanings: list[Meaning] = field(default_factory=list)
    notes: list[tuple[str, Fields]] = field(default_factory=list)
    step: str | None = None
    misheard: bool = False


@dataclass(frozen=True, slots=True)
class Played:
    """What came of a dialogue: how the session ended, and what each turn led to."""

    dialogue: Dialogue
    state: State
    exchanges: tuple[Exchange, ...]


@dataclass(frozen=True, slots=True)
class Shortfall:
    """One way in which a session differed from its script, at the script's line."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}"


class Unwatched:
    """An observer that lets everything pass."""

    def said(self, text: str) -> None:
        """Not looked at."""

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """Not looked at."""

    def heard(self, meaning: Meaning) -> None:
        """Not looked at."""

    def noted(self, name: str, data: Fields) -> None:
        """Not looked at."""


class ScriptObserver:
    """Keeps what each turn led to and passes everything on to another observer."""

    def __init__(self, observer: Observer) -> None:
        self.exchanges: list[Exchange] = [Exchange(None)]
        self._observer = observer

    def next_turn(self, turn: Turn) -> None:
        """The learner's next turn begins."""
        self.exchanges.append(Exchange(turn, step=self.exchanges[-1].step))

    def said(self, text: str) -> None:
        """The coach speaks a line."""
        self.exchanges[-1].said.append(text)
        self._observer.said(text)

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """The coach listens."""
        self.exchanges[-1].step = step
        self._observer.listening(step, expect)

    def heard(self, meaning: Meaning) -> None:
        """An utterance was understood."""
        self.exchanges[-1].meanings.append(meaning)
        self._observer.heard(meaning)

    def noted(self, name: str, data: Fields) -> None:
        """Something worth keeping happened."""
        self.exchanges[-1].notes.append((name, data))
        self.exchanges[-1].misheard |= name in {"not-understood", LET_PASS}
        self._observer.noted(name, data)

    def saying_again(self) -> None:
        """The learner says the words of the turn once more, for they were not understood."""
        self.exchanges[-1].misheard = False
        self.exchanges[-1].meanings.clear()


def wordless_event(turn: Turn) -> EarEvent | None:
    """The event of a turn without words; None for one with words."""
    if turn.silence_s is not None:
        return SilencePassed(turn.silence_s)
    return KeyHit(turn.key) if turn.key is not None else None


def shortfalls(played: Played) -> Iterator[Shortfall]:
    """Each way in which a session differed from its script, in the order of the turns."""
    for exchange in played.exchanges:
        if exchange.turn is not None:
            yield from _of_turn(exchange.turn, exchange)
    reached = sum(exchange.turn is not None for exchange in played.exchanges)
    for turn in played.dialogue.turns[reached:][:1]:
        yield Shortfall(turn.line, "the session is over before this turn")
    yield from _of_end(played.dialogue, summary_of(played.state))


def _of_turn(turn: Turn, exchange: Exchange) -> Iterator[Shortfall]:
    """What differed of a turn; the first tells as well how the learner's words were understood."""
    found = [*_of_lines(turn, exchange), *_of_meaning(turn, exchange)]
    if found and turn.learner is not None:
        meant = meaning_words(exchange.meanings[-1]) if exchange.meanings else "not heard"
        found[0] += f'; "{turn.learner}" was understood as: {meant}'
    return (Shortfall(turn.line, told) for told in found)


def _of_lines(turn: Turn, exchange: Exchange) -> Iterator[str]:
    said = " ".join(exchange.said)
    told = f"said '{said}'" if said else "said nothing"
    for text in turn.coach:
        if text.lower() not in said.lower():
            yield f"the coach should say '{text}', but {told}"
    for text in turn.never:
        if text.lower() in said.lower():
            yield f"the coach must not say '{text}', but {told}"
    if turn.step and exchange.step != turn.step:
        yield f"the coach should wait for {turn.step}, but waits for {_shown(exchange.step)}"


def _of_meaning(turn: Turn, exchange: Exchange) -> Iterator[str]:
    meant: Fields = meaning_fields(exchange.meanings[-1]) if exchange.meanings else {}
    for name, value in (turn.means or {}).items():
        if meant.get(name) != value:
            yield f"{name} should be {_shown(value)}, but is {_shown(meant.get(name))}"


def _of_end(dialogue: Dialogue, summary: Summary) -> Iterator[Shortfall]:
    wanted = dialogue.ends
    pairs = (
        ("done", wanted.done, summary.done),
        ("missed", wanted.missed, summary.missed),
        ("out_of_order", wanted.out_of_order, summary.out_of_order),
        ("forbidden", wanted.forbidden, tuple(breach.act for breach in summary.forbidden)),
    )
    for name, expected, found in pairs:
        if expected is not None and set(expected) != set(found):
            lacking = [step for step in expected if step not in found]
            besides = [step for step in found if step not in expected]
            told = [f"lacks {_shown(lacking)}"] if lacking else []
            told += [f"has {_shown(besides)} besides"] if besides else []
            yield Shortfall(wanted.line, f"{name} of the end {' and '.join(told)}")
    if wanted.oxygen_minutes not in (None, summary.oxygen_minutes):
        minutes = _shown(summary.oxygen_minutes)
        told_minutes = f"oxygen_minutes should be {wanted.oxygen_minutes}, but are {minutes}"
        yield Shortfall(wanted.line, told_minutes)


def _shown(value: object) -> str:
    """A value as a dialogue file has it."""
    if value in (None, [], ()):
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_shown, value))}]"
    return f"{value:g}" if isinstance(value, float) else str(value)
