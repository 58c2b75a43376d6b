"""YAML as values with lines, checked against the YAML specification and PyYAML's own nodes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from skill_samples import PROCEDURES, SAMPLE

from coach.procedure.yaml_tree import Json, read_tree


def value_of(text: str) -> Json:
    """The value of a text that is sound."""
    tree, problems = read_tree(text, "a.yaml")
    assert not problems
    assert tree
    return tree.value


@pytest.mark.parametrize(
    ("written", "value"),
    [
        # YAML 1.2.2, section 10.3.2 (core schema): example values of each kind.
        ("null", None),
        ("~", None),
        ("", None),
        ("true", True),
        ("False", False),
        ("0", 0),
        ("-19", -19),
        ("0.", 0.0),
        ("-0.0", -0.0),
        (".5", 0.5),
        ("12e03", 12000.0),
        ("-2E+05", -200000.0),
        # Quoted is text (section 7.3).
        ('"12"', "12"),
        ("'true'", "true"),
        ("! 12", "12"),
        # Truth values, sexagesimals and dates of YAML 1.1 that are text in 1.2.
        ("yes", "yes"),
        ("Off", "Off"),
        ("12:30", "12:30"),
        ("2024-01-01", "2024-01-01"),
        ("1_000", "1_000"),
        # Our own limits: what a skill never holds stays text.
        (".inf", ".inf"),
        ("1e999", "1e999"),
        ("0x1F", "0x1F"),
        ("1234567890123456", 1234567890123456.0),
        ("9" * 5000, "9" * 5000),
    ],
)
def test_a_plain_word_is_what_yaml_1_2_says(written: str, value: Json) -> None:
    found = value_of(f"a: {written}")
    assert found == {"a": value}
    assert isinstance(found, dict)
    assert type(found["a"]) is type(value)


def test_keys_are_the_words_as_written() -> None:
    assert value_of("yes: 1\n5: 2\ntrue: 3\nnull: 4") == {"yes": 1, "5": 2, "true": 3, "null": 4}


class _Neighbour(yaml.SafeLoader):
    """PyYAML's own loader without the truth values of YAML 1.1."""


_Neighbour.yaml_implicit_resolvers = {
    first: [(tag, form) for tag, form in forms if not tag.endswith(":bool")]
    for first, forms in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
_Neighbour.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))


def _texts() -> list[Any]:
    files = sorted(PROCEDURES.glob("*.yaml"))
    return [
        pytest.param(SAMPLE, id="sample"),
        *(pytest.param(path.read_text("utf-8"), id=path.name) for path in files),
    ]


@pytest.mark.parametrize("text", _texts())
def test_values_and_lines_agree_with_pyyaml(text: str) -> None:
    tree, problems = read_tree(text, "a.yaml")
    assert not problems
    assert tree
    assert tree.value == yaml.load(text, Loader=_Neighbour)
    seen = 0
    root = yaml.compose(text, Loader=yaml.CSafeLoader)
    assert root
    pending: list[tuple[tuple[str | int, ...], yaml.Node]] = [((), root)]
    while pending:
        path, node = pending.pop()
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                assert tree.line((*path, key.value)) == key.start_mark.line + 1
                pending.append(((*path, key.value), value))
        elif isinstance(node, yaml.SequenceNode):
            for number, item in enumerate(node.value):
                assert tree.line((*path, number)) == item.start_mark.line + 1
                pending.append(((*path, number), item))
        seen += 1
    assert seen > 10


def test_a_place_that_is_not_there_has_the_line_of_what_is_around_it() -> None:
    tree, _ = read_tree("a:\n  b:\n    - c: 1\n", "a.yaml")
    assert tree
    assert tree.line(("a", "b", 0, "missing", 3)) == 3
    assert tree.line(("nowhere",)) == 1


def test_a_billion_laughs_stop_at_the_first_alias() -> None:
    bomb = "a: &a [x, x]\n" + "".join(
        f"{chr(98 + n)}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]\n" for n in range(20)
    )
    tree, problems = read_tree(bomb, "a.yaml")
    assert tree is None
    assert [problem.line for problem in problems] == [2]


def test_the_plain_reader_is_used_where_the_fast_one_is_missing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fast, _ = read_tree(SAMPLE, "a.yaml")
    monkeypatch.setattr("coach.procedure.yaml_tree._LOADER", yaml.SafeLoader)
    assert read_tree(SAMPLE, "a.yaml")[0] == fast
    for broken in ("a: [b", 'a: "b\nc: d', "a:\n\tb: c", "a: b: c", "a: " + "[" * 5000):
        tree, problems = read_tree(broken, "a.yaml")
        assert tree is None
        assert len(problems) == 1


def test_every_published_file_ends_with_a_line_end() -> None:
    for path in Path(PROCEDURES).glob("*.*"):
        assert path.read_bytes().endswith(b"\n")
