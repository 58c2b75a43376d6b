"""Fits ../carelessness.json: which words around those of a step tell that it was done carelessly.

    python models/training/carelessness.py [--try] [--lost 0.08]

Run in the project's folder with its own environment. Learned from: careless_sentences.yaml beside
this file, the sentences of tests/data named in SETS, paraphrases.yaml, golden_attempts.yaml and
every turn of the skills' dialogues; all of these only prove, as tests, that it stays so. Of
the careless ones only those count that the words alone would credit: the rest needs no table. The
rates it prints are of skills left out of the fit. --lost is the share of plain sentences (left
out of the fit) that may be asked about; --try only measures.
"""
# ruff: noqa: E402 - what is imported from the project comes after its path
import argparse
import json
import random
import sys
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import numpy as np
import yaml

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from coach.app.scripted_practice import practise_script
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_folders import is_skill_file
from coach.language.carelessness import traits_of
from coach.language.context import Context
from coach.language.normal import plain
from coach.language.understand import understand
from coach.records.statistics import wilson

from as_recognised import as_recognised

SETS = ("careless_sayings", "careless_again", "careless_further", "untrained_sayings")
ATTEMPTS = "golden_attempts"
DIALOGUES = "dialogues"
DIALOGUE_WEIGHT = 0.3
"""They are many, and in the words of the skill files."""

RIDGE = 3.0
FEWEST_SKILLS = 2
"""In how many skills a trait has to occur."""

FOLDS = 8

MARGIN_NATS = 0.2
"""How far below the limit the table leaves what dialogues and golden attempts tell."""

HEAVIER = 4.0
"""What such a telling weighs more after each fit that leaves it above."""

MOST_FITS = 6


class Recorder:
    """Doubts nothing, and keeps what there is to weigh."""

    def __init__(self):
        self.told = {}

    def doubts(self, telling):
        self.told[telling.step.id] = traits_of(telling)
        return None


class Example:
    def __init__(self, source, skill, step, traits, careless, text):
        self.source, self.skill, self.step = source, skill, step
        self.traits = frozenset(traits.words)
        self.careless, self.text = careless, text
        self.weight = DIALOGUE_WEIGHT if source == DIALOGUES else 1.0


def told(text, skill, step, steps):
    recorder = Recorder()
    ordered = sorted(steps, key=lambda one: one.id != step)
    understand(text, Context(steps=tuple(ordered), suggested=step), recorder)
    return {one: traits for one, traits in recorder.told.items() if traits.besides}


def of_sets():
    for name in SETS:
        for half, skills in yaml.safe_load((ROOT / f"tests/data/{name}.yaml").read_text("utf-8")).items():
            yield from of_skills(f"{name}/{half}", skills)
    own = yaml.safe_load((HERE / "careless_sentences.yaml").read_text("utf-8"))
    yield from of_skills("careless_sentences", own)


def of_skills(source, skills):
    for skill_id, kinds in skills.items():
        skill_file = load_skill(skill_id)
        came = frozenset(one.id for one in skill_file.complications)
        for kind, careless in (("not", True), ("credits", False)):
            for step, lines in kinds.get(kind, {}).items():
                for line in lines:
                    line = line if isinstance(line, dict) else {"says": line}
                    steps = asked_context(skill_file.chosen(line.get("with", {}), came), None, None).steps
                    also = set(line.get("also", ()))
                    yield from of_line(source, skill_id, step, also, line["says"], steps, careless)


def of_line(source, skill_id, step, also, says, steps, careless):
    for text in dict.fromkeys((says, plain(says))):
        for one, traits in told(text, skill_id, step, steps).items():
            if (one not in also) if careless else (one == step or one in also):
                yield Example(source, skill_id, one, traits, careless, text)


def of_paraphrases():
    for skill_id, lines in yaml.safe_load((ROOT / "tests/data/paraphrases.yaml").read_text("utf-8")).items():
        skill_file = load_skill(skill_id)
        for line in lines:
            came = frozenset({line["came"]} if "came" in line else ())
            steps = asked_context(skill_file.chosen(line.get("with", {}), came), None, None).steps
            also = {line["also"]} if "also" in line else set()
            yield from of_line("paraphrases", skill_id, line["step"], also, line["says"], steps, False)


class Heard(Recorder):
    """Keeps every telling of a session."""

    def __init__(self):
        self.kept = []

    def doubts(self, telling):
        self.kept.append((telling, traits_of(telling)))
        return None


def of_dialogues():
    for file in sorted((ROOT / "procedures").glob("*.yaml")):
        written = file.with_name(f"{file.stem}.dialogues.yaml")
        if not is_skill_file(file) or not written.exists():
            continue
        skill_file = load_skill(file.stem)
        for dialogue in load_dialogues(written, skill_file):
            for played in (dialogue, without_punctuation(dialogue)):
                heard = Heard()
                practise_script(skill_file, played, careless=heard)
                for telling, traits in heard.kept:
                    if traits.besides:
                        text = ", ".join(" ".join(clause.texts) for clause in telling.clauses)
                        yield Example(DIALOGUES, file.stem, telling.step.id, traits, False, text)


def without_punctuation(dialogue):
    """The dialogue as a recogniser writes it."""
    turns = (replace(turn, learner=turn.learner and as_recognised(turn.learner)) for turn in dialogue.turns)
    return replace(dialogue, turns=tuple(turns))


def of_attempts():
    """What attempts that were judged by hand tell, but for steps that were not done well."""
    file = ROOT / "tests/data/golden_attempts.yaml"
    for attempt in yaml.safe_load(file.read_text("utf-8")):
        came = frozenset(attempt.get("complications", ()))
        skill = load_skill(attempt["skill"]).chosen(attempt.get("settings", {}), came)
        steps = asked_context(skill, None, None).steps
        for turn in attempt["turns"]:
            if isinstance(turn, str):
                for one, traits in told(turn, skill.id, None, steps).items():
                    if one not in attempt["marks"]:
                        yield Example(ATTEMPTS, skill.id, one, traits, False, turn)


def gathered():
    """All examples, those that are alike once."""
    unique = {}
    for example in [*of_sets(), *of_paraphrases(), *of_attempts(), *of_dialogues()]:
        unique.setdefault((example.skill, example.step, example.traits, example.careless), example)
    return list(unique.values())


def fit(examples):
    skills = defaultdict(set)
    for example in examples:
        for trait in example.traits:
            skills[trait].add(example.skill)
    known = sorted(trait for trait, found in skills.items() if len(found) >= FEWEST_SKILLS)
    matrix = matrix_of(examples, known)
    careless = np.array([example.careless for example in examples], float)
    counts = np.array([example.weight for example in examples])
    weights = np.zeros(matrix.shape[1])
    ridge = np.full(matrix.shape[1], RIDGE)
    ridge[-1] = 1e-6
    for _ in range(12):  # Newton's method for the logistic loss with a ridge
        chance = 1 / (1 + np.exp(-np.clip(matrix @ weights, -30, 30)))
        slope = matrix.T @ (counts * (chance - careless)) + ridge * weights
        curve = counts * np.maximum(chance * (1 - chance), 1e-6)
        step = solved(lambda v, c=curve: matrix.T @ (c * (matrix @ v)) + ridge * v, slope)
        weights -= step
        if np.abs(step).max() < 1e-3:
            break
    return dict(zip(known, weights[:-1], strict=True)), weights[-1]


def kept_below(examples, limit):
    """The table of a fit that leaves what dialogues and golden attempts tell below the limit."""
    for _ in range(MOST_FITS):
        table = fit(examples)
        above = weigh(examples, table) > limit
        known = [e for e, over in zip(examples, above, strict=True) if over and e.source in (DIALOGUES, ATTEMPTS)]
        print(f"{len(known)} tellings of dialogues and golden attempts above the limit")
        for example in known:
            example.weight *= HEAVIER
        if not known:
            break
    return table


def solved(times, wanted, rounds=80):
    """The vector that `times` makes `wanted` of, by conjugate gradients."""
    found, rest = np.zeros_like(wanted), wanted.copy()
    way, size = rest.copy(), rest @ rest
    for _ in range(rounds):
        bent = times(way)
        share = size / (way @ bent)
        found += share * way
        rest -= share * bent
        before, size = size, rest @ rest
        if size < 1e-10:
            break
        way = rest + (size / before) * way
    return found


def matrix_of(examples, known):
    place = {trait: at for at, trait in enumerate(known)}
    matrix = np.zeros((len(examples), len(known) + 1))
    matrix[:, -1] = 1
    for row, example in enumerate(examples):
        matrix[row, [place[trait] for trait in example.traits if trait in place]] = 1
    return matrix


def weigh(examples, table):
    weights, base = table
    return np.array([base + sum(weights.get(trait, 0.0) for trait in e.traits) for e in examples])


def left_out(examples):
    """What each example comes to by a table that its skill had no part in."""
    skills = sorted({example.skill for example in examples})
    random.Random(1).shuffle(skills)
    fold = {skill: at % FOLDS for at, skill in enumerate(skills)}
    found = np.zeros(len(examples))
    for one in range(FOLDS):
        inside = [n for n, e in enumerate(examples) if fold[e.skill] == one]
        table = fit([e for e in examples if fold[e.skill] != one])
        found[inside] = weigh([examples[n] for n in inside], table)
    return found


def rate(hits):
    if not len(hits):
        return "none"
    within = wilson(int(sum(hits)), len(hits))
    share = sum(hits) / len(hits)
    return f"{sum(hits)} of {len(hits)} ({share:.1%}, {within.low:.1%} to {within.high:.1%})"


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--try", dest="only_try", action="store_true", help="write nothing")
    parser.add_argument("--lost", type=float, default=0.08, help="share of plain sentences asked about")
    parser.add_argument("--show", action="store_true", help="print the plain sentences that are doubted")
    asked = parser.parse_args()
    examples = gathered()
    found = left_out(examples)
    plain_ones = np.array([not (e.careless or e.source in (DIALOGUES, ATTEMPTS)) for e in examples])
    limit = float(np.quantile(found[plain_ones], 1 - asked.lost))
    print(f"limit {limit:.3f}; doubted, by tables without the skill:")
    for source in sorted({(e.careless, e.source) for e in examples}):
        those = np.array([(e.careless, e.source) == source for e in examples])
        print(f"  {'careless' if source[0] else 'plain':8} {source[1]:28} {rate(found[those] > limit)}")
    if asked.show:
        for n in np.argsort(-found):
            if found[n] > limit and not examples[n].careless:
                print(f"{found[n]:.2f} {examples[n].source} {examples[n].skill} {examples[n].step}: {examples[n].text}")
    weights, base = kept_below(examples, limit - MARGIN_NATS)
    again = weigh(examples, (weights, base)) > limit
    for careless in (True, False):
        those = np.array([e.careless is careless for e in examples])
        print(f"in the fit itself, {'careless' if careless else 'plain'}: {rate(again[those])}")
    kept = {trait: round(float(weight), 3) for trait, weight in weights.items() if abs(weight) >= 0.02}
    print(f"{len(examples)} tellings, {len(kept)} weights")
    if not asked.only_try:
        table = {"base": round(float(base), 3), "limit": round(limit, 3), "weights": kept}
        (HERE.parent / "carelessness.json").write_text(json.dumps(table, indent=0) + "\n", "utf-8")


if __name__ == "__main__":
    main()
