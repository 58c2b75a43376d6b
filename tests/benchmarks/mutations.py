"""Whether dialogues notice changes of a skill: python -m tests.benchmarks.mutations [SKILL]...

Four kinds of change, each made by itself wherever it can be: a step is taken out; an order that is
bound is turned round; a fact is changed (as tests.benchmarks.changed_facts does it); a negation is
dropped, from what the coach says, from what it listens for, or a finding whose absence is good news
is forgotten. The skill's dialogues are played, as text, until one falls short; at least 95 % of the
changes have to be noticed. `--short` takes a few of each kind, `--list` names what goes unnoticed.
What a session neither tells nor compares, with any choice, is not counted: cautions, and the
texts of settings. The exit code is 1 if a skill falls short.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from coach.app.script import shortfalls
from coach.app.scripted_practice import practise_script
from coach.edges.skill_files import load_dialogues, load_skill
from coach.edges.skill_folders import skill_ids, skill_path
from coach.procedure.dialogue_file import Dialogue
from coach.procedure.skill_file import SkillFile, skill_file_from
from coach.procedure.yaml_tree import Json

from .changed_facts import facts_changed, told

WANTED = 0.95
"""Share of the changes that the dialogues have to notice (the issue of the bench)."""

FEW = 4
"""Changes of a kind that the short form tries in a skill."""

KINDS = ("step out", "order turned", "fact changed", "negation dropped")

NEGATION = re.compile(
    r"\b(?:not|never|no|nothing|nobody|without|cannot|none)\b\s*|n't\b", re.IGNORECASE
)

SPOKEN = ("say", "why", "how", "aloud", "found", "ask", "outside", "over", "announce", "because")
UNSPOKEN_PARTS = ("settings", "sources", "cautions", "table")


@dataclass(frozen=True, slots=True)
class Change:
    """One change: its kind, where it was made, and the skill with it."""

    kind: str
    where: str
    skill_file: SkillFile


@dataclass(frozen=True, slots=True)
class Score:
    """How many changes of a skill, of one kind, were noticed, and those that were not."""

    noticed: int
    unnoticed: tuple[str, ...]

    @property
    def tried(self) -> int:
        """Changes that were tried."""
        return self.noticed + len(self.unnoticed)


def main(arguments: Sequence[str]) -> int:
    """Print the share of each kind that each skill's dialogues notice."""
    parser = argparse.ArgumentParser(description="Whether dialogues notice changed skills.")
    parser.add_argument("skills", nargs="*")
    parser.add_argument("--short", action="store_true", help=f"{FEW} changes of each kind")
    parser.add_argument("--list", action="store_true", help="name what goes unnoticed")
    asked = parser.parse_args(arguments)
    total = {kind: Score(0, ()) for kind in KINDS}
    low = []
    sys.stdout.write(f"| skill | {' | '.join(KINDS)} | all |\n|---|{'---:|' * (len(KINDS) + 1)}\n")
    for skill in asked.skills or skill_ids():
        scores = scores_of(skill, FEW if asked.short else None)
        sys.stdout.write(_row(skill, scores))
        sys.stdout.flush()
        if share(scores) < WANTED:
            low.append(skill)
        for kind, score in scores.items():
            total[kind] = Score(
                total[kind].noticed + score.noticed, total[kind].unnoticed + score.unnoticed
            )
            for where in score.unnoticed if asked.list else ():
                sys.stderr.write(f"{skill}: {kind}: {where}\n")
    sys.stdout.write(_row("all", total))
    return 1 if low else 0


def scores_of(
    skill: str, most: int | None = None, kinds: Sequence[str] = KINDS, known_to_hold: bool = False
) -> dict[str, Score]:
    """What the skill's dialogues notice of each kind; of `most` changes a kind, spread evenly.

    SystemExit where a dialogue falls short of the skill as it is, which would notice any change;
    not looked for where all are `known_to_hold`.
    """
    skill_file = load_skill(skill)
    dialogues = list(load_dialogues(skill_path(skill).with_name(f"{skill}.dialogues.yaml")))
    short = [
        dialogue.name
        for dialogue in dialogues
        if not known_to_hold and _falls_short(skill_file, dialogue)
    ]
    if short:
        raise SystemExit(f"{skill}: falls short unchanged: {'; '.join(short)}. Mend that first.")
    scores = {}
    for kind in kinds:
        changes = list(changes_of(skill_file, kind, most))
        unnoticed = tuple(change.where for change in changes if not noticed(change, dialogues))
        scores[kind] = Score(len(changes) - len(unnoticed), unnoticed)
    return scores


def share(scores: dict[str, Score]) -> float:
    """The share of all changes that were noticed; 1 if there were none."""
    tried = sum(score.tried for score in scores.values())
    return sum(score.noticed for score in scores.values()) / tried if tried else 1.0


def noticed(change: Change, dialogues: list[Dialogue]) -> bool:
    """Whether some dialogue falls short; it comes first then, for it may notice the next too."""
    for place, dialogue in enumerate(dialogues):
        if _falls_short(change.skill_file, dialogue):
            dialogues.insert(0, dialogues.pop(place))
            return True
    return False


def _falls_short(skill_file: SkillFile, dialogue: Dialogue) -> bool:
    try:
        played = practise_script(skill_file, dialogue)
    except (KeyError, ValueError):
        return True  # the session itself stumbles over it
    return any(True for _ in shortfalls(played))


def changes_of(skill_file: SkillFile, kind: str, most: int | None = None) -> Iterator[Change]:
    """Every change of a kind that alters what a session can tell, compare or hear; of `most`
    changes, spread evenly."""
    if kind == "fact changed":
        made = list(facts_changed(skill_file.id))
    else:
        make = {"step out": _steps_out, "order turned": _turned, "negation dropped": _dropped}[kind]
        made = [
            (
                where,
                replace(
                    skill_file_from(written, skill_file.file),
                    cylinders=skill_file.cylinders,
                    numbers=skill_file.numbers,
                ),
            )
            for where, written in make(deepcopy(dict(skill_file.written)))
        ]
    if most is not None and len(made) > most:
        made = [made[place * len(made) // most] for place in range(most)]
    as_written = told(skill_file)
    for where, changed in made:
        if told(changed) != as_written:
            yield Change(kind, where, changed)


Made = Iterator[tuple[str, dict[str, Json]]]


def _steps_out(root: Any) -> Made:
    """Each step taken out, with everything that names it."""
    for number, step in enumerate(root["steps"]):
        gone = step["id"]
        written = deepcopy(root)
        del written["steps"][number]
        for part in _parts(written):
            part["after"] = [f for f in part.get("after") or [] if f["step"] != gone]
        written["complications"] = [
            {**c, "reopens": [s for s in c.get("reopens") or [] if s != gone]}
            for c in written.get("complications") or []
            if c["after"] != gone
        ]
        known = {c["id"] for c in written["complications"]}
        written["steps"] = [
            s for s in written["steps"] if s.get("complication") in (None, "", *known)
        ]
        yield gone, written


def _turned(root: Any) -> Made:
    """Each `after` turned round, or only taken out where a circle would come of it."""
    for place, part in enumerate(_parts(root)):
        for item, first in enumerate(part.get("after") or []):
            written = deepcopy(root)
            changed = _parts(written)[place]
            del changed["after"][item]
            owner = _owner(written, place)
            earlier = next(s for s in written["steps"] if s["id"] == first["step"])
            if not _waits(written, owner, first["step"]):
                earlier.setdefault("after", []).append({**first, "step": owner})
            yield f"{first['step']} before {owner}", written


def _dropped(root: Any) -> Made:
    """Each word of negation dropped, and each finding whose absence is good news forgotten."""
    for path, text in _texts(root, ()):
        if path[0] in UNSPOKEN_PARTS or "cautions" in path:
            continue
        if len(path) > 1 and path[-2] == "keys":
            kept = [word for word in text.split() if not _denies(word)]
            if kept and len(kept) < len(text.split()):
                yield f"{_named(root, path)}: {text}", _with(root, path, " ".join(kept))
        elif path[-1] in SPOKEN or (len(path) > 1 and path[-2] == "phrases"):
            for found in NEGATION.finditer(text):
                shorter = _affirmed(text, found)
                if shorter:
                    yield f"{_named(root, path)}: {text}", _with(root, path, shorter)
        elif len(path) > 1 and path[-2] == "absent":
            yield f"{_named(root, path)}: {text}", _without(root, path)


def _affirmed(text: str, found: re.Match[str]) -> str:
    """The text without this negation; "can't" becomes "can", and "won't" becomes "will"."""
    before, after = text[: found.start()], text[found.end() :]
    if found[0].lower() == "n't":
        before = re.sub(r"\b(c)a$", r"\1an", before, flags=re.IGNORECASE)
        before = re.sub(r"\bwo$", "will", before, flags=re.IGNORECASE)
    return (before + after).strip()


def _denies(word: str) -> bool:
    """Whether each form of a word of a key line is a negation."""
    return all(NEGATION.fullmatch(form) or form.endswith("n't") for form in word.split("/"))


def _parts(root: Any) -> list[Any]:
    """Every step and variant, in order."""
    return [part for step in root["steps"] for part in (step, *(step.get("variants") or []))]


def _owner(root: Any, place: int) -> str:
    """The id of the step that a part belongs to."""
    owners = [s["id"] for s in root["steps"] for _ in (s, *(s.get("variants") or []))]
    return str(owners[place])


def _waits(root: Any, name: str, other: str) -> bool:
    """Whether `name` waits for `other`, in turn, in some variant."""
    firsts: dict[str, set[str]] = {}
    for place, part in enumerate(_parts(root)):
        firsts.setdefault(_owner(root, place), set()).update(
            first["step"] for first in part.get("after") or []
        )
    seen, waiting = {name}, [name]
    while waiting:
        for first in firsts.get(waiting.pop(), ()):
            if first == other:
                return True
            if first not in seen:
                seen.add(first)
                waiting.append(first)
    return False


def _texts(value: Any, path: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str]]:
    if isinstance(value, str):
        yield path, value
    if isinstance(value, dict | list):
        pairs = value.items() if isinstance(value, dict) else enumerate(value)
        for key, child in pairs:
            yield from _texts(child, (*path, key))


def _with(root: Any, path: tuple[Any, ...], text: str) -> dict[str, Json]:
    written: dict[str, Json] = deepcopy(root)
    place: Any = written
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = text
    return written


def _without(root: Any, path: tuple[Any, ...]) -> dict[str, Json]:
    written: dict[str, Json] = deepcopy(root)
    place: Any = written
    for key in path[:-1]:
        place = place[key]
    del place[path[-1]]
    return written


def _named(root: Any, path: tuple[Any, ...]) -> str:
    shown = [str(root["steps"][path[1]]["id"]) if path[0] == "steps" else str(path[0])]
    return " ".join([*shown, *(str(key) for key in path[2:])])


def _row(skill: str, scores: dict[str, Score]) -> str:
    cells = [f"{s.noticed} of {s.tried}" for s in scores.values()]
    return f"| {skill} | {' | '.join(cells)} | {100 * share(scores):.1f} % |\n"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
