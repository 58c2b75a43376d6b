"""What speaks for each step of an attempt: what was heard of it, when, and how surely."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from coach.assessment.replay import Moment
from coach.core.plain import Fields
from coach.dialogue.events import Heard, KeyPressed
from coach.language.doubted_words import doubted_words
from coach.report.attempt import Evidence, Spoken, Tells

_TOLD: Mapping[str, Tells] = {
    "step-done": Tells.DONE,
    "done-again": Tells.DONE,
    "spoken-of": Tells.PERHAPS,
    "told-early": Tells.PERHAPS,
    "step-denied": Tells.DENIED,
    "taken-back": Tells.DENIED,
    "finding": Tells.FOUND,
    "opened-again": Tells.FOUND,
    "reading-stands": Tells.NUMBER,
    "clock-started": Tells.BEGUN,
    "interval-started": Tells.BEGUN,
    "pace-started": Tells.BEGUN,
    "clock-ended": Tells.ENDED,
    "interval-ended": Tells.ENDED,
    "pace-ended": Tells.ENDED,
    "hint": Tells.HINT,
}
"""What a note about a step tells of it."""

SURE = 1.0
"""How sure a key, a clock and the coach's own words are."""


def evidence_by_step(moments: Sequence[Moment], begun_s: float) -> dict[str, tuple[Evidence, ...]]:
    """The evidence for each step, in the order it came; seconds are counted from `begun_s`."""
    found: dict[str, list[Evidence]] = {}
    for moment, text, sure in _with_words(moments):
        at_s = round(moment.event.at_s - begun_s, 3)
        for name, step, tells in _tellings(moment):
            ours = tells is Tells.HINT or name == "opened-again"
            shown, is_sure = (" ".join(moment.said), SURE) if ours else (text, sure)
            doubted = _doubted(moment, step) if tells is Tells.PERHAPS else ""
            found.setdefault(step, []).append(Evidence(at_s, tells, shown, is_sure, doubted))
    return {step: tuple(pieces) for step, pieces in found.items()}


def _doubted(moment: Moment, step: str) -> str:
    heard = moment.event
    return doubted_words(heard.meaning, step) if isinstance(heard, Heard) else ""


def _with_words(moments: Iterable[Moment]) -> Iterator[tuple[Moment, str, float]]:
    """Each moment with the words it rests on: its own, else those that were heard last."""
    text, sure = "", SURE
    for moment in moments:
        if isinstance(moment.event, Heard):
            text, sure = moment.event.meaning.text, round(moment.event.meaning.confidence, 3)
        elif isinstance(moment.event, KeyPressed):
            text, sure = moment.event.key, SURE
        yield moment, text, sure


def _tellings(moment: Moment) -> Iterator[tuple[str, str, Tells]]:
    """The name of each note that tells something, the step, and what it tells of it."""
    for note in moment.notes:
        if note.name in _TOLD:
            yield note.name, str(note.data["step"]), _TOLD[note.name]
    for name, steps in (("unclear", "steps"), ("not-understood", "likely")):
        for data in moment.noted(name):
            for step in _texts(data, steps):
                yield name, step, Tells.PERHAPS


def _texts(data: Fields, name: str) -> tuple[str, ...]:
    value = data.get(name)
    return tuple(map(str, value)) if isinstance(value, list | tuple) else ()


def spoken(moments: Iterable[Moment], begun_s: float) -> tuple[Spoken, ...]:
    """What the learner and the coach said, in its order; what was said before the beginning too."""
    said: list[Spoken] = []
    for moment in moments:
        at_s = round(moment.event.at_s - begun_s, 3)
        if isinstance(moment.event, Heard) and moment.event.meaning.text:
            said.append(Spoken(at_s, by_coach=False, text=moment.event.meaning.text))
        said += [Spoken(at_s, by_coach=True, text=text) for text in moment.said]
    return tuple(said)


BADLY_HEARD = 0.8
"""Words heard less surely than this may have been others (our own choice, no source)."""


def bare_dones(moments: Iterable[Moment], begun_s: float) -> tuple[Spoken, ...]:
    """Each "done" that does not say of what: it may have been any step that was due."""
    return tuple(
        Spoken(round(moment.event.at_s - begun_s, 3), False, moment.event.meaning.text)
        for moment in moments
        if isinstance(moment.event, Heard) and moment.event.meaning.done_said
    )


def not_made_out(moments: Iterable[Moment], begun_s: float) -> tuple[Spoken, ...]:
    """What the learner said that meant nothing and was heard badly: a step may have been in it."""
    return tuple(
        Spoken(round(moment.event.at_s - begun_s, 3), False, moment.event.meaning.text)
        for moment in moments
        if isinstance(moment.event, Heard)
        and any(True for _ in moment.noted("unclear"))
        and moment.event.meaning.confidence < BADLY_HEARD
    )
