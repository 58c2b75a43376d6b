"""Clips through the whole ear of each engine, and what came of them."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from coach.edges.engines import open_ears, open_recogniser
from coach.language.normal import plain
from coach.session.ports import Recogniser

from ..recognisers import digits_heard
from .booth import Booth, Clip
from .moments import Heard, heard

BOTH = "both"
RIGHT, WRONG, REFUSED = "right", "wrong", "refused"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one engine made of a clip.

    `verdict`: what was said and nothing else would be done; something else would be done; nothing.
    `asks`: the coach would ask again. `wrong_reading`: a number that was not said would be read
    back; `wrong_sure`: and silence would let it stand. `meant_right` is before judgement, with
    the probability that the recogniser gave its words; None where no words were heard.
    """

    engine: str
    row: str
    group: str
    noise_db: float | None
    said: str
    verdict: str
    text: str
    acts: tuple[str, ...]
    asks: bool
    wrong_reading: bool
    wrong_sure: bool
    probability: float | None
    meant_right: bool
    words_right: bool


def outcome(engine: str, clip: Clip, turns: Sequence[Heard]) -> Outcome:
    """What all turns of a clip come to together."""
    wanted = clip.sentence.action
    allowed = clip.sentence.allowed | {wanted}
    text = " / ".join(turn.hypothesis.text for turn in turns if turn.hypothesis.text)
    acts = frozenset(act for turn in turns for act in _acts(turn, turn.acts, text, wanted))
    meant = frozenset(act for turn in turns for act in _acts(turn, turn.meant, text, wanted))
    readings = frozenset(name for turn in turns for name in turn.readings)
    sure = frozenset(name for turn in turns for name in turn.sure_readings)
    spoken = [turn.hypothesis.confidence for turn in turns if turn.hypothesis.text]
    return Outcome(
        engine,
        clip.row,
        clip.group,
        clip.noise_db,
        clip.sentence.text,
        _verdict(acts, wanted, allowed),
        text,
        tuple(sorted(acts)),
        any(turn.asks for turn in turns),
        bool(readings - allowed),
        bool(sure - allowed),
        min(spoken) if spoken else None,
        _verdict(meant, wanted, allowed) == RIGHT,
        text == plain(clip.sentence.text),
    )


def _verdict(acts: frozenset[str], wanted: str, allowed: frozenset[str]) -> str:
    if acts - allowed:
        return WRONG
    return RIGHT if wanted and wanted in acts else REFUSED


def _acts(turn: Heard, acts: frozenset[str], text: str, wanted: str) -> frozenset[str]:
    """What a turn does; for a bare "on" or "off", and for digits as such, which words it was."""
    if wanted.startswith("word "):
        return acts or (frozenset({f"word {text}"}) if text in {"on", "off"} else acts)
    if wanted.startswith("digits "):
        row = digits_heard(text)
        return frozenset({f"digits {row}"} if row is not None and acts else ())
    return acts


def opened(engine: str) -> Recogniser:
    """A recogniser by name; MissingError without its model.

    "both" is our own with the second ear behind it, as the program opens them for recordings.
    """
    if engine != BOTH:
        return open_recogniser(engine, None)
    open_recogniser("whisper", None)
    return open_ears("own", None, second=True, waits=True)


class Listeners:
    """The engines of one process, opened when first needed, and the booth they listen in."""

    def __init__(self, engines: Sequence[str], noise_folder: Path | None) -> None:
        self.booth = Booth(noise_folder)
        self.recognisers: dict[str, Recogniser] = {n: opened(n) for n in engines}

    def hear(self, clip: Clip) -> list[Outcome]:
        """One clip by all engines: cut once, heard by each."""
        moment = clip.sentence.moment
        turns = self.booth.utterances(self.booth.sound(clip), moment.hint)
        return [
            outcome(name, clip, [heard(recogniser, turn, moment) for turn in turns])
            for name, recogniser in self.recognisers.items()
        ]


_LISTENERS: list[Listeners] = []


def _open(engines: Sequence[str], noise_folder: Path | None) -> None:
    _LISTENERS[:] = [Listeners(engines, noise_folder)]


def _hear(clip: Clip) -> list[Outcome]:
    return _LISTENERS[0].hear(clip)


def outcomes(
    clips: Iterable[Clip], engines: Sequence[str], noise_folder: Path | None, jobs: int = 1
) -> list[Outcome]:
    """Every clip by every engine; several processes share the work."""
    if jobs == 1:
        _open(engines, noise_folder)
        return [one for clip in clips for one in _hear(clip)]
    start = multiprocessing.get_context("spawn")
    with start.Pool(jobs, _open, (engines, noise_folder)) as pool:
        found = pool.imap(_hear, list(clips), chunksize=8)
        return [one for several in found for one in several]


def timed(listeners: Listeners, clip: Clip) -> float:
    """Seconds from a closed segment to what the session would do, by the first engine."""
    moment = clip.sentence.moment
    turns = listeners.booth.utterances(listeners.booth.sound(clip), moment.hint)
    recogniser = next(iter(listeners.recognisers.values()))
    begin = time.perf_counter()
    for turn in turns:
        heard(recogniser, turn, moment)
    return time.perf_counter() - begin
