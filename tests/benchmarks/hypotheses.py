"""Recorded hypotheses, and the limits of the judgement chosen on them.

    python -m tests.benchmarks.hypotheses record    # after a change of the recogniser: hear anew
    python -m tests.benchmarks.hypotheses choose    # then: the limits at which mistakes cost least

`record` says the lines of `situations.py` in noise, cuts and hears them as a session does, and
writes what was heard to tests/data/recorded_hypotheses.jsonl: no sound, only words and figures. It
needs espeak-ng, flite and the recordings in COACH_SPEECH (unset: ../shared/speech beside the
checkout); of them only noises and people that models/training/development.yaml keeps from training,
and voices of the tuning cast. Nothing of the test folders.

`choose` prints for each limit of coach/session/costs.py what it costs where it stands, and where it
would cost least with the others as they are. Put those values in, run it again until nothing moves,
and run tests/session/test_limits.py, which holds the limits in force against the recorded costs.
"""

from __future__ import annotations

import argparse
import csv
import json
import math
import random
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray

from coach.core.meaning import YES_NO, Command, Meaning
from coach.core.sound import Samples
from coach.dialogue.moment import context_of, hint_of
from coach.edges.engines import open_recogniser
from coach.edges.segmenter import Segmenter, recognise
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.endpointer import Utterance
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.costs import (
    COST_REPEATS,
    LIMITS,
    OVERLOOKED_IN_SILENCE,
    OVERLOOKED_WITH_YES,
    Limits,
    Mistake,
)
from coach.session.judgement import judge
from coach.session.likeliest import likeliest, understood
from coach.session.moment import Moment, moment_of
from coach.session.own_voice import ENOUGH_TURNS, OwnVoice
from coach.session.ports import Recogniser
from coach.session.verdict import Decision, Verdict

from .recognisers import speech_folder
from .situations import TURNED_AWAY_DB, Line, Meant, Place, lines
from .voices import PEOPLE, SPEECH_LEVEL, TUNING, Speaker, Studio, draw_speaker

FILE = Path(__file__).parents[1] / "data" / "recorded_hypotheses.jsonl"
APART = Path(__file__).parents[2] / "models" / "training" / "development.yaml"
SEED = 4
USUAL_DBFS = 20 * math.log10(SPEECH_LEVEL)
OWN_VOICE = OwnVoice((USUAL_DBFS,) * ENOUGH_TURNS)
"""The level at which the voices speak, as the learner's own turns have told it."""


def _chances(low: float, high: float) -> tuple[float, ...]:
    return tuple(round(low + 0.02 * n, 2) for n in range(round((high - low) / 0.02) + 1))


GRIDS: Mapping[str, Sequence[float]] = {
    "stands": (*_chances(0.8, 0.98), 0.985, 0.99),
    "number": _chances(0.04, 0.9),
    "out_of_range": _chances(0.5, 0.98),
    "unasked": _chances(0.2, 0.98),
    "yes": _chances(0.3, 0.98),
    "command": _chances(0.1, 0.9),
    "step": _chances(0.1, 0.9),
    "sentence": _chances(0.04, 0.9),
    "likely": _chances(0.0, 0.6),
    "unclear": _chances(0.0, 0.6),
    "stop": _chances(0.02, 0.4),
    "quiet": _chances(0.1, 0.6),
    "awaited": _chances(0.0, 0.5),
    "unclear_words": tuple(range(2, 9)),
    "fainter_db": tuple(0.5 * n for n in range(2 * int(TURNED_AWAY_DB), 41)),
}
"""Values that are tried for each limit. What lies beyond them so few turns cannot tell: it would
trust whatever is heard, or refuse what people say in ordinary noise."""

PREDICTED = 0.5
"""Share of the costs that the recogniser's own sureness predicts instead of what came of the turn:
so few turns do not show a mistake of one in a thousand, and one mistake can cost a thousand; the
sureness is right within two in a hundred (`python -m tests.benchmarks.calibration report`)."""

HARDLY_MORE = 0.02
"""A limit stays where it is while it costs so little more than the cheapest: single turns move the
cheapest by as much."""

MOST_MOVES = 24

Row = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Recorded:
    """One turn as it was heard: what it was, who said it, at what ratio and moment."""

    kind: str
    said: str
    who: str
    ratio_db: float
    place: Place
    meant: Meant
    hypothesis: Hypothesis


# recording


class HeldOut(Studio):
    """The voices of the tuning cast, and words of real people, in noises kept from training."""

    def __init__(self, speech: Path) -> None:
        super().__init__(speech, TUNING)
        apart = yaml.safe_load(APART.read_text(encoding="utf-8"))
        folder = speech / "noise" / TUNING.noise_folder
        self.noises = [read_recording(folder / name) for name in apart["noises"]]
        self._clips: dict[str, list[Path]] = {}
        words = speech / TUNING.words_folder
        with (words / "manifest.tsv").open(encoding="utf-8") as file:
            for row in csv.DictReader(file, delimiter="\t"):
                if row["speaker"] in apart["speakers"]:
                    self._clips.setdefault(row["transcript"], []).append(words / row["file"])

    def speaker(self, dice: random.Random, by_people: bool) -> Speaker:
        """Somebody in some room and noise."""
        while True:
            speaker = draw_speaker(TUNING, len(self.rooms), len(self.noises), dice)
            if by_people:
                return replace(speaker, program=PEOPLE, voice=str(dice.randrange(10**6)))
            if speaker.program != PEOPLE:
                return speaker

    def _said_by_people(self, text: str, speaker: Speaker, rng: np.random.Generator) -> Samples:
        clips = self._clips[text]
        clip = read_recording(clips[int(speaker.voice) % len(clips)])
        loud = np.flatnonzero(np.abs(clip) > 0.03 * float(np.abs(clip).max()))
        return clip[loud[0] : loud[-1] + 1]

    def noise_alone(self, speaker: Speaker, dice: random.Random) -> Samples:
        """Three seconds of a noise, as loud as speech or fainter."""
        noise = self.noises[speaker.noise]
        part = np.resize(np.roll(noise, -dice.randrange(len(noise))), 48_000)
        level = max(float(np.sqrt(np.mean(part**2))), 1e-6)
        sound: Samples = (part * SPEECH_LEVEL / level * 10 ** (-dice.uniform(0, 12) / 20)).astype(
            np.float32
        )
        return np.clip(sound, -0.98, 0.98)


class Recording:
    """Lines said, cut and heard as in a session."""

    def __init__(self, studio: HeldOut, recogniser: Recogniser) -> None:
        self._studio = studio
        self._recogniser = recogniser
        self._activity = VoiceActivity()
        self.came_to: Counter[tuple[str, str]] = Counter()

    def turns(self, line: Line, dice: random.Random) -> Iterator[Recorded]:
        """What came of a line; pieces of one that was cut in two are turns of their own."""
        speaker = self._studio.speaker(dice, line.by_people)
        seed = dice.randrange(2**31)
        hint = hint_of(context_of(line.place.state()))
        if not line.text:
            sound = self._studio.noise_alone(speaker, dice)
        else:
            fainter = replace(speaker, ratio_db=speaker.ratio_db - line.from_db)
            sound = self._studio.take(line.text, fainter, seed) * 10 ** (-line.from_db / 20)
        found = [recognise(self._recogniser, turn, hint) for turn in self._cut(sound, hint)]
        words = [heard for heard in found if heard.text]
        came = "nothing was cut" if not found else "no words" if not words else "words"
        self.came_to[line.kind, came] += 1
        for heard in words:
            yield Recorded(
                line.kind, line.text, speaker.name, speaker.ratio_db, line.place, line.meant, heard
            )

    def _cut(self, sound: Samples, hint: Hint) -> list[Utterance]:
        self._activity.reset()
        segmenter = Segmenter(self._activity)
        segmenter.expect(hint)
        cuts = [*segmenter.feed(sound), *segmenter.endpointer.finish()]
        return [cut for cut in cuts if isinstance(cut, Utterance)]


def as_line(turn: Recorded) -> str:
    """A turn as one line of JSON; what is empty is left out."""
    heard = {
        name: _rounded(value)
        for name, value in asdict(replace(turn.hypothesis, shares=None)).items()
        if value not in (None, (), [])
    }
    tree = {**asdict(turn), "place": _short(turn.place), "meant": _short(turn.meant)}
    return json.dumps({**tree, "hypothesis": heard}, separators=(",", ":"))


def _short(value: Place | Meant) -> dict[str, Any]:
    return {name: part for name, part in asdict(value).items() if part}


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, 3)
    return [_rounded(part) for part in value] if isinstance(value, list | tuple) else value


def from_line(line: str) -> Recorded:
    """The turn of a line that `as_line` wrote."""
    tree = json.loads(line)
    meant, heard = tree.pop("meant"), tree.pop("hypothesis")
    if "others" in heard:
        heard["others"] = tuple((text, chance) for text, chance in heard["others"])
    return Recorded(
        **{**tree, "place": Place(**tree["place"])},
        meant=Meant(
            values=tuple(meant.get("values", ())),
            answer=meant.get("answer"),
            command=meant.get("command"),
            steps=tuple(meant.get("steps", ())),
        ),
        hypothesis=Hypothesis(**heard),
    )


def recorded() -> list[Recorded]:
    """The turns that were recorded last."""
    return [from_line(line) for line in FILE.read_text(encoding="utf-8").splitlines()]


# judging


@dataclass(frozen=True, slots=True)
class Understood:
    """A recorded turn with its meaning and moment, ready to be judged."""

    turn: Recorded
    meaning: Meaning
    moment: Moment


def all_understood(turns: Sequence[Recorded]) -> list[Understood]:
    """Every turn understood at its moment, as the language is today."""
    moments = {repr(turn.place): turn.place.state() for turn in turns}
    contexts = {name: context_of(state) for name, state in moments.items()}
    result = []
    for turn in turns:
        name = repr(turn.place)
        settled = likeliest(turn.hypothesis, contexts[name])
        meaning = understood(settled, contexts[name])
        turn = replace(turn, hypothesis=settled)
        result.append(Understood(turn, meaning, moment_of(moments[name])))
    return result


def mistakes(verdict: Verdict, item: Understood) -> Iterator[tuple[Mistake, float]]:
    """What went wrong with a verdict, each with its chance to do harm."""
    meant, meaning, decision = item.turn.meant, verdict.meaning, verdict.decision
    if decision in {Decision.IGNORE, Decision.ASK_AGAIN}:
        asked = decision is Decision.ASK_AGAIN
        if meant.command in {Command.STOP, Command.QUIET, Command.PAUSE}:
            yield Mistake.MISSED_STOP, 1.0
        elif not meant.nothing:
            yield (Mistake.NEEDLESS_REPEAT if asked else Mistake.IGNORED), 1.0
        elif asked:
            yield Mistake.QUESTION_TO_TALK, 1.0
        return
    yield from _of_numbers(meaning, meant)
    if meaning.answer == "yes" and meant.answer != "yes":
        asked_yes = item.moment.expect == YES_NO
        yield (Mistake.FALSE_YES if asked_yes else Mistake.FALSE_STEP), 1.0
    elif meaning.answer == "no" and meant.answer != "no":
        yield Mistake.FALSE_NO, 1.0
    if meaning.command and meaning.command != meant.command:
        yield _FALSE.get(meaning.command, Mistake.FALSE_COMMAND), 1.0
    # Words around a number may name the step that it belongs to.
    about = set(meant.steps) if meant.nothing else {*meant.steps, item.turn.place.step}
    for mention in meaning.steps:
        if mention.denied or mention.step not in about:
            yield (Mistake.FALSE_DENIAL if mention.denied else Mistake.FALSE_STEP), 1.0
    if not (meant.nothing or meaning.readings or _in_part(meaning, meant)):
        yield Mistake.NEEDLESS_REPEAT, 1.0


def _of_numbers(meaning: Meaning, meant: Meant) -> Iterator[tuple[Mistake, float]]:
    for reading in meaning.readings:
        silence = reading.doubt is None
        if set(reading.values) <= set(meant.values):
            if not silence:
                yield Mistake.NEEDLESS_YES, 1.0
        else:
            yield Mistake.WRONG_READ_BACK, 1.0
            overlooked = OVERLOOKED_IN_SILENCE if silence else OVERLOOKED_WITH_YES
            yield Mistake.WRONG_READING_STANDS, overlooked


def _in_part(meaning: Meaning, meant: Meant) -> bool:
    """Whether something of what was meant is done."""
    answered = meaning.answer is not None and meaning.answer == meant.answer
    commanded = meaning.command is not None and meaning.command == meant.command
    return answered or commanded or any(m.step in meant.steps for m in meaning.steps)


_FALSE = {
    Command.STOP: Mistake.FALSE_STOP,
    Command.PAUSE: Mistake.FALSE_STOP,
    Command.QUIET: Mistake.FALSE_QUIET,
}


def verdict_on(item: Understood, limits: Limits) -> Verdict:
    """The verdict on a turn, the learner's own level being known."""
    return judge(item.meaning, item.turn.hypothesis, item.moment, OWN_VOICE, limits)


def cost_of(item: Understood, limits: Limits) -> float:
    """What a turn costs under these limits, in needless repeats."""
    verdict, sure = verdict_on(item, limits), item.turn.hypothesis.confidence
    came, right, wrong = (
        _cost(verdict, item, m) for m in (item.turn.meant, as_heard(item), Meant())
    )
    return (1 - PREDICTED) * came + PREDICTED * (sure * right + (1 - sure) * wrong)


def as_heard(item: Understood) -> Meant:
    """What was meant if it was heard right."""
    meaning = item.meaning
    return Meant(
        tuple(value for reading in meaning.readings for value in reading.values),
        meaning.answer,
        str(meaning.command) if meaning.command else None,
        tuple(mention.step for mention in meaning.steps),
    )


def _cost(verdict: Verdict, item: Understood, meant: Meant) -> float:
    found = mistakes(verdict, replace(item, turn=replace(item.turn, meant=meant)))
    return sum(COST_REPEATS[mistake] * chance for mistake, chance in found)


def total_cost(items: Sequence[Understood], limits: Limits) -> float:
    """What all turns cost under these limits, in needless repeats."""
    return sum(cost_of(item, limits) for item in items)


@dataclass(frozen=True, slots=True)
class Choice:
    """A limit in force and what it costs; the values at which it costs least, and what then."""

    name: str
    in_force: float
    cost: float
    cheapest: tuple[float, ...]
    least_cost: float

    @property
    def is_near(self) -> bool:
        """Whether the one in force costs hardly more than the cheapest."""
        return self.cost <= self.least_cost * (1 + HARDLY_MORE)

    @property
    def chosen(self) -> float:
        """The one in force where it costs hardly more, else the middle of the cheapest."""
        return self.in_force if self.is_near else self.cheapest[len(self.cheapest) // 2]


def choices(items: Sequence[Understood], limits: Limits = LIMITS) -> list[Choice]:
    """Each limit by itself, the others as they are."""
    now = total_cost(items, limits)
    result = []
    for name, grid in GRIDS.items():
        costs = np.zeros(len(grid))
        for item in items:
            costs += _costs(item, limits, name, grid)
        cheapest = tuple(
            v for v, cost in zip(grid, costs, strict=True) if cost <= costs.min() + 1e-9
        )
        result.append(Choice(name, getattr(limits, name), now, cheapest, float(costs.min())))
    return result


def _costs(item: Understood, limits: Limits, name: str, grid: Sequence[float]) -> Row:
    """What a turn costs at each value: a limit is one comparison, so its cost changes once."""

    def at(place: int) -> float:
        return cost_of(item, replace(limits, **{name: grid[place]}))

    low, high = 0, len(grid) - 1
    first, last = at(low), at(high)
    if first == last:
        return np.full(len(grid), first)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if at(middle) == first else (low, middle)
    return np.where(np.arange(len(grid)) <= low, first, last)


def settled(items: Sequence[Understood], limits: Limits = LIMITS) -> Limits:
    """The limits when each has been chosen in turn until none moves, the costliest one first."""
    for _ in range(MOST_MOVES):
        moves = [choice for choice in choices(items, limits) if not choice.is_near]
        if not moves:
            break
        best = min(moves, key=lambda choice: choice.least_cost)
        limits = replace(limits, **{best.name: best.chosen})
    return limits


# telling


def tally(items: Sequence[Understood], limits: Limits) -> str:
    """The mistakes by kind of turn, as a table."""
    rows: dict[str, Counter[Mistake]] = {}
    decisions: dict[str, Counter[Decision]] = {}
    for item in items:
        verdict = verdict_on(item, limits)
        decisions.setdefault(item.turn.kind, Counter())[verdict.decision] += 1
        rows.setdefault(item.turn.kind, Counter()).update(
            mistake for mistake, _ in mistakes(verdict, item)
        )
    names = " | ".join(Decision)
    out = [f"| turns | {names} | mistakes |", "|---|" + "---|" * (len(Decision) + 1)]
    for kind, counts in decisions.items():
        cells = " | ".join(str(counts[decision]) for decision in Decision)
        wrong = "; ".join(f"{count} x {mistake}" for mistake, count in rows[kind].most_common())
        out.append(f"| {kind} | {cells} | {wrong} |")
    return "\n".join(out)


def told(found: Sequence[Choice]) -> str:
    """The limits in force beside the cheapest, as a table."""
    out = [
        "| limit | in force | costs | cheapest at | costs | choose |",
        "|---|---|---|---|---|---|",
    ]
    for c in found:
        low, high = min(c.cheapest), max(c.cheapest)
        at = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        out.append(
            f"| {c.name} | {c.in_force:g} | {c.cost:.1f} | {at} | {c.least_cost:.1f} "
            f"| {c.chosen:g} |"
        )
    return "\n".join(out)


def record() -> None:
    """Say and hear everything, and write it down."""
    recording = Recording(HeldOut(speech_folder()), open_recogniser("own", None))
    dice = random.Random(SEED)
    spoken = list(lines(dice))
    turns = [turn for line in spoken for turn in recording.turns(line, dice)]
    FILE.write_text("".join(f"{as_line(turn)}\n" for turn in turns), encoding="utf-8")
    sys.stdout.write(f"{len(spoken)} lines said, {len(turns)} turns with words in {FILE}.\n")
    for (kind, came), count in sorted(recording.came_to.items()):
        sys.stdout.write(f"{kind}: {came}: {count}\n")


def choose() -> None:
    """Print what the limits in force cost, and where each would cost least."""
    items = all_understood(recorded())
    sys.stdout.write(f"{tally(items, LIMITS)}\n\n{told(choices(items))}\n\n")
    limits = settled(items)
    sys.stdout.write(
        f"Costs are in needless repeats, over {len(items)} turns: {total_cost(items, LIMITS):.1f} "
        f"with those in force. Chosen one after another until none moves:\n{limits}\n"
        f"They cost {total_cost(items, limits):.1f}.\n"
    )


def main() -> None:
    """Record or choose."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("what", choices=("record", "choose"))
    {"record": record, "choose": choose}[parser.parse_args().what]()


if __name__ == "__main__":
    main()
