"""Fits the ear's limits to a network: python -m tests.benchmarks.calibration collect|fit|report

collect  has the network hear the development takes (`development.py`) and keeps its answers in the
         folder for temporary files, under the network's SHA-256
fit      (collects first where needed) fits the weights of `coach.hearing.weighing` and what makes a
         text sure, and writes them to calibration.yaml beside the network
report   how right and how sure the ear is with the calibration that lies there, fitted and judged
         on different speakers and voices for the confidence (five folds)

Needs espeak-ng and recordings in the folder COACH_SPEECH (unset: ../shared/speech).
"""

from __future__ import annotations

import argparse
import pickle
import sys
import tempfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import yaml
from numpy.typing import NDArray

from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges.acoustic_model import AcousticModel
from coach.edges.download import file_sha256
from coach.edges.embedded_recogniser import own_model, read_calibration, read_lexicon
from coach.hearing.calibration import FACTS, KINDS, TRAITS, Calibration
from coach.hearing.decode import Candidate, candidates, kind_of, shared, traits
from coach.hearing.features import LONGEST_SECONDS
from coach.hearing.lexicon import Lexicon
from coach.hearing.weighing import Moment as Language
from coach.hearing.weighing import weight_row
from coach.language.understand import understand

from . import development
from .development import Development, Take, moments
from .fitting import choice_weights, logistic_weights
from .recognisers import speech_folder

FOLDS = 5
BINS = 10
LOOKED_AT = 6
"""Candidates of a take whose meaning is looked at."""

START = {
    "fit": 0.67,
    "known_word": -3.4,
    "moment_word": -1.5,
    "moment_pair": 0.5,
    "lead_word": -1.8,
    "unit": -1.1,
    "number_awaited": -0.6,
    "number_asked": -2.7,
    "number_elsewhere": -4.2,
    "letter": -6.0,
    "broken_number": -3.0,
    "foreign_word": -2.7,
    "foreign_nats": -0.3,
    "whole_phrase": 3.4,
    "whole_answer": 2.0,
    "whole_number": 1.2,
    "whole_number_words": 0.3,
    "figures": 1.0,
    "out_of_range": -0.7,
    "nothing": -3.6,
    "nothing_unsure": 1.7,
    "nothing_letters": 0.4,
}
"""Where fitting begins, and what it is drawn to where the takes say little."""

SURE, CLEAR = (0.7, 0.0, 0.0, 0.0, 0.0), (0.0, -3.0, 0.0, 0.0, -1.0)
FIRST_CHANCE = {kind: CLEAR if kind == "foreign" else SURE for kind in KINDS}
"""Weights of TRAITS to begin with: foreign words are as sure as they are clear."""

FEWEST = 30
"""Fewer of a kind than this say nothing about it."""

ROUNDS = 1

Heard = tuple[Take, NDArray[np.float16]]
Row = NDArray[np.float64]


@dataclass(slots=True)
class Judged:
    """One take with its candidates: FACTS, which are right, and the meaning each belongs to."""

    take: Take
    found: list[Candidate]
    language: Language
    right: list[bool]


@dataclass(frozen=True, slots=True)
class Result:
    """What the ear made of a take: kind, chance, whether right, whether anything was taken."""

    take: Take
    text: str
    kind: str
    traits: tuple[float, ...]
    right: bool
    taken: bool

    counts: bool = True

    @property
    def stands(self) -> bool:
        """Whether it was said to the coach, and this is what was said: what the chance is of.

        Only what `counts` has a chance: words that would do something, or that nothing was made of
        because they do nothing here ("up").
        """
        return self.right and self.take.said is not None


# hearing


def cache_path(model: Path) -> Path:
    """Where the network's answers are kept; another development set has another name."""
    source = Path(development.__file__).read_bytes()
    folder = Path(tempfile.gettempdir()) / "coach-calibration"
    folder.mkdir(exist_ok=True)
    return folder / f"{file_sha256(model)[:16]}-{zlib.crc32(source):08x}.pickle"


def collect(model: Path) -> list[Heard]:
    """The development takes without their sound, with the network's log-probabilities."""
    path = cache_path(model)
    if path.is_file():
        with path.open("rb") as file:
            kept: list[Heard] = pickle.load(file)
        return kept
    network = AcousticModel(model)
    heard = []
    for take in Development(speech_folder()).takes():
        sound = take.sound[: int(LONGEST_SECONDS * SAMPLE_RATE_HZ)]
        log_probs = network.log_probabilities(sound)
        silent = Take(take.what, take.said, take.group, take.ratio_db, take.moment, sound[:0])
        heard.append((silent, log_probs.astype(np.float16)))
    with path.open("wb") as file:
        pickle.dump(heard, file)
    return heard


# judging


@lru_cache(maxsize=200_000)
def meaning(text: str, moment: str) -> tuple[object, ...]:
    """What a text would do at a moment; nothing but None where it does nothing."""
    said = understand(text, moments()[moment].context)
    readings = tuple((r.quantity, r.values) for r in said.readings)
    steps = tuple((s.step, s.denied, s.part) for s in said.steps)
    return said.answer, said.command, readings or None, steps or None


NOTHING = (None, None, None, None)


def spelt(said: str) -> str:
    """What was said as the recogniser spells it."""
    return said.lower().replace("p s i", "psi").replace(",", "")


def is_right(text: str, take: Take) -> bool:
    """Whether a text does what was said; noise must give no text at all."""
    if take.what == "noise":
        return not text
    heard = meaning(text, take.moment) if text else NOTHING
    if take.said is None:
        return heard == NOTHING
    said = meaning(spelt(take.said), take.moment)
    return text == spelt(take.said) if said == NOTHING else heard == said


@lru_cache(maxsize=64)
def _language(name: str, weights: tuple[float, ...]) -> Language:
    return Language(_lexicon(), moments()[name].hint, weights)


@lru_cache(maxsize=1)
def _lexicon() -> Lexicon:
    return read_lexicon()


def judged(heard: Sequence[Heard], weights: tuple[float, ...]) -> list[Judged]:
    """Candidates of every take under these weights, and which of them are right."""
    rows = []
    for take, log_probs in heard:
        language = _language(take.moment, weights)
        found = candidates(log_probs.astype(np.float32), language)
        right = [
            is_right(c.text, take) if at < LOOKED_AT or c.text == take.said else False
            for at, c in enumerate(found)
        ]
        rows.append(Judged(take, found, language, right))
    return rows


# fitting


def fitted_weights(rows: Sequence[Judged]) -> dict[str, float]:
    """Weights of FACTS under which right candidates win over wrong ones."""
    usable = [row for row in rows if any(row.right) and not all(row.right)]
    widest = max(len(row.found) for row in usable)
    facts = np.zeros((len(usable), widest, len(FACTS)))
    there = np.zeros((len(usable), widest), bool)
    right = np.zeros((len(usable), widest), bool)
    for at, row in enumerate(usable):
        count = len(row.found)
        facts[at, :count] = [candidate.facts for candidate in row.found]
        there[at, :count] = True
        right[at, :count] = row.right
    start = np.array(weight_row(START))
    weights = choice_weights(facts, there, right, start)
    return {name: round(float(w), 4) for name, w in zip(FACTS, weights, strict=True)}


def results(rows: Sequence[Judged], weights: dict[str, float]) -> list[Result]:
    """What is chosen for every take by these weights among the candidates."""
    made = []
    row_weights = weight_row(weights)
    for row in rows:
        if not row.found:
            right = is_right("", row.take)
            made.append(Result(row.take, "", "silence", (), right, taken=False, counts=False))
            continue
        again = sorted(
            (
                Candidate(
                    c.text, c.facts, sum(w * f for w, f in zip(row_weights, c.facts, strict=True))
                )
                for c in row.found
            ),
            key=lambda c: (-c.weight, c.text),
        )
        best, share = shared(again, row.language)[0]
        kind = kind_of(best, row.language) if best.text else "silence"
        right = is_right(best.text, row.take)
        moment = row.take.moment
        taken = bool(best.text) and meaning(best.text, moment) != NOTHING
        idle = row.take.said is not None and meaning(spelt(row.take.said), moment) == NOTHING
        facts = traits(best, share, again)
        made.append(Result(row.take, best.text, kind, facts, right, taken, taken or idle))
    return made


def fitted_confidence(made: Sequence[Result]) -> dict[str, tuple[float, ...]]:
    """For each of KINDS the weights of TRAITS that give the chance of being right."""
    fitted = {}
    for kind in KINDS:
        chosen = [r for r in made if r.kind == kind and r.counts]
        traits_of = np.array([r.traits for r in chosen] or np.zeros((0, len(TRAITS))))
        right = np.array([r.stands for r in chosen], float)
        first = np.array(FIRST_CHANCE[kind])
        enough = len(chosen) >= FEWEST
        weights = logistic_weights(traits_of, right, first) if enough else first
        fitted[kind] = tuple(round(float(w), 4) for w in weights)
    return fitted


def folds(heard: Sequence[Heard]) -> list[int]:
    """The fold of every take: all of a speaker or voice in one."""
    return [zlib.crc32(take.group.encode()) % FOLDS for take, _ in heard]


# telling


def expected_error(chances: Row, right: Row) -> float:
    """Expected calibration error over BINS equal bins (Guo et al. 2017, equation 3)."""
    bins = np.minimum((chances * BINS).astype(int), BINS - 1)
    gaps = [
        np.sum(bins == b) * abs(chances[bins == b].mean() - right[bins == b].mean())
        for b in range(BINS)
        if np.any(bins == b)
    ]
    return float(sum(gaps) / len(chances))


def chances_of(made: Sequence[Result], confidence: dict[str, tuple[float, ...]]) -> Row:
    """The chance of every result; 0 for silence."""
    calibration = Calibration("", {}, confidence)
    return np.array(
        [0.0 if r.kind == "silence" else calibration.chance(r.kind, r.traits) for r in made]
    )


def told(made: Sequence[Result], chances: Row) -> str:
    """Right, wrong and refused by what was said and by noise, and reliability by kind."""
    lines = ["| said | noise | takes | right | wrong, taken | of these over .8 | over .95 |"]
    lines.append("|---|---|---|---|---|---|---|")
    keys = sorted(
        {(r.take.what, -(r.take.ratio_db if r.take.ratio_db is not None else 99)) for r in made}
    )
    for what, minus in keys:
        some = [
            at
            for at, r in enumerate(made)
            if r.take.what == what
            and -(r.take.ratio_db if r.take.ratio_db is not None else 99) == minus
        ]
        wrong = [at for at in some if made[at].taken and not made[at].right]
        noise = "none added" if minus == -99 else f"{-minus:g} dB"
        right = sum(made[at].right for at in some)
        over = [sum(chances[at] > least for at in wrong) for least in (0.8, 0.95)]
        lines.append(
            f"| {what} | {noise} | {len(some)} | {right} | {len(wrong)} | {over[0]} | {over[1]} |"
        )
    lines += [
        "",
        "| kind | heard | right | expected calibration error | over .95: right of |",
        "|---|---|---|---|---|",
    ]
    for kind in (*KINDS, "all"):
        of = np.array([r.counts and (r.kind == kind or kind == "all") for r in made])
        if not of.any():
            continue
        right = np.array([r.stands for r in made], float)[of]
        sure = chances[of] > 0.95
        lines.append(
            f"| {kind} | {of.sum()} | {int(right.sum())} "
            f"| {expected_error(chances[of], right):.3f} "
            f"| {int(right[sure].sum())} of {sure.sum()} |"
        )
    return "\n".join(lines)


def mistakes(made: Sequence[Result], chances: Row, least: float) -> str:
    """Every wrong text over a chance."""
    return "\n".join(
        f"{r.take.what} {r.take.group} {r.take.ratio_db} {r.take.moment}: "
        f"{r.take.said!r} heard {r.text!r} ({chance:.2f}, {r.kind})"
        for r, chance in zip(made, chances, strict=True)
        if not r.right and chance >= least and (r.taken or r.take.said)
    )


def cross_validated(
    rows: Sequence[Judged],
    fold_of: Sequence[int],
    refit: Callable[[Sequence[Judged]], dict[str, float]],
) -> tuple[list[Result], Row]:
    """Results and chances of every take by what was fitted to other speakers and voices."""
    made: list[Result | None] = [None] * len(rows)
    chances = np.zeros(len(rows))
    for fold in range(FOLDS):
        others = [row for row, of in zip(rows, fold_of, strict=True) if of != fold]
        weights = refit(others)
        confidence = fitted_confidence(results(others, weights))
        held = [at for at, of in enumerate(fold_of) if of == fold]
        some = results([rows[at] for at in held], weights)
        for at, result, chance in zip(held, some, chances_of(some, confidence), strict=True):
            made[at], chances[at] = result, chance
    return [result for result in made if result is not None], chances


def fit(model: Path) -> tuple[Calibration, str]:
    """The calibration of a network, and the report on it."""
    heard = collect(model)
    weights = dict(START)
    rows: list[Judged] = []
    for _ in range(ROUNDS):
        rows = judged(heard, weight_row(weights))
        weights = fitted_weights(rows)
    rows = judged(heard, weight_row(weights))
    confidence = fitted_confidence(results(rows, weights))
    made, chances = cross_validated(rows, folds(heard), fitted_weights)
    return Calibration(file_sha256(model), weights, confidence), told(made, chances)


def written(calibration: Calibration) -> str:
    """The calibration as the YAML file beside the network."""
    tree = {
        "model": calibration.model,
        "weights": dict(calibration.weights),
        "confidence": {
            kind: dict(zip(TRAITS, calibration.confidence[kind], strict=True)) for kind in KINDS
        },
    }
    head = (
        "# What was fitted to the network beside it: python -m tests.benchmarks.calibration fit\n"
        "# Weights are in nats; coach/hearing/calibration.py says of what.\n"
    )
    return head + yaml.safe_dump(tree, sort_keys=False)


def main() -> None:
    """Collect, fit or report."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("do", choices=("collect", "fit", "report"))
    parser.add_argument("--model", type=Path, help="an ONNX file (default: the program's own)")
    parser.add_argument("--out", type=Path, help="where to write (default: beside the network)")
    parser.add_argument("--mistakes", type=float, help="list wrong texts at least so sure")
    chosen = parser.parse_args()
    model = chosen.model or own_model()
    if chosen.do == "collect":
        sys.stdout.write(f"{len(collect(model))} takes\n")
    elif chosen.do == "fit":
        calibration, report = fit(model)
        place = chosen.out or model.with_name("calibration.yaml")
        place.write_text(written(calibration), encoding="utf-8")
        sys.stdout.write(f"{report}\n\nWritten to {place}.\n")
    else:
        calibration = read_calibration(model)
        weights = dict(calibration.weights)
        rows = judged(collect(model), weight_row(weights))
        made = results(rows, weights)
        chances = chances_of(made, dict(calibration.confidence))
        sys.stdout.write(told(made, chances) + "\n")
        if chosen.mistakes is not None:
            sys.stdout.write(mistakes(made, chances, chosen.mistakes) + "\n")


if __name__ == "__main__":
    main()
