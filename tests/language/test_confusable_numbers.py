"""Numbers that sound alike: the right one is read, and what may be another is asked about.

The sentences and what must come of them stand in `tests/data/confusable_numbers.yaml`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from coach.app.moment import moment_context
from coach.language.normal import plain
from coach.language.understand import understand

DATA = Path(__file__).parent.parent / "data" / "confusable_numbers.yaml"
MOMENTS: list[dict[str, Any]] = yaml.safe_load(DATA.read_text("utf-8"))
FEWEST = 180
LINES = [(group["said"], line) for group in MOMENTS for line in group["lines"]]


@pytest.mark.parametrize(("said", "line"), LINES, ids=[line[0] for _, line in LINES])
def test_a_number_that_may_be_another_is_doubted(said: dict[str, str], line: list[Any]) -> None:
    moment, _ = moment_context(said["skill"], said["step"], said["expect"])
    text, value, *rest = line
    for form in dict.fromkeys((text, plain(text))):
        readings = understand(form, moment).readings
        if value is None:
            assert not readings, form
            continue
        [reading] = readings
        assert reading.values == (float(value),), form
        assert (reading.doubt is not None) == (rest[0] == "doubt"), f"{form}: {reading}"
        assert set(map(float, rest[1:])) <= set(reading.alternatives), f"{form}: {reading}"


def test_there_are_enough_and_each_is_clear() -> None:
    assert len(LINES) >= FEWEST
    assert all(line[1] is None or line[2] in {"sure", "doubt"} for _, line in LINES)
    said = [(tuple(said.values()), line[0]) for said, line in LINES]
    assert len(set(said)) == len(said)
