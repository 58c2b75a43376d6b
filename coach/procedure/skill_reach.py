"""What no session can ever come to: steps, variants and complications of a skill file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import prod

from coach.procedure.resolve import (
    Choices,
    every_choice,
    facts_of,
    listed,
    mapping,
)
from coach.procedure.skill_choices import MOST_CHOICES
from coach.procedure.standing import Standing
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path


def reach_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every step, variant and complication that no choice and no complication brings.

    What names an unknown setting, option or complication is passed over: that is told elsewhere.
    """
    facts = {name: options for name, options in facts_of(root.get("settings")).items() if options}
    if prod(map(len, facts.values())) > MOST_CHOICES:
        return
    reached = _Reached()
    standing = Standing(listed(root.get("steps")))
    deciding = {name: options for name, options in facts.items() if name in standing.deciding}
    for choices in every_choice(deciding):
        _walk(root, choices, standing, reached)
    for number, complication in enumerate(listed(root.get("complications"))):
        yield from _complication(root, number, mapping(complication), reached)
    parts = reached.parts()
    for number, written in enumerate(listed(root.get("steps"))):
        yield from _step(root, ("steps", number), mapping(written), reached, parts)


@dataclass
class _Reached:
    """Positions of steps, ids of complications, and what of the steps stood, each once."""

    steps: set[int] = field(default_factory=set)
    complications: set[str] = field(default_factory=set)
    fields: dict[tuple[int, int], dict[str, tuple[Path, Json]]] = field(default_factory=dict)

    def parts(self) -> set[Path]:
        """The paths of what stood, within the file."""
        return {
            ("steps", number, *path)
            for (number, _), fields in self.fields.items()
            for path, _ in fields.values()
        }


def _walk(root: dict[str, Json], choices: Choices, standing: Standing, reached: _Reached) -> None:
    """Note what is there with these choices, and with each complication that can come then."""
    waiting = [mapping(written) for written in listed(root.get("complications"))]
    moments: list[tuple[Choices, frozenset[str]]] = [(choices, frozenset())]
    for now, came in moments:
        present = _present(standing, now, came, reached)
        coming = [written for written in waiting if str(written.get("after")) in present]
        for written in coming:
            name = str(written.get("id"))
            waiting.remove(written)
            reached.complications.add(name)
            sets = {key: str(option) for key, option in mapping(written.get("sets")).items()}
            moments.append(({**now, **sets}, came | {name}))


def _present(
    standing: Standing, choices: Choices, came: frozenset[str], reached: _Reached
) -> set[str]:
    names: set[str] = set()
    for number, fields in standing.present(choices):
        complication = fields.get("complication")
        if complication is not None and str(complication[1]) not in came:
            continue
        names.add(str(standing.id_at(number)))
        reached.steps.add(number)
        reached.fields[number, id(fields)] = fields
    return names


def _complication(
    root: dict[str, Json], number: int, written: dict[str, Json], reached: _Reached
) -> Iterator[Mistake]:
    name, after = written.get("id"), written.get("after")
    if name not in _names(root, "complications") or after not in _names(root, "steps"):
        return
    if name not in reached.complications:
        path: Path = ("complications", number, "after")
        yield (
            path,
            f"complication '{name}' can never come: step '{after}' is never there before it, so "
            "name another step in 'after'.",
        )


def _step(
    root: dict[str, Json],
    path: Path,
    step: dict[str, Json],
    reached: _Reached,
    parts: set[Path],
) -> Iterator[Mistake]:
    complication = step.get("complication")
    if not _means_something(root, step.get("when")):
        return
    if complication is not None and complication not in _names(root, "complications"):
        return
    if path[1] not in reached.steps:
        if complication is None or complication in reached.complications:
            yield (
                (*path, "when"),
                f"{place(root, path)} can never be reached: no choice of the settings brings it"
                f"{f' after {complication!r} has come' if complication else ''}; mend its 'when'.",
            )
        return
    for number, variant in enumerate(listed(step.get("variants"))):
        here: Path = (*path, "variants", number)
        texts = set(mapping(variant)) - {"when"}
        if not texts or not _means_something(root, mapping(variant).get("when")):
            continue
        if not any((*here, key) in parts for key in texts):
            yield (
                here,
                f"{place(root, here)} never stands: no choice brings it together with the step, "
                "or a later variant says all of it otherwise; mend its 'when' or take it out.",
            )


def _names(root: dict[str, Json], key: str) -> list[Json]:
    found = (mapping(item).get("id") for item in listed(root.get(key)))
    return [name for name in found if isinstance(name, str)]


def _means_something(root: dict[str, Json], when: Json) -> bool:
    """Whether a `when` names only settings and options that there are."""
    for name, wanted in mapping(when).items():
        options = mapping(mapping(mapping(root.get("settings")).get(name)).get("options"))
        named: Iterable[Json] = wanted if isinstance(wanted, list) else [wanted]
        if any(option not in options for option in named if isinstance(option, str)):
            return False
    return True
