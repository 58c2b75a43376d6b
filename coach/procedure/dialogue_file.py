"""Written dialogues: what a learner says, and what the coach must make of it.

They prove a skill file, and they can stand in for a learner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.procedure.build import whole
from coach.procedure.filler import texts
from coach.procedure.resolve import listed, mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.skill_file import SkillFile
from coach.procedure.wording import Mistake, did_you_mean, nearest, place
from coach.procedure.yaml_tree import Json, Path, Tree, read_tree
from coach.trade.cylinders import Region

_DOERS = ("learner", "silence", "key")
_TURN_KEYS = (*_DOERS, "means", "coach", "never", "step")


@dataclass(frozen=True, slots=True)
class Turn:
    """One thing that happens, and what must come of it.

    Exactly one of `learner` (words said), `silence_s` (seconds) and `key` ("yes", "next",
    "repeat") is given. `means` is what the words must be understood as, in part; None asks
    nothing. Each text of `coach` must occur in what the coach says then, in any case, and none of
    `never` may. `step` is the step the coach listens for afterwards; "" asks nothing.
    """

    line: int
    learner: str | None = None
    silence_s: float | None = None
    key: str | None = None
    means: Mapping[str, Any] | None = None
    coach: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    step: str = ""


@dataclass(frozen=True, slots=True)
class Ends:
    """How a dialogue must end; None asks nothing. `oxygen_minutes` are whole minutes told, `line`
    is where it stands in its file (0: nothing is written of the end)."""

    line: int = 0
    done: tuple[str, ...] | None = None
    missed: tuple[str, ...] | None = None
    out_of_order: tuple[str, ...] | None = None
    forbidden: tuple[str, ...] | None = None
    oxygen_minutes: int | None = None


@dataclass(frozen=True, slots=True)
class Dialogue:
    """A whole practice as written. `settings` are the options chosen, `seed` lets complications
    come, `line` is where it begins in its file."""

    name: str
    line: int
    turns: tuple[Turn, ...]
    settings: Mapping[str, str] = field(default_factory=dict)
    seed: int | None = None
    region: str = "us"
    cylinder: str = "D"
    reserve_psi: float = 200.0
    pressure_unit: str = "psi"
    training_cylinder: str = "no"
    ends: Ends = Ends()


def parse_dialogues(
    text: str, file: str, schema: Mapping[str, Any], skill_file: SkillFile | None = None
) -> tuple[tuple[Dialogue, ...], tuple[Problem, ...]]:
    """The dialogues of a file's text and its problems, sorted by line; one of the two is empty.

    `schema` is the published `dialogues.schema.json`. Steps, settings, options and cylinders are
    checked when the skill file is given.
    """
    tree, problems = read_tree(text, file)
    if tree is None:
        return (), problems
    found = {*problems, *schema_problems(tree, schema, file)}
    for path, message in _mistakes(tree.value, skill_file):
        found.add(Problem(file, tree.line(path), message))
    if found:
        return (), tuple(sorted(found))
    return tuple(_dialogue(tree, number) for number in range(len(listed(tree.value)))), ()


def _mistakes(root: Json, skill_file: SkillFile | None) -> Iterator[Mistake]:
    names: set[str] = set()
    for number, dialogue in enumerate(listed(root)):
        written = mapping(dialogue)
        name = written.get("name")
        if isinstance(name, str):
            if name in names:
                yield (
                    (number, "name"),
                    f"two dialogues are named '{name}': give each its own name.",
                )
            names.add(name)
        yield from _cylinder(number, written, skill_file)
        for position, turn in enumerate(listed(written.get("turns"))):
            if isinstance(turn, dict):
                yield from _turn_mistakes(root, (number, "turns", position), turn)
        if skill_file:
            yield from _unknown_names(root, number, written, skill_file)


def _cylinder(
    number: int, written: dict[str, Json], skill_file: SkillFile | None
) -> Iterator[Mistake]:
    region, letter = written.get("region", "us"), written.get("cylinder", "D")
    if not isinstance(region, str) or not isinstance(letter, str):
        return
    regions = [str(known) for known in Region]
    if region not in regions:
        advice = did_you_mean(region, regions, "regions")
        yield (number, "region"), f"there is no region '{region}': {advice}"
        return
    if skill_file is None or not {"region", "cylinder"} & written.keys():
        return
    try:
        skill_file.cylinders.find(letter, Region(region))
    except InputError as error:
        yield (number, "cylinder"), str(error)


def _turn_mistakes(root: Json, path: Path, turn: dict[str, Json]) -> Iterator[Mistake]:
    doers = [key for key in _DOERS if key in turn]
    misspelt = any(nearest(key, _DOERS) for key in turn if key not in _TURN_KEYS)
    if len(doers) != 1 and not misspelt:
        count = f"both {' and '.join(doers)}" if doers else "no learner, silence or key"
        yield path, f"{place(root, path)} has {count}: write exactly one of the three."
    if "means" in turn and doers and "learner" not in doers:
        yield (
            (*path, "means"),
            f"{place(root, path)} has 'means' without words: take it out, or write 'learner'.",
        )


def _unknown_names(
    root: Json, number: int, written: dict[str, Json], skill_file: SkillFile
) -> Iterator[Mistake]:
    for name, option in mapping(written.get("settings")).items():
        path: Path = (number, "settings", name)
        if name not in skill_file.settings:
            advice = did_you_mean(name, skill_file.settings, "settings")
            yield path, f"the skill has no setting '{name}': {advice}"
        elif isinstance(option, str) and option not in skill_file.settings[name].options:
            advice = did_you_mean(option, skill_file.settings[name].options, "options")
            yield path, f"setting '{name}' has no option '{option}': {advice}"
    acts = skill_file.act_ids
    for path, step in _steps_named(number, written):
        spoken_of = (*skill_file.step_ids, *(acts if "means" in path else ()))
        if isinstance(step, str) and step not in spoken_of:
            advice = did_you_mean(step, spoken_of, "steps")
            yield path, f"the skill has no step '{step}': {advice}"
    for item, act in enumerate(listed(mapping(written.get("ends")).get("forbidden"))):
        if isinstance(act, str) and act not in acts:
            advice = did_you_mean(act, acts, "forbidden acts")
            yield (number, "ends", "forbidden", item), f"the skill forbids no '{act}': {advice}"


def _steps_named(number: int, written: dict[str, Json]) -> Iterator[tuple[Path, Json]]:
    for position, turn in enumerate(listed(written.get("turns"))):
        path: Path = (number, "turns", position)
        content = mapping(turn)
        yield (*path, "step"), content.get("step")
        means = mapping(content.get("means"))
        for key in ("steps", "negated"):
            for item, step in enumerate(listed(means.get(key))):
                yield (*path, "means", key, item), step
    for key in ("done", "missed", "out_of_order"):
        for item, step in enumerate(listed(mapping(written.get("ends")).get(key))):
            yield (number, "ends", key, item), step


def _dialogue(tree: Tree, number: int) -> Dialogue:
    written = mapping(listed(tree.value)[number])
    ends = mapping(written.get("ends"))
    return Dialogue(
        name=str(written["name"]),
        line=tree.line((number,)),
        turns=tuple(
            _turn(mapping(turn), tree.line((number, "turns", position)))
            for position, turn in enumerate(listed(written["turns"]))
        ),
        settings={key: str(option) for key, option in mapping(written.get("settings")).items()},
        seed=whole(written["seed"]) if "seed" in written else None,
        region=str(written.get("region", "us")),
        cylinder=str(written.get("cylinder", "D")),
        reserve_psi=float(str(written.get("reserve", 200.0))),
        pressure_unit=str(written.get("pressure-unit", "psi")),
        training_cylinder=str(written.get("training-cylinder", "no")),
        ends=Ends(
            line=tree.line((number, "ends")) if ends else 0,
            done=texts(ends["done"]) if "done" in ends else None,
            missed=texts(ends["missed"]) if "missed" in ends else None,
            out_of_order=texts(ends["out_of_order"]) if "out_of_order" in ends else None,
            forbidden=texts(ends["forbidden"]) if "forbidden" in ends else None,
            oxygen_minutes=whole(ends["oxygen_minutes"]) if "oxygen_minutes" in ends else None,
        ),
    )


def _turn(written: dict[str, Json], line: int) -> Turn:
    learner, silence, key = (written.get(name) for name in _DOERS)
    return Turn(
        line=line,
        learner=None if learner is None else str(learner),
        silence_s=None if silence is None else float(str(silence)),
        key=None if key is None else str(key),
        means=mapping(written["means"]) if "means" in written else None,
        coach=_one_or_more(written.get("coach")),
        never=_one_or_more(written.get("never")),
        step=str(written.get("step", "")),
    )


def _one_or_more(value: Json) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else texts(value)
