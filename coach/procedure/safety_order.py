"""Orders that a skill file declares although its own safety prerequisites forbid them."""

from __future__ import annotations

from collections.abc import Iterator

from coach.procedure.left_out import safety_firsts
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, place
from coach.procedure.yaml_tree import Json, Path


def safety_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every variant that drops what must come first for safety, every step suggested early, and
    every number that says it counts for safety where it cannot."""
    steps = [mapping(step) for step in listed(root.get("steps"))]
    positions: dict[str, int] = {}
    for number, step in enumerate(steps):
        name = step.get("id")
        if isinstance(name, str):
            positions.setdefault(name, number)
    yield from _idle_flags(root, steps)
    for number, step in enumerate(steps):
        needed = safety_firsts(step)
        for first in needed:
            if positions.get(first, -1) > number and not _waits(steps, positions, first, number):
                yield (
                    ("steps", number),
                    f"{place(root, ('steps', number))} stands before '{first}', which must come "
                    f"first for safety: move it down, for the coach suggests steps in this order.",
                )
        for position, variant in enumerate(listed(step.get("variants"))):
            # A variant with a `say` of its own is another act, with prerequisites of its own.
            if "after" not in mapping(variant) or "say" in mapping(variant):
                continue
            path: Path = ("steps", number, "variants", position)
            kept = safety_firsts(mapping(variant))
            for first in needed:
                if first in kept or not _meet(steps, positions, first, mapping(variant)):
                    continue
                yield (
                    (*path, "after"),
                    f"{place(root, path)} leaves '{first}' out of 'after', or its 'safety', which "
                    "the step has: keep it, or give the variant a 'say' if another act is done.",
                )


def _idle_flags(root: dict[str, Json], steps: list[dict[str, Json]]) -> Iterator[Mistake]:
    """Every `chosen: true` of a step that nothing hangs on for safety: it would do nothing."""
    parts = [part for step in steps for part in (step, *map(mapping, listed(step.get("variants"))))]
    needed = {first for part in parts for first in safety_firsts(part)}
    for number, step in enumerate(steps):
        name = step.get("id")
        if not isinstance(name, str) or name in needed:
            continue
        places: list[tuple[Path, dict[str, Json]]] = [(("steps", number), step)]
        places += [
            (("steps", number, "variants", position), mapping(variant))
            for position, variant in enumerate(listed(step.get("variants")))
        ]
        for path, part in places:
            for at, reading in enumerate(listed(part.get("readings"))):
                if mapping(reading).get("chosen") is True:
                    yield (
                        (*path, "readings", at, "chosen"),
                        f"{place(root, ('steps', number))} has a number that is 'chosen', but no "
                        "step has to come after it for safety: take 'chosen' out, or add 'after' "
                        "with 'safety: true' to what hangs on it.",
                    )


def _waits(steps: list[dict[str, Json]], positions: dict[str, int], name: str, other: int) -> bool:
    """Whether `name` waits in turn for the step at `other`: a circle, which is told as such."""
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        position = positions.get(waiting.pop())
        if position is None:
            continue
        if position == other:
            return True
        for first in listed(steps[position].get("after")):
            found = mapping(first).get("step")
            if isinstance(found, str) and found not in seen:
                seen.add(found)
                waiting.append(found)
    return False


def _meet(
    steps: list[dict[str, Json]], positions: dict[str, int], first: str, variant: dict[str, Json]
) -> bool:
    """Whether the step that must come first can be there together with the variant."""
    position = positions.get(first)
    if position is None:
        return False
    wanted = mapping(variant.get("when"))
    for name, options in mapping(steps[position].get("when")).items():
        if name not in wanted:
            continue
        own, other = (_as_list(value) for value in (options, wanted[name]))
        if not set(own) & set(other):
            return False
    return True


def _as_list(value: Json) -> list[str]:
    return [str(option) for option in (value if isinstance(value, list) else [value])]
