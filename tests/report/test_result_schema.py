"""The JSON of a result and its schema: every field is in it, with what it means."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from enum import StrEnum
from pathlib import Path
from typing import Any

import pytest
from attempts import NOT_YET
from hypothesis import given, settings
from jsonschema import Draft202012Validator
from random_attempts import RESULTS

from coach.core.units import Unit
from coach.report import attempt
from coach.report.attempt import (
    ADDED_LATER,
    FORMAT,
    Evidence,
    Mark,
    NumberResult,
    Result,
    SafetyFailure,
    Spoken,
    StepResult,
    Tells,
    Timed,
    Verdict,
    Way,
    result_bytes,
)

FILE = Path(attempt.__file__).with_name("result.schema.json")
SCHEMA = json.loads(FILE.read_text("utf-8"))
CLASSES = {
    "step": StepResult,
    "evidence": Evidence,
    "number": NumberResult,
    "failure": SafetyFailure,
    "timed": Timed,
    "spoken": Spoken,
}
DEVELOPERS = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text("utf-8")


def names(kind: Any) -> set[str]:
    """The fields of a class."""
    return {field.name for field in fields(kind)}


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert not Draft202012Validator(SCHEMA).is_valid({}), "it must refuse something"


def test_every_field_of_a_result_is_in_the_schema_and_no_other() -> None:
    wanted = names(Result) | {"format", "share"}
    assert set(SCHEMA["properties"]) == wanted
    assert set(SCHEMA["required"]) == wanted - ADDED_LATER
    assert SCHEMA["properties"]["format"]["const"] == FORMAT


def test_every_class_within_a_result_is_in_the_schema() -> None:
    assert set(SCHEMA["$defs"]) == set(CLASSES)
    for name, kind in CLASSES.items():
        part = SCHEMA["$defs"][name]
        assert set(part["properties"]) == names(kind)
        assert set(part["required"]) == names(kind) - ADDED_LATER


@pytest.mark.parametrize(
    ("kind", "part"),
    [
        (Way, SCHEMA["properties"]["way"]),
        (Verdict, SCHEMA["properties"]["verdict"]),
        (Mark, SCHEMA["$defs"]["step"]["properties"]["mark"]),
        (Tells, SCHEMA["$defs"]["evidence"]["properties"]["tells"]),
    ],
)
def test_every_word_of_a_list_is_in_the_schema(kind: type[StrEnum], part: dict[str, Any]) -> None:
    assert part["enum"] == [member.value for member in kind]


def test_every_field_says_what_it_means_and_in_which_unit() -> None:
    parts = [SCHEMA, *SCHEMA["$defs"].values()]
    for part in parts:
        for name, field in part["properties"].items():
            assert field["description"], name
            if name.endswith("_s") or name == "seconds":
                assert "econds" in field["description"], name
    for unit in Unit:
        assert unit.value in SCHEMA["$defs"]["number"]["properties"]["unit"]["description"]


def test_every_field_is_documented() -> None:
    documented = DEVELOPERS.partition("## The report of an attempt")[2].partition("\n## ")[0]
    for kind in (Result, *CLASSES.values()):
        for name in names(kind):
            assert f"`{name}`" in documented, f"{kind.__name__}.{name}"


@given(RESULTS)
@settings(max_examples=60)
def test_any_result_follows_the_schema(result: Result) -> None:
    content = result_bytes(result)
    assert content == result_bytes(result)
    Draft202012Validator(SCHEMA).validate(json.loads(content))


def test_what_is_none_does_not_follow_it() -> None:
    row = json.loads(result_bytes(NOT_YET))
    validator = Draft202012Validator(SCHEMA)
    assert validator.is_valid(row)
    assert not validator.is_valid({**row, "surprise": 1})
    assert not validator.is_valid({**row, "way": "guessed"})
    assert not validator.is_valid({name: row[name] for name in row if name != "learner"})


def test_both_numbers_of_a_blood_pressure_stand_in_a_list() -> None:
    arm = replace(NOT_YET.numbers[0], values=(120.0, 80.0), unit="mmHg")
    row = json.loads(result_bytes(replace(NOT_YET, numbers=(arm, *NOT_YET.numbers))))
    assert row["numbers"][0]["values"] == [120, 80]
    assert row["numbers"][1]["values"] == 1700
