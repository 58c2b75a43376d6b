"""The table that comes with the program, and one that is damaged."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core.errors import MissingError
from coach.edges.carelessness_table import read_carelessness


def test_the_table_comes_with_the_program() -> None:
    table = read_carelessness()
    assert len(table.weights) > 500
    assert table.weights["beside but"] > 0


@pytest.mark.parametrize("text", ["", "[]", '{"base": 1}'])
def test_a_damaged_table_is_named(tmp_path: Path, text: str) -> None:
    path = tmp_path / "carelessness.json"
    path.write_text(text, "utf-8")
    with pytest.raises(MissingError, match="carelessness"):
        read_carelessness(path)


def test_a_table_that_is_gone_is_named(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="gone"):
        read_carelessness(tmp_path / "gone.json")
