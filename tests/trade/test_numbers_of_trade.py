"""No published number hides in the arithmetic: what stands there is exact, or says what it is."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import coach.trade
from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.facts import FactTable

MODULES = sorted(Path(coach.trade.__path__[0]).glob("*.py"))
KEY = re.compile(r"\[([a-z][a-z0-9-]+)\]")

EXACT = {
    # definitions of units and of the number system
    *("SECONDS_PER_MINUTE", "MILLILITRES_PER_LITRE", "KILOGRAMS_PER_POUND", "ALL_PERCENT"),
    *("FAHRENHEIT_DEGREES_PER_CELSIUS", "FAHRENHEIT_AT_ZERO_CELSIUS", "_LITRES_PER_UNIT"),
    *("AIR_PRESSURE_MMHG", "_KEPT", "_BREATH_MILLILITRES"),
    *("KILOPASCALS_PER_MMHG", "MILLIMETRES_PER_INCH", "GLUCOSE_MG_PER_DL", "NEWTONS_PER_POUND"),
    *("HECTOPASCALS_PER_CMH2O", "NEWTONS_PER_KILOGRAM", "_NEWTONS_PER_UNIT"),
    # definitions of a scale or a mean
    *("EYE", "VERBAL", "MOTOR", "POINTS_OF_PART", "FULL_SCORE", "POINTS_OF_SIGN"),
    "DIASTOLIC_WEIGHT",
    # which part of the one table of the body lies in which of the other
    *("CHART_OF", "_ARM", "_LEG"),
}
"""What is exact or true by definition."""

SPEECH = {
    *("MOST_WORDS", "_LONGEST_SAID", "_WHOLE_FROM", "_SMALL", "COUNTED_TO", "OUT_AS_LONG_AS_IN"),
    *("_FACTOR_STEPS", "_DECIMAL_PLACES", "_GROUPS", "_LIMIT", "_LETTERS_SHOWN"),
}
"""How the coach itself speaks, counts along and rounds."""

GUARDS = {
    # slips of a unit or a key, and what no body is or has ever been
    *("_SMALLEST", "_LARGEST", "HIGHEST_FACTOR", "HIGHEST_WATER_LITRES", "HIGHEST_GAUGE_PSI"),
    *("MOST_FLOW_L", "LONGEST_RUN_MINUTES", "OLDEST_YEARS", "LOWEST_CELSIUS", "HIGHEST_CELSIUS"),
    *("MOST_BREATHS_PER_MINUTE", "MOST_BEATS_PER_MINUTE", "MOST_COUNTED", "POSSIBLE"),
    *("LIGHTEST_KG", "HEAVIEST_KG", "ANY", "_LAWFUL"),
    # of floating-point arithmetic
    *("_ROUNDING_ERROR", "OVER_SHARE", "SLACK_S", "NO_MARGIN"),
}
"""Guards against a slip that no program would have otherwise, and against rounding."""


def _tree(module: Path) -> ast.Module:
    return ast.parse(module.read_text(encoding="utf-8"))


def _numbers(node: ast.AST) -> Iterator[float]:
    for part in ast.walk(node):
        if isinstance(part, ast.Constant) and type(part.value) in (int, float):
            assert isinstance(part.value, int | float)
            yield float(part.value)


def _named_numbers(module: Path) -> Iterator[str]:
    """The names at the top of a module whose value is made of numbers."""
    for node in _tree(module).body:
        if (
            isinstance(node, ast.Assign | ast.AnnAssign)
            and node.value
            and any(_numbers(node.value))
        ):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                yield from (name.id for name in ast.walk(target) if isinstance(name, ast.Name))


def _keys_in_strings(module: Path) -> set[str]:
    texts = [
        node.value
        for node in ast.walk(_tree(module))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    return {key for text in texts for key in KEY.findall(text)}


@pytest.fixture(scope="module")
def table() -> FactTable:
    return facts_for(program_facts().parent)


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_source_named_is_in_the_table(module: Path, table: FactTable) -> None:
    assert _keys_in_strings(module) <= set(table.sources)


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_named_number_is_exact_or_no_published_one(module: Path) -> None:
    assert set(_named_numbers(module)) <= EXACT | SPEECH | GUARDS


def test_nothing_is_excused_that_is_not_there() -> None:
    named = {name for module in MODULES for name in _named_numbers(module)}
    assert (EXACT | SPEECH | GUARDS) - named == set()


def test_a_number_within_a_function_is_no_published_one() -> None:
    """Besides those of counting, parts, percent and the hour nothing stands there unnamed."""
    plain = {0, 1, 2, 3, 4, 5, 6, 10, 60, 100, 0.1, 0.5, 1e-6, 1e-9, 1000}
    loose = {
        f"{module.stem}.{node.name}: {number}"
        for module in MODULES
        for node in ast.walk(_tree(module))
        if isinstance(node, ast.FunctionDef)
        for number in _numbers(node)
        if number not in plain
    }
    assert loose == set()
