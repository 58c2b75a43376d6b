"""Every source named in a docstring is in the list, and nothing in the list is idle."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import coach.trade
from coach.edges.shared_files import facts_for, program_facts
from coach.trade.margins import KEEP_A_FIFTH, KEEP_A_HALF, TWICE
from coach.trade.sources import SUM_SOURCES

MODULES = sorted(Path(coach.trade.__path__[0]).glob("*.py"))
KEY = re.compile(r"\[([a-z][a-z0-9-]+)\]")


def _keys_in_strings(module: Path) -> set[str]:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    texts = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    return {key for text in texts for key in KEY.findall(text)}


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_source_named_is_listed(module: Path) -> None:
    if module.stem != "sources":
        known = {*SUM_SOURCES, *facts_for(program_facts().parent).sources}
        assert _keys_in_strings(module) <= known


def test_no_listed_source_is_idle() -> None:
    named = {key for path in MODULES if path.stem != "sources" for key in _keys_in_strings(path)}
    assert set(SUM_SOURCES) - named == set()


def test_margins_name_theirs() -> None:
    for margin in (KEEP_A_FIFTH, KEEP_A_HALF, TWICE):
        assert KEY.findall(margin.source)


def test_sources_can_be_looked_up() -> None:
    for key, name in SUM_SOURCES.items():
        assert re.search(r"https?://|doi|\d{4}", name), key
