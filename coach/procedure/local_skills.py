"""A program's own ways with the skills: texts, phrases, order, defaults, and skills turned off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from coach.procedure.facts import FactTable
from coach.procedure.left_out import lost_with, safety_firsts, safety_words
from coach.procedure.resolve import listed, mapping
from coach.procedure.weakening import unspeakable_reason, weakening_mistakes
from coach.procedure.weaker_option import WeakerNumber, weaker_number
from coach.procedure.wording import Mistake, did_you_mean
from coach.procedure.yaml_tree import Json, Path

TEXTS = ("name", "say", "why", "how", "aloud", "found", "cue")
"""Texts of a step that a program may say otherwise."""

_TELLING = frozenset(TEXTS) - {"name", "why"}
"""Those of them that tell what is to be done."""


@dataclass(frozen=True, slots=True)
class SkillChange:
    """What a program does otherwise in one skill.

    `written` is its part of the file, checked; `line` is where that begins. `off` is the reason
    why the skill is turned off, "" if it is not. `weakenings` are the reasons given where the
    patient is less safe, by the step that is weakened; `weaker_options` are the numbers of options
    that are less safe than those of the skill's own defaults, `weakens` the reason for them.
    """

    skill: str
    line: int
    written: Mapping[str, Json]
    off: str = ""
    weakenings: Mapping[str, str] = field(default_factory=dict)
    weaker_options: tuple[WeakerNumber, ...] = ()
    weakens: str = ""

    def left_out(self) -> dict[str, str]:
        """The reason for each step that the program leaves out, by its id."""
        return {
            name: str(mapping(change)["because"])
            for name, change in mapping(self.written.get("steps")).items()
            if mapping(change).get("left-out") is True
        }

    def own_words(self) -> dict[str, str]:
        """The reason for each step that the program tells otherwise, by its id."""
        return {
            name: str(mapping(change)["because"])
            for name, change in mapping(self.written.get("steps")).items()
            if mapping(change).keys() & _TELLING
        }

    def weakened_by_words(self) -> frozenset[str]:
        """The steps that are less safe by nothing but what is said there."""
        steps = mapping(self.written.get("steps"))
        return frozenset(
            step
            for step in self.weakenings
            if not {"left-out", "after"} & mapping(steps.get(step)).keys()
        )

    def applied(self, root: Mapping[str, Json]) -> dict[str, Json]:
        """The skill's content as the program has it; the given one is not changed."""
        changed: dict[str, Any] = deepcopy(dict(root))
        for name, option in mapping(self.written.get("settings")).items():
            changed["settings"][name]["default"] = option
            changed["settings"][name]["because"] = self.written["because"]
        gone = set()
        steps = {step["id"]: step for step in changed["steps"]}
        for name, change in mapping(self.written.get("steps")).items():
            _change_step(steps[name], mapping(change))
            if mapping(change).get("left-out") is True:
                gone.add(name)
        _leave_out(changed, gone)
        order = [str(name) for name in listed(self.written.get("order"))]
        if order:
            changed["steps"].sort(key=lambda step: order.index(step["id"]))
        return changed

    def told(self) -> tuple[str, ...]:
        """Each thing that differs from the default, as a line to print."""
        if self.off:
            return (f"turned off: {self.off}",)
        lines = [
            f"setting {name}: {option} unless another is chosen ({self.written['because']})"
            for name, option in mapping(self.written.get("settings")).items()
        ]
        for name, change in mapping(self.written.get("steps")).items():
            parts = mapping(change)
            what = [key for key in (*TEXTS, "phrases", "after") if key in parts]
            done = "left out" if parts.get("left-out") is True else f"own {', '.join(what)}"
            lines.append(f"step {name}: {done} ({parts['because']})")
        if self.written.get("order"):
            lines.append(f"order of its own ({self.written['because']})")
        return tuple(lines)


def _change_step(step: dict[str, Any], change: dict[str, Json]) -> None:
    for key in (*TEXTS, "after"):
        if key in change:
            step[key] = change[key]
    if "phrases" in change:
        heard = step.setdefault("heard-as", {})
        heard["phrases"] = [*(heard.get("phrases") or []), *listed(change["phrases"])]


def _leave_out(root: dict[str, Any], gone: set[str]) -> None:
    """Take steps out, with everything that names them."""
    if not gone:
        return
    root["steps"] = [step for step in root["steps"] if step["id"] not in gone]
    for step in root["steps"]:
        for part in (step, *(step.get("variants") or [])):
            if part.get("after"):
                part["after"] = [f for f in part["after"] if f["step"] not in gone]
            if "from" in (part.get("score") or {}):
                kept = [name for name in part["score"]["from"] if name not in gone]
                part["score"] = {**part["score"], "from": kept or [step["id"]]}
    kept = [c for c in root.get("complications") or [] if c["after"] not in gone]
    for complication in kept:
        if complication.get("reopens"):
            complication["reopens"] = [s for s in complication["reopens"] if s not in gone]
    if "complications" in root:
        root["complications"] = kept
        known = {complication["id"] for complication in kept}
        root["steps"] = [
            step for step in root["steps"] if step.get("complication") in (None, *known)
        ]


def skill_change_mistakes(
    written: Json, skills: Mapping[str, Mapping[str, Json]], table: FactTable
) -> Iterator[Mistake]:
    """Every mistake in the `skills` of a program's file; `skills` are those there are, by id, as
    they are written, `table` the published facts. What the schema refuses is passed over."""
    for name, change in mapping(written).items():
        path: Path = ("skills", name)
        if name not in skills:
            advice = did_you_mean(name, skills, "skills", "coach skills")
            yield path, f"there is no skill '{name}' to change: {advice}"
        elif isinstance(change, dict) and change:
            yield from _skill_mistakes(path, change, skills[name], table)


def _skill_mistakes(
    path: Path, change: dict[str, Json], root: Mapping[str, Json], table: FactTable
) -> Iterator[Mistake]:
    skill = str(path[1])
    if "off" in change:
        for key in change:
            if key != "off":
                yield (*path, key), f"skill '{skill}' is turned off: take '{key}' out, or 'off'."
        return
    for key in ("settings", "order"):
        if change.get(key) and "because" not in change:
            yield path, f"skill '{skill}' has no 'because': add why the program has its own {key}."
    settings = mapping(root.get("settings"))
    for name, option in mapping(change.get("settings")).items():
        here: Path = (*path, "settings", name)
        options = mapping(mapping(settings.get(name)).get("options"))
        if name not in settings:
            advice = did_you_mean(name, settings, "settings")
            yield here, f"skill '{skill}' has no setting '{name}': {advice}"
        elif isinstance(option, str) and option not in options:
            advice = did_you_mean(option, options, "options")
            yield here, f"setting '{name}' of skill '{skill}' has no option '{option}': {advice}"
    yield from _option_mistakes(path, change, root, table)
    steps = {str(mapping(step).get("id")): mapping(step) for step in listed(root.get("steps"))}
    for name, step in mapping(change.get("steps")).items():
        if name not in steps:
            advice = did_you_mean(name, steps, "steps")
            yield (*path, "steps", name), f"skill '{skill}' has no step '{name}': {advice}"
        elif isinstance(step, dict) and step:
            cautions = root.get("cautions")
            yield from _step_mistakes((*path, "steps", name), step, steps, cautions)
    yield from _order_mistakes(path, change, list(steps))


def weaker_options(
    change: Mapping[str, Json], root: Mapping[str, Json], table: FactTable
) -> dict[str, WeakerNumber]:
    """The less safe number that a program's own default brings, by the setting.

    `change` is the program's part for the skill, `root` the skill's content, `table` the published
    facts.
    """
    settings = mapping(root.get("settings"))
    found = {
        name: weaker_number(root, name, option, table)
        for name, option in mapping(change.get("settings")).items()
        if isinstance(option, str) and option in mapping(mapping(settings.get(name)).get("options"))
    }
    return {name: number for name, number in found.items() if number is not None}


def _option_mistakes(
    path: Path, change: dict[str, Json], root: Mapping[str, Json], table: FactTable
) -> Iterator[Mistake]:
    skill, reason = str(path[1]), change.get("weakens")
    weaker = weaker_options(change, root, table)
    if reason is None:
        for name, number in weaker.items():
            yield (
                (*path, "settings", name),
                f"setting '{name}' of skill '{skill}' weakens a safety rule ({number.told()}): say "
                "why in 'weakens' of the skill, which the coach says aloud, or take the change "
                "out.",
            )
    elif not weaker:
        yield (
            (*path, "weakens"),
            f"skill '{skill}' weakens nothing by its settings: take 'weakens' out, or put it to "
            "the step or the fact that it is about.",
        )
    yield from unspeakable_reason(path, f"skill '{skill}'", change)


def _step_mistakes(
    path: Path, change: dict[str, Json], steps: Mapping[str, dict[str, Json]], cautions: Json
) -> Iterator[Mistake]:
    name = str(path[-1])
    said = {key for v in listed(steps[name].get("variants")) for key in mapping(v)}
    for key in change:
        if key in said and key != "left-out":
            yield (
                (*path, key),
                f"step '{name}' has another '{key}' with some choice, which this would not reach: "
                "write a skill of your own instead.",
            )
    if change.get("left-out") is True and set(change) - {"left-out", "because", "weakens"}:
        yield path, f"step '{name}' is left out: take everything else of it out, or 'left-out'."
    weaker = what_weakens(name, change, steps, cautions)
    yield from weakening_mistakes(path, f"step '{name}'", change, weaker)


def what_weakens(
    name: str,
    change: Mapping[str, Json],
    steps: Mapping[str, Mapping[str, Json]],
    cautions: Json = None,
) -> str:
    """Which rule of safety a change of a step drops, in words; "" if none.

    `cautions` are the skill's.
    """
    if change.get("left-out") is True:
        return lost_with(name, steps, cautions)
    return _order_lost(name, change, steps) or _words_lost(name, change, steps)


def _order_lost(
    name: str, change: Mapping[str, Json], steps: Mapping[str, Mapping[str, Json]]
) -> str:
    if "after" not in change:
        return ""
    kept = safety_firsts(change)
    lost = [first for first in safety_firsts(steps[name]) if first not in kept]
    return f"'{lost[0]}' must come before it" if lost else ""


def _words_lost(
    name: str, change: Mapping[str, Json], steps: Mapping[str, Mapping[str, Json]]
) -> str:
    """Which words of a step that safety hangs on are the program's own: nothing can hold them
    against the published ones, so they may ask for less, or for nothing."""
    own = [key for key in ("say", "aloud") if key in change and change[key] != steps[name].get(key)]
    reason = safety_words(name, steps) if own else ""
    return f"it has another {' and '.join(map(repr, own))}, and {reason}" if reason else ""


def _order_mistakes(path: Path, change: dict[str, Json], ids: list[str]) -> Iterator[Mistake]:
    gone = {
        name
        for name, step in mapping(change.get("steps")).items()
        if mapping(step).get("left-out") is True
    }
    wanted = [name for name in ids if name not in gone]
    order = [name for name in listed(change.get("order")) if isinstance(name, str)]
    if not order or sorted(order) == sorted(wanted):
        return
    here: Path = (*path, "order")
    for number, name in enumerate(order):
        if name not in wanted:
            advice = did_you_mean(name, wanted, "steps")
            yield (*here, number), f"the order names '{name}', which is no step: {advice}"
            return
    missing = [name for name in wanted if name not in order]
    twice = [name for name in dict.fromkeys(order) if order.count(name) > 1]
    what = f"lacks '{missing[0]}'" if missing else f"names '{twice[0]}' twice"
    yield here, f"the order {what}: name every step that stays once."
