"""The plan is handed the time: nothing in its room asks for it, or draws by chance."""

from __future__ import annotations

import ast
from pathlib import Path

import coach.rehearsal

ASKING = {"now", "utcnow", "today", "fromtimestamp", "localtime", "random"}


def test_nothing_asks_for_the_time() -> None:
    files = sorted(Path(coach.rehearsal.__file__).parent.glob("*.py"))
    assert len(files) >= 9
    for file in files:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            called = node.func if isinstance(node, ast.Call) else None
            if isinstance(called, ast.Attribute):
                assert called.attr not in ASKING, f"{file.name}:{called.lineno}"
