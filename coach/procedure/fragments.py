"""Steps that several skills share, written once and used by name.

A skill writes `use: gloves` in place of a step's texts. What it writes beside `use` counts for
that skill: a text goes before the shared one, `after` is the skill's own, and what is heard, the
cautions and the sources are added to the shared ones.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.problem import Problem
from coach.procedure.fact_references import fact_mistakes, with_facts
from coach.procedure.facts import EMPTY, FactTable
from coach.procedure.plain_numbers import plain_number_mistakes
from coach.procedure.resolve import listed, mapping
from coach.procedure.schema_problems import schema_problems
from coach.procedure.skill_references import reference_mistakes
from coach.procedure.skill_texts import text_mistakes
from coach.procedure.wording import Mistake, did_you_mean, place
from coach.procedure.yaml_tree import Json, Path, read_tree

USE = "use"
"""The key with which a step names a shared one."""

_ADDED = ("cautions", "sources")
_HEARD = ("phrases", "keys", "absent")


@dataclass(frozen=True, slots=True, eq=False)
class Fragments:
    """Shared steps by name, as written, and the sources they name by key.

    Two are equal only if they are the same object.
    """

    steps: Mapping[str, Mapping[str, Json]] = field(default_factory=dict)
    sources: Mapping[str, Json] = field(default_factory=dict)

    def with_more(self, other: Fragments) -> Fragments:
        """These and others; where both have a name, the other one's counts."""
        return Fragments({**self.steps, **other.steps}, {**self.sources, **other.sources})


NO_FRAGMENTS = Fragments()


@dataclass(frozen=True, slots=True)
class ParsedFragments:
    """Either fragments or the problems (sorted by line) that keep a file from being them."""

    fragments: Fragments | None
    problems: tuple[Problem, ...]


def parse_fragments(
    text: str, file: str, schema: Mapping[str, Any], table: FactTable = EMPTY
) -> ParsedFragments:
    """Read a file of shared steps; `schema` is the published `fragments.schema.json`.

    A shared step is plain: it names facts of the `table`, but no setting and no other step.
    """
    tree, problems = read_tree(text, file)
    if tree is None:
        return ParsedFragments(None, problems)
    found = {*problems, *schema_problems(tree, schema, file)}
    root = mapping(tree.value)
    filled = mapping(with_facts(root, table))
    for path, message in (
        *reference_mistakes(filled, table.sources),
        *text_mistakes(filled),
        *fact_mistakes(root, table),
        *plain_number_mistakes(root),
    ):
        found.add(Problem(file, tree.line(path), message))
    if found:
        return ParsedFragments(None, tuple(sorted(found)))
    steps = {str(step["id"]): step for step in map(mapping, listed(root["steps"]))}
    return ParsedFragments(Fragments(steps, mapping(root.get("sources"))), ())


def with_fragments(value: Json, fragments: Fragments) -> Json:
    """The content of a skill file with every shared step that it uses in its place.

    A `use` of an unknown name stays as it is, for `fragment_mistakes` to tell.
    """
    root = mapping(value)
    used = [name for step in listed(root.get("steps")) if (name := _used(step, fragments))]
    if not used:
        return value
    named = {
        str(key) for name in used for key in listed(fragments.steps[name].get("sources"))
    } & fragments.sources.keys()
    sources = root.get("sources")
    if isinstance(sources, dict):
        sources = {**{key: fragments.sources[key] for key in sorted(named)}, **sources}
    steps: list[Json] = [_whole(step, fragments) for step in listed(root["steps"])]
    return {**root, "sources": sources, "steps": steps}


def _used(step: Json, fragments: Fragments) -> str | None:
    name = mapping(step).get(USE)
    return name if isinstance(name, str) and name in fragments.steps else None


def _whole(step: Json, fragments: Fragments) -> Json:
    """A step with the shared one it uses in its place; any other step as it is."""
    name = _used(step, fragments)
    if name is None:
        return step
    shared, own = fragments.steps[name], mapping(step)
    whole: dict[str, Json] = {**shared, **own}
    for key in _ADDED:
        if key in shared and isinstance(own.get(key), list):
            # The skill's own come first, so that a mistake in one of them keeps its line.
            whole[key] = [*listed(own[key]), *listed(shared[key])]
    if isinstance(own.get("heard-as"), dict):
        mine, theirs = mapping(own["heard-as"]), mapping(shared.get("heard-as"))
        both: dict[str, Json] = {
            key: [*listed(mine.get(key)), *listed(theirs.get(key))]
            for key in _HEARD
            if isinstance(mine.get(key, []), list) and (key in mine or key in theirs)
        }
        whole["heard-as"] = {**mine, **both}
    del whole[USE]
    return whole


def fragment_mistakes(root: dict[str, Json], fragments: Fragments) -> Iterator[Mistake]:
    """Every use of a shared step that there is not, with its path in the file as written."""
    for number, step in enumerate(listed(root.get("steps"))):
        name = mapping(step).get(USE)
        if isinstance(name, str) and name not in fragments.steps:
            path: Path = ("steps", number)
            yield (
                (*path, USE),
                f"{place(root, path)} uses '{name}', which is no shared step: "
                f"{did_you_mean(name, fragments.steps, 'shared steps')}",
            )
