"""A scenario read from its file, every mistake told with its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coach.core.problem import Problem
from coach.core.units import UNITS_OF, Quantity, Unit
from coach.procedure.filler import texts
from coach.procedure.resolve import listed, mapping, or_zero
from coach.procedure.scenario import Change, Finding, Happening, Scenario, Value
from coach.procedure.schema_problems import schema_problems
from coach.procedure.skill_file import SkillFile
from coach.procedure.spoken_length import spoken_words
from coach.procedure.wording import Mistake, did_you_mean
from coach.procedure.yaml_tree import Json, Path, read_tree
from coach.trade.lawful_numbers import is_lawful, lawful_range

MOST_SPOKEN_WORDS = 30
"""More is not kept in mind while kneeling beside a manikin (common practice, no source)."""

VALUE = "{value}"


def parse_scenario(
    text: str, file: str, schema: Mapping[str, Any], skill_file: SkillFile | None
) -> tuple[Scenario | None, tuple[Problem, ...]]:
    """The scenario of a file's text, or its problems sorted by line.

    `schema` is the published `scenario.schema.json`. Steps, settings and complications are checked
    when the skill file is given.
    """
    tree, problems = read_tree(text, file)
    if tree is None:
        return None, problems
    found = {*problems, *schema_problems(tree, schema, file)}
    if not found:
        root = mapping(tree.value)
        mistakes = [*_own_mistakes(root), *(_of_skill(root, skill_file) if skill_file else ())]
        found = {Problem(file, tree.line(path), message) for path, message in mistakes}
    if found:
        return None, tuple(sorted(found))
    return scenario_from(mapping(tree.value)), ()


def scenario_from(written: Mapping[str, Json]) -> Scenario:
    """The scenario of a content that has passed every check."""
    return Scenario(
        id=str(written["id"]),
        title=str(written["title"]),
        skill=str(written["skill"]),
        dispatch=str(written["dispatch"]),
        findings=tuple(_finding(mapping(value)) for value in listed(written.get("findings"))),
        happenings=tuple(_happening(mapping(each)) for each in listed(written.get("happenings"))),
        settings={k: str(v) for k, v in mapping(written.get("settings")).items()},
        partner=bool(written.get("partner", False)),
        written=written,
    )


def _finding(written: Mapping[str, Json]) -> Finding:
    value = mapping(written.get("value"))
    later = [mapping(each) for each in listed(written.get("later"))]
    return Finding(
        id=str(written["id"]),
        says=str(written["says"]),
        asked=texts(written.get("asked")),
        shown_by=str(written.get("shown-by", "")),
        value=_value(value) if value else None,
        later=tuple((str(each["after"]), str(each["says"])) for each in later),
    )


def _value(written: Mapping[str, Json]) -> Value:
    changes = [mapping(each) for each in listed(written.get("changes"))]
    return Value(
        Quantity(str(written["quantity"])),
        Unit(str(written["unit"])),
        or_zero(written["start"]),
        tuple(
            Change(str(c["after"]), or_zero(c["towards"]), or_zero(c.get("half-s", 0)))
            for c in changes
        ),
        or_zero(written.get("within", 0)),
    )


def _happening(written: Mapping[str, Json]) -> Happening:
    return Happening(
        id=str(written["id"]),
        chance=or_zero(written.get("chance", 1)),
        says=str(written.get("says", "")),
        after=str(written.get("after", "")),
        at_s=or_zero(written.get("at-s", 0)),
        starts={k: or_zero(v) for k, v in mapping(written.get("starts")).items()},
        complication=str(written.get("complication", "")),
        reopens=texts(written.get("reopens")),
        times=int(or_zero(written.get("times", 1))),
        again_s=or_zero(written.get("again-s", 0)),
    )


def _own_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """What the schema cannot see: ids twice, a value without its place, too many words."""
    if _long(root["dispatch"]):
        yield ("dispatch",), _too_long("the dispatch sentence")
    values = {}
    for part in ("findings", "happenings"):
        seen: set[str] = set()
        for number, each in enumerate(map(mapping, listed(root.get(part)))):
            name = str(each["id"])
            if name in seen:
                yield (part, number, "id"), f"there are two {part} '{name}': rename one."
            seen.add(name)
            if _long(each.get("says")):
                yield (part, number, "says"), _too_long(f"'{name}'")
            if part == "findings":
                values[name] = mapping(each.get("value"))
                yield from _of_finding(number, each)
            elif ("times" in each) != ("again-s" in each):
                message = (
                    f"'{name}' comes more than once with both 'times' and 'again-s', the seconds "
                    "after which it comes again: give both or neither."
                )
                yield (part, number, "times" if "times" in each else "again-s"), message
            elif bool(each.get("after")) == bool(each.get("at-s")):
                message = f"'{name}' needs one of the two: 'after' a step, or 'at-s' seconds."
                yield (part, number), message
    for number, each in enumerate(map(mapping, listed(root.get("happenings")))):
        for name, start in mapping(each.get("starts")).items():
            here: Path = ("happenings", number, "starts", name)
            if not values.get(name):
                advice = did_you_mean(name, [v for v, w in values.items() if w], "findings")
                yield here, f"no finding '{name}' has a value: {advice}"
            elif values[name]["unit"] in UNITS_OF[Quantity(str(values[name]["quantity"]))]:
                yield from _unlawful(values[name], here, start)


def _of_finding(number: int, finding: Mapping[str, Json]) -> Iterator[Mistake]:
    name, value = finding["id"], mapping(finding.get("value"))
    shown = VALUE in str(finding["says"])
    if shown and "within" in value:
        message = (
            f"'{name}' says {{value}}, and nobody estimates what was told: "
            "leave out the one, or 'within'."
        )
        yield ("findings", number, "value", "within"), message
    elif bool(value) != shown and "within" not in value:
        what = "says no {value}" if value else "says {value} but has no value"
        yield ("findings", number, "says"), f"'{name}' {what}: give both or neither."
    if not finding.get("asked") and not finding.get("shown-by"):
        message = (
            f"nobody can find '{name}': give words it is 'asked' by, or a step it is 'shown-by'."
        )
        yield ("findings", number), message
    units = UNITS_OF[Quantity(str(value["quantity"]))] if value else ()
    if value and value["unit"] not in units:
        known = ", ".join(map(str, units))
        message = f"{value['quantity']} is not given in {value['unit']}: use {known}."
        yield ("findings", number, "value", "unit"), message
    elif value:
        here: Path = ("findings", number, "value")
        yield from _unlawful(value, (*here, "start"), value["start"])
        for place, change in enumerate(map(mapping, listed(value.get("changes")))):
            yield from _unlawful(value, (*here, "changes", place, "towards"), change["towards"])


def _unlawful(value: Mapping[str, Json], path: Path, number: Json) -> Iterator[Mistake]:
    """A number that its quantity never has."""
    quantity, unit = Quantity(str(value["quantity"])), Unit(str(value["unit"]))
    if not is_lawful(quantity, unit, or_zero(number)):
        low, high = (f"{end:.5g}" for end in lawful_range(quantity, unit))
        yield path, f"{quantity} goes from {low} to {high} {unit}, and {number} is not within that."


def _long(text: Json) -> bool:
    return isinstance(text, str) and spoken_words(text) > MOST_SPOKEN_WORDS


def _too_long(what: str) -> str:
    return f"{what} has more than {MOST_SPOKEN_WORDS} spoken words: shorten it."


def _of_skill(root: dict[str, Json], skill_file: SkillFile) -> Iterator[Mistake]:
    steps = skill_file.step_ids
    for path, step in _steps_named(root):
        if isinstance(step, str) and step not in steps:
            advice = did_you_mean(step, steps, "steps")
            yield path, f"{skill_file.id} has no step '{step}': {advice}"
    known = [complication.id for complication in skill_file.complications]
    for number, each in enumerate(map(mapping, listed(root.get("happenings")))):
        comes = each.get("complication")
        if isinstance(comes, str) and comes not in known:
            advice = did_you_mean(comes, known, "complications")
            message = f"{skill_file.id} has no complication '{comes}': {advice}"
            yield ("happenings", number, "complication"), message
    for name, option in mapping(root.get("settings")).items():
        setting = skill_file.settings.get(name)
        if setting is None:
            advice = did_you_mean(name, skill_file.settings, "settings")
            yield ("settings", name), f"{skill_file.id} has no setting '{name}': {advice}"
        elif option not in setting.options:
            advice = did_you_mean(str(option), setting.options, "options")
            yield ("settings", name), f"setting '{name}' has no option '{option}': {advice}"


def _steps_named(root: dict[str, Json]) -> Iterator[tuple[Path, Json]]:
    for number, each in enumerate(map(mapping, listed(root.get("happenings")))):
        yield ("happenings", number, "after"), each.get("after")
        for place, step in enumerate(listed(each.get("reopens"))):
            yield ("happenings", number, "reopens", place), step
    for number, each in enumerate(map(mapping, listed(root.get("findings")))):
        here: Path = ("findings", number)
        yield (*here, "shown-by"), each.get("shown-by")
        for place, later in enumerate(map(mapping, listed(each.get("later")))):
            yield (*here, "later", place, "after"), later.get("after")
        changes = listed(mapping(each.get("value")).get("changes"))
        for place, change in enumerate(map(mapping, changes)):
            yield (*here, "value", "changes", place, "after"), change.get("after")
