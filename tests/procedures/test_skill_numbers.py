"""Every number in every skill is walked to its source, without the program's own reading of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

FOLDER = Path(__file__).parents[2] / "procedures"
SKILLS = tuple(
    sorted(
        file.stem
        for file in FOLDER.glob("*.yaml")
        # A scenario's numbers are those of an invented patient, the rule's our own: both say so.
        if not file.stem.endswith((".dialogues", ".local", ".scenario"))
        and file.stem not in {"facts", "fragments", "scoring"}
    )
)
FILES = (*SKILLS, "fragments")
LEAST = {"fragments": 5}
WORDS = {
    word
    for number in range(2, 100)
    for word in re.findall(r"[a-z]+", num2words(number))
    if word != "one"
} | {"hundred", "thousand", "half", "third", "quarter", "twice", "dozen"}
# The words of numbers are those of an outside library; "one" is no number but a pronoun here.
UNSPOKEN = {"id", "heard-as", "start", "end", "sources", "when", "chooses", "default", "minutes"}
UNSPOKEN |= {"complication", "quantity", "unit", "sets", "reopens", "words"}
LIMITS = {"low", "high", "limit-s"}


@cache
def table() -> dict[str, Any]:
    """The table of facts as any reader of YAML sees it."""
    return dict(yaml.safe_load((FOLDER / "facts.yaml").read_text("utf-8")))


def spoken(value: object, path: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """Each text or number that the coach speaks or compares with, and where it stands."""
    if isinstance(value, dict):
        for key, part in value.items():
            if str(key) not in UNSPOKEN:
                yield from spoken(part, (*path, str(key)))
    elif isinstance(value, list):
        for number, part in enumerate(value):
            named = part.get("id") if isinstance(part, dict) else None
            yield from spoken(part, (*path, str(named or number)))
    elif value is not None and not isinstance(value, bool):
        in_order = path[-1:] == ("step",) or (path[0] == "complications" and path[-1] == "after")
        if not in_order and not (path[-1] == "name" and "readings" in path):
            yield ", ".join(path), str(value)


def texts(skill: str) -> list[tuple[str, str]]:
    """What is spoken or compared in a skill file."""
    return list(spoken(yaml.safe_load((FOLDER / f"{skill}.yaml").read_text("utf-8"))))


def sources_behind(reference: str) -> list[dict[str, Any]]:
    """The sources behind "name", "name.low", "name.other" or "name.other.high"; none if unknown."""
    name, _, part = reference.partition(".")
    fact = table()["facts"].get(name)
    if fact is None:
        return []
    other = part.partition(".")[0]
    keys = (
        fact["differs"][other]["sources"] if other in fact.get("differs", {}) else fact["sources"]
    )
    return [table()["sources"][key] for key in keys]


@pytest.mark.parametrize("skill", FILES)
def test_every_number_is_of_the_table_or_says_that_it_is_none(skill: str) -> None:
    found = texts(skill)
    assert len(found) > LEAST.get(skill, 50), "the walk must see the skill"
    loose = []
    for place, text in found:
        rest = re.sub(r"\{[^{}]*\}", " ", text)
        words = set(re.findall(r"[a-z]+", rest.lower())) & WORDS
        if re.search(r"[0-9]", rest) or words:
            loose.append(f"{place}: {text}")
    assert not loose, "\n".join(loose)


@pytest.mark.parametrize("skill", FILES)
def test_every_fact_named_leads_to_a_published_source(skill: str) -> None:
    named = {
        reference
        for _, text in texts(skill)
        for reference in re.findall(r"\{fact\.([^{}]*)\}", text)
    }
    for reference in named:
        behind = sources_behind(reference)
        assert behind, reference
        assert all(source["name"] and source["year"] for source in behind), reference


@pytest.mark.parametrize("skill", FILES)
def test_what_is_said_to_be_no_fact_is_small(skill: str) -> None:
    # Counts of things ("the two holes"), the rounds of a practice (2), the empty gauge, one example
    # and the years of guidelines; no quantity hides here.
    allowed = {"two", "three", "four", "five", "six", "0", "2", "28", "2015", "2020"}
    said = {
        number for _, text in texts(skill) for number in re.findall(r"\{no-fact\.([^{}]*)\}", text)
    }
    assert said <= allowed, said - allowed


def test_every_source_is_used_and_custom_is_called_custom() -> None:
    facts, sources = table()["facts"], table()["sources"]
    cylinders = [size for sizes in table()["cylinders"].values() for size in sizes.values()]
    chart = table()["body-chart"]
    used = {key for number in (*facts.values(), *cylinders, chart) for key in number["sources"]}
    for number in (*facts.values(), *cylinders):
        used |= {key for other in number.get("differs", {}).values() for key in other["sources"]}
    for skill in FILES:
        text = (FOLDER / f"{skill}.yaml").read_text("utf-8")
        used |= {key for line in re.findall(r"sources: \[(.*)\]", text) for key in line.split(", ")}
    for module in (FOLDER.parent / "coach" / "trade").glob("*.py"):
        used |= set(re.findall(r"\[([a-z][a-z0-9-]+)\]", module.read_text("utf-8")))
    assert set(sources) <= used, set(sources) - used
    for source in sources.values():
        custom = "no source" in source["name"].lower()
        assert (source["standing"] == "custom") == custom
        assert not re.match(r"(?i)from memory", source["name"]), "say from-memory: true"
