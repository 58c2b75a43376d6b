"""Opening recognisers by name, and the second ear."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core.errors import InputError, MissingError
from coach.edges.engines import known_engines, open_recogniser
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import Samples


class Parrot:
    """Hears one text, whatever was said."""

    name = "parrot"

    def __init__(self, text: str) -> None:
        self.text = text
        self.hints: list[Hint] = []

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The text."""
        self.hints.append(hint)
        return Hypothesis(self.text, 0.9)


def test_auto_is_the_one_that_comes_with_the_program() -> None:
    assert known_engines()[0].name == "auto"
    assert open_recogniser().name == "own"


@pytest.mark.parametrize("name", ["vosk", "whisper"])
def test_an_engine_without_a_model_says_how_to_get_one(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COACH_MODELS", str(tmp_path))
    with pytest.raises(MissingError, match=f"no {name} model in .*coach models fetch {name}-"):
        open_recogniser(name)


def test_an_unknown_engine_is_told_with_the_known_names() -> None:
    with pytest.raises(InputError, match="no recogniser named ears: use one of auto, own"):
        open_recogniser("ears")
