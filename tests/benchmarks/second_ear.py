"""What a second ear brings for whole sentences: python -m tests.benchmarks.second_ear

Sentences of tests/data in synthetic voices, clean and in noise, each at a moment in which its step
is due; and what must credit nothing: small talk, and the folders orders, phrases and noise of the
training recordings (COACH_SPEECH). The same clips are judged with the first ear alone and with
both. Needs espeak-ng, flite, and the model: coach models fetch whisper-tiny.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.dialogue.moment import asked_context, hint_of
from coach.edges.engines import open_ears
from coach.edges.second_pass import SecondPass
from coach.edges.skill_files import load_skill
from coach.edges.wave_file import read_recording
from coach.language.context import Context
from coach.session.judgement import judge
from coach.session.likeliest import likeliest, understood

from .recognisers import speech_folder
from .voices import CASTS, LEAD_S, TAIL_S, Cast, Studio, draw_speaker

DATA = Path(__file__).parents[1] / "data"
CLEAN_DB = 40.0
RATIOS_DB = (CLEAN_DB, 10.0)
BEFORE_S, AFTER_S = 0.3, 0.5
NOISE_S = 3.0
FLITE_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Clip:
    """A sound, the moment it is heard in, and the steps it may credit; none for a distractor."""

    kind: str
    sound: Samples
    context: Context
    steps: frozenset[str] = frozenset()


@dataclass
class Tally:
    """What became of the clips of one kind, with one ear and with both."""

    one: Counter[str] = field(default_factory=Counter)
    both: Counter[str] = field(default_factory=Counter)
    heard_twice: int = 0


def sentences(cast: Cast, speech: Path, limit: int, seed: int) -> Iterator[Clip]:
    """Sentences about steps and small talk, in voices, rooms and noises of a cast."""
    studio = Studio(speech, cast)
    skills: dict[str, list[dict[str, Any]]] = yaml.safe_load(
        (DATA / "paraphrases.yaml").read_text("utf-8")
    )
    talk = yaml.safe_load((DATA / "small_talk.yaml").read_text("utf-8"))
    lines = [(name, line) for name, told in skills.items() for line in told]
    lines += [(tuple(skills)[n % len(skills)], {"says": said}) for n, said in enumerate(talk)]
    random.Random(seed).shuffle(lines)
    for number, (name, line) in enumerate(lines[:limit]):
        dice = random.Random(f"{seed} {number}")
        flite = dice.random() < FLITE_SHARE
        speaker = replace(
            draw_speaker(cast, len(studio.rooms), len(studio.noises), dice),
            program="flite" if flite else "espeak-ng",
            voice=dice.choice(cast.flite if flite else cast.espeak),
        )
        steps = frozenset(line[key] for key in ("step", "also") if key in line)
        for ratio_db in RATIOS_DB:
            taken = studio.take(line["says"], replace(speaker, ratio_db=ratio_db), number)
            first = round((LEAD_S - BEFORE_S) * SAMPLE_RATE_HZ)
            last = len(taken) - round((TAIL_S - AFTER_S) * SAMPLE_RATE_HZ)
            noise = "clean" if ratio_db == CLEAN_DB else f"{ratio_db:g} dB"
            kind = f"{'step' if steps else 'small talk'}, {noise}"
            yield Clip(kind, taken[first:last], moment(name, line), steps)


def moment(name: str, line: dict[str, Any]) -> Context:
    """The moment of a sentence: all steps of the skill open, its own due."""
    came = frozenset({line["came"]}) if "came" in line else frozenset[str]()
    context = asked_context(load_skill(name).chosen(line.get("with", {}), came), None, None)
    if "step" not in line:
        return context
    steps = sorted(context.steps, key=lambda step: step.id != line["step"])
    return replace(context, steps=tuple(steps), suggested=line["step"])


def distractors(speech: Path, limit: int) -> Iterator[Clip]:
    """Real people who say something else, and noise alone."""
    context = moment("oxygen-cylinder", {})
    for kind in ("orders", "phrases"):
        for path in sorted((speech / "train" / kind).rglob("*.flac"))[:limit]:
            yield Clip(kind, read_recording(path), context)
    for path in sorted((speech / "noise" / "train").glob("*.flac"))[:limit]:
        yield Clip("noise", read_recording(path)[: round(NOISE_S * SAMPLE_RATE_HZ)], context)


def outcome(clip: Clip, ears: SecondPass, tally: Tally, seconds: dict[str, list[float]]) -> None:
    """Hear a clip once with both ears, and judge it with one and with both."""
    hint = hint_of(clip.context)
    begin = time.perf_counter()
    heard = ears.hear(clip.sound, hint)
    which = "both ears" if heard.second_ear else "first ear alone"
    seconds[which].append(time.perf_counter() - begin)
    tally.heard_twice += heard.second_ear is not None
    for counts, given in ((tally.one, replace(heard, second_ear=None)), (tally.both, heard)):
        settled = likeliest(given, clip.context)
        meaning = judge(understood(settled, clip.context), settled).meaning
        credited = {mention.step for mention in meaning.steps if not mention.denied}
        if credited - clip.steps:
            counts["wrong"] += 1
        elif credited:
            counts["right"] += 1
        else:
            counts["asked" if meaning.likely else "nothing"] += 1


def main() -> None:
    """Measure and print a table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--cast", choices=tuple(CASTS), default="test", help="voices and noises")
    parser.add_argument("--limit", type=int, default=200, help="at most so many of each kind")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    speech = speech_folder()
    ears = open_ears("own", waits=True)
    if not isinstance(ears, SecondPass):
        sys.exit("There is no second ear here: coach models fetch whisper-tiny.")
    tallies: defaultdict[str, Tally] = defaultdict(Tally)
    seconds: defaultdict[str, list[float]] = defaultdict(list)
    clips = [sentences(CASTS[chosen.cast], speech, chosen.limit, chosen.seed)]
    for clip in (clip for source in (*clips, distractors(speech, chosen.limit)) for clip in source):
        outcome(clip, ears, tallies[clip.kind], seconds)
    write = sys.stdout.write
    write("| said | ears | clips | credited right | credited wrong | asked | heard twice |\n")
    write("|---|---|---|---|---|---|---|\n")
    for kind, tally in tallies.items():
        for ears_word, counts, twice in (
            ("one", tally.one, "-"),
            ("both", tally.both, str(tally.heard_twice)),
        ):
            cells = (counts.total(), counts["right"], counts["wrong"], counts["asked"], twice)
            write(f"| {kind} | {ears_word} | {' | '.join(map(str, cells))} |\n")
    for which, times in seconds.items():
        median, late = np.percentile(times, [50, 95])
        write(f"\n{which}: {median:.2f} s, 95 % under {late:.2f} s\n")
    if ears.trouble:
        sys.exit(ears.trouble)


if __name__ == "__main__":
    main()
