"""What a published schema finds wrong in a file, in sentences that say what to do.

The words for what belongs in a place are the schema's own descriptions, written so that they read
well after "add" and "give".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, cast

import jsonschema_rs

from coach.core.problem import Problem
from coach.procedure.wording import Mistake, did_you_mean, nearest, place
from coach.procedure.yaml_tree import Json, Path, Tree
from coach.trade.wording import counted

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError

_TYPE_WORDS = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list",
    "object": "keys with values",
    "null": "nothing",
}
_NAMES = "small letters, digits and hyphens, beginning with a letter"
"""What names are made of, where the schema does not describe them."""

_LIST_OR_KEYS = (list, dict)
_MOST_COMPILED = 16
_compiled: dict[int, tuple[Mapping[str, Any], jsonschema_rs.Draft202012Validator]] = {}


def schema_problems(tree: Tree, schema: Mapping[str, Any], file: str) -> Iterator[Problem]:
    """Every place where `tree` departs from `schema` (JSON Schema, draft 2020-12), one by one."""
    # The compiled validator is some hundred times as fast, and nearly every file is right; the
    # other one tells each mistake by its path, and is loaded only for a file that has one.
    if _validator(schema).is_valid(tree.value):
        return
    from jsonschema import Draft202012Validator

    for error in Draft202012Validator(schema).iter_errors(tree.value):
        path = cast(Path, tuple(error.absolute_path))
        for part, message in _sentences(error, tree.value, path):
            yield Problem(file, tree.line(part), message)


def _validator(schema: Mapping[str, Any]) -> jsonschema_rs.Draft202012Validator:
    """The compiled schema, made once; the schema is kept with it, so that its id stays."""
    known = _compiled.get(id(schema))
    if known is None:
        if len(_compiled) >= _MOST_COMPILED:
            _compiled.clear()
        known = schema, jsonschema_rs.Draft202012Validator(dict(schema))
        _compiled[id(schema)] = known
    return known[1]


def _sentences(error: ValidationError, root: Json, path: Path) -> Iterator[Mistake]:
    where = place(root, path)
    instance: Any = error.instance
    rule, wanted = str(error.validator), cast(Any, error.validator_value)
    schema: Mapping[str, Any] = error.schema if isinstance(error.schema, Mapping) else {}
    give = str(schema.get("description", "what belongs here"))
    if "propertyNames" in error.absolute_schema_path:
        yield (
            (*path, instance),
            f"'{instance}' is not a good name: use {schema.get('description', _NAMES)}.",
        )
    elif rule == "required":
        # jsonschema reports each missing key by itself and names it only in its message.
        key = next(key for key in wanted if error.message.startswith(repr(key)))
        properties = schema.get("properties", {})
        # Told as an unknown key, where keys of one's own are not allowed.
        misspelt = schema.get("additionalProperties") is False and any(
            nearest(found, properties) == key for found in set(instance) - {*properties}
        )
        if not misspelt:
            about = properties.get(key, {}).get("description", "it")
            yield path, f"{where} has no '{key}': add {about}."
    elif rule == "additionalProperties":
        known = list(schema.get("properties", {}))
        for key in [key for key in instance if key not in known]:
            yield (
                (*path, key),
                f"{where} has an unknown key '{key}': {did_you_mean(key, known, 'keys')}",
            )
    else:
        yield path, _value_sentence(rule, wanted, instance, where, give)


def _value_sentence(rule: str, wanted: Any, instance: Any, where: str, give: str) -> str:
    """The sentence for one value that breaks one rule of the schema."""
    if rule == "type":
        return _type_sentence(wanted, instance, where, give)
    if rule == "enum":
        known = [str(name) for name in wanted if name is not None]
        return (
            f"{where} cannot be '{_written(instance)}': "
            f"{did_you_mean(_written(instance), known, 'values')}"
        )
    if rule == "pattern":
        return (
            f"{where} is '{instance}': use small letters, digits and hyphens, beginning with a "
            "letter."
        )
    if rule in ("minLength", "minItems", "minProperties"):
        return f"{where} is empty: give {give}."
    if rule == "maxItems":
        return f"{where} has {counted(len(instance), 'item')}: keep to {wanted}."
    if rule == "minimum":
        return f"{where} is {instance}: give {wanted} or more."
    if rule == "exclusiveMinimum":
        return f"{where} is {instance}: give more than {wanted}."
    if rule == "maximum":
        return f"{where} is {instance}: give {wanted} or less."
    return f"{where} is wrong: give {give}."


def _type_sentence(wanted: Any, instance: Any, where: str, give: str) -> str:
    types = wanted if isinstance(wanted, list) else [wanted]
    if instance is None:
        return f"{where} is empty: give {give}."
    if "string" in types and isinstance(instance, dict) and list(instance.values()) == [None]:
        return f'{where} begins with a brace: put quotes around "{{{next(iter(instance))}}}".'
    words = " or ".join(_TYPE_WORDS[name] for name in types if name != "null")
    if "string" in types and isinstance(instance, bool):
        word = _written(instance)
        return f"{where} must be text: give {give}, or put quotes around {word}."
    if "string" in types and not isinstance(instance, _LIST_OR_KEYS):
        return f"{where} must be text: put quotes around {_written(instance)}."
    return f"{where} must be {words}, not {_kind(instance)}: give {give}."


def _written(instance: Any) -> str:
    return str(instance).lower() if isinstance(instance, bool) else str(instance)


def _kind(instance: Any) -> str:
    if isinstance(instance, bool):
        return f"'{_written(instance)}'"
    if isinstance(instance, str):
        return "text"
    if isinstance(instance, list):
        return "a list"
    if isinstance(instance, dict):
        return "keys with values"
    return f"the number {instance}"
