"""The quick validator refuses whatever the one refuses that words the mistakes.

`jsonschema` is the outside reference: only what `jsonschema-rs` lets pass is never shown to it.
"""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from skill_samples import (
    DIALOGUES_SCHEMA,
    FACTS_SCHEMA,
    FRAGMENTS_SCHEMA,
    LOCAL_SCHEMA,
    PROCEDURES,
    SKILL_SCHEMA,
)

from coach.procedure.schema_problems import schema_problems
from coach.procedure.yaml_tree import Tree, read_tree

FILES: dict[str, dict[str, Any]] = {
    "cpr.yaml": SKILL_SCHEMA,
    "oxygen-delivery.yaml": SKILL_SCHEMA,
    "epinephrine-auto-injector.yaml": SKILL_SCHEMA,
    "gloves.dialogues.yaml": DIALOGUES_SCHEMA,
    "fragments.yaml": FRAGMENTS_SCHEMA,
    "riverside.local.yaml": LOCAL_SCHEMA,
}
ODD = st.sampled_from(
    [
        None,
        True,
        False,
        0,
        -1,
        1,
        1.0,
        2.5,
        1e300,
        "",
        " ",
        "a\n",
        "yes",
        "A-b",
        "é",
        "ß\u0301",
        "x",
    ]
    + [[], [None], ["x", "x"], {}, {"x": None}, {"": 1}, "{patient}", "2026-09-01", "m" * 2000]
)


@cache
def tree_of(name: str) -> Tree:
    path: Path = PROCEDURES / name
    tree, problems = read_tree(path.read_text("utf-8"), name)
    assert tree is not None and not problems
    return tree


def places(value: Any) -> list[tuple[Any, Any]]:
    """Every container of a value with each of its keys."""
    pairs = list(value.items()) if isinstance(value, dict) else list(enumerate(value))
    inner = [child for _, child in pairs if isinstance(child, dict | list)]
    return [(value, key) for key, _ in pairs] + [pair for child in inner for pair in places(child)]


@st.composite
def broken(draw: st.DrawFn) -> tuple[Any, dict[str, Any]]:
    """A file with one or two of its parts taken out, renamed, doubled or put otherwise."""
    name = draw(st.sampled_from(sorted(FILES)))
    value = deepcopy(tree_of(name).value)
    for _ in range(draw(st.integers(1, 2))):
        within, key = draw(st.sampled_from(places(value)))
        way = draw(st.sampled_from(["out", "otherwise", "more", "renamed"]))
        if way == "otherwise":
            within[key] = deepcopy(draw(ODD))
        elif way == "out":
            del within[key]
        elif isinstance(within, list):
            within.append(deepcopy(within[key]) if way == "more" else deepcopy(draw(ODD)))
        elif way == "more":
            within[draw(st.sampled_from(["x", "when", "id", "say", "low"]))] = deepcopy(draw(ODD))
        else:
            within[f"{key}s"] = within.pop(key)
    return value, FILES[name]


@given(broken())
@settings(max_examples=200)
def test_what_the_reference_refuses_is_told(case: tuple[Any, dict[str, Any]]) -> None:
    value, schema = case
    wrong = not Draft202012Validator(schema).is_valid(value)
    told = list(schema_problems(Tree(value, tree_of("fragments.yaml").lines), schema, "file"))
    assert bool(told) == wrong


@pytest.mark.parametrize("name", sorted(FILES))
def test_a_right_file_has_no_problems(name: str) -> None:
    assert not list(schema_problems(tree_of(name), FILES[name], name))


def test_a_fact_table_is_held_to_its_own_schema() -> None:
    assert list(schema_problems(tree_of("fragments.yaml"), FACTS_SCHEMA, "file"))
