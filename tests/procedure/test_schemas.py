"""The published schemas are schemas, and name what the program knows."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator
from skill_samples import (
    DIALOGUES_SCHEMA,
    FACTS_SCHEMA,
    FRAGMENTS_SCHEMA,
    LOCAL_SCHEMA,
    SKILL_SCHEMA,
)

from coach.core.meaning import Command, Kind
from coach.core.units import Quantity, Unit
from coach.edges.skill_text import published_schema

SCHEMAS = [SKILL_SCHEMA, DIALOGUES_SCHEMA, FACTS_SCHEMA, FRAGMENTS_SCHEMA, LOCAL_SCHEMA]


@pytest.mark.parametrize("schema", SCHEMAS)
def test_schemas_are_valid_json_schema(schema: dict[str, Any]) -> None:
    # JSON Schema, draft 2020-12, against its own published meta-schema.
    meta = Draft202012Validator(Draft202012Validator.META_SCHEMA)
    assert list(meta.iter_errors(schema)) == []


def test_units_and_quantities_are_those_of_the_program() -> None:
    reading = SKILL_SCHEMA["$defs"]["reading"]["properties"]
    assert reading["quantity"]["enum"] == [str(quantity) for quantity in Quantity]
    assert reading["unit"]["enum"] == [str(unit) for unit in Unit]
    assert {str(unit) for unit in Unit} <= {
        *FACTS_SCHEMA["$defs"]["fact"]["properties"]["unit"]["enum"]
    }
    change = LOCAL_SCHEMA["$defs"]["change"]["properties"]
    assert change["unit"] == FACTS_SCHEMA["$defs"]["fact"]["properties"]["unit"]
    finding = published_schema("scenario.schema.json")["properties"]["findings"]["items"]
    value = finding["properties"]["value"]["properties"]
    assert value["quantity"]["enum"] == [*map(str, Quantity)]
    assert value["unit"]["enum"] == [*map(str, Unit)]
    means = DIALOGUES_SCHEMA["$defs"]["means"]["properties"]
    assert means["quantity"]["enum"] == [*map(str, Quantity), None]
    assert means["unit"]["enum"] == [*map(str, Unit), None]
    assert means["kind"]["enum"] == list(map(str, Kind))
    assert means["command"]["enum"] == [*map(str, Command), None]


@pytest.mark.parametrize("schema", SCHEMAS)
def test_every_place_says_what_belongs_there(schema: dict[str, Any]) -> None:
    # The descriptions are the second half of the sentences that tell a mistake.
    definitions = schema["$defs"]
    undescribed = [
        name
        for owner in [schema, schema.get("items", {}), *definitions.values()]
        for name, rule in owner.get("properties", {}).items()
        if not rule.get("description")
    ]
    assert not undescribed


def test_what_shared_steps_and_skills_have_in_common_is_described_alike() -> None:
    own, shared = SKILL_SCHEMA["$defs"], FRAGMENTS_SCHEMA["$defs"]
    for name in ("heard-as", "source-keys"):
        assert shared[name] == own[name]
    whole, used = own["whole-step"]["properties"], own["used-step"]["properties"]
    for name, rule in shared["shared-step"]["properties"].items():
        assert rule == whole[name] == used[name]
    assert set(used) - set(whole) == {"use"}
