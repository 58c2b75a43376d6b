"""Opening recognisers by name, and the second ear."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import numpy as np
import pytest

from coach.core.errors import InputError, MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges import engines, whisper_recogniser
from coach.edges.engines import known_engines, open_ears, open_recogniser, second_ear
from coach.edges.model_store import ModelEntry, ModelFile, Source
from coach.edges.second_pass import SecondPass
from coach.hearing.hypothesis import Hint, Hypothesis


class Parrot:
    """Hears one text, whatever was said."""

    name = "parrot"

    def __init__(self, text: str) -> None:
        self.text = text
        self.sure = 0.9
        self.words: frozenset[str] = frozenset()
        self.hints: list[Hint] = []

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The text."""
        self.hints.append(hint)
        return Hypothesis(self.text, self.sure)

    def spelt(self, samples: Samples) -> str:
        """The same."""
        return self.text


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


SOUND = np.full(3 * SAMPLE_RATE_HZ, 0.1, np.float32)


@pytest.fixture
def small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a fetched second ear of one file; what is heard is a sentence half heard."""
    file = ModelFile("model.bin", 5, hashlib.sha256(b"whole").hexdigest())
    entry = ModelEntry("small", "whisper", "English", "MIT", "x", (file,), (Source("x", True),))
    monkeypatch.setenv("COACH_MODELS", str(tmp_path))
    monkeypatch.setattr(engines, "read_manifest", lambda: (entry,))
    monkeypatch.setattr(engines, "_whisper", lambda model: Parrot("I put the catheter in"))
    monkeypatch.setattr(whisper_recogniser, "missing_packages", list)
    half = Parrot("i put thee cathe tern")
    monkeypatch.setattr(engines, "_own", lambda *_: half)
    monkeypatch.setattr(engines, "open_recogniser", lambda *_: half)
    half.sure = 0.2
    (tmp_path / "small").mkdir()
    (tmp_path / "small" / "model.bin").write_bytes(b"whole")
    return tmp_path / "small"


def test_a_fetched_model_hears_sentences_behind_the_own_recogniser(small: Path) -> None:
    heard = open_ears(waits=True).hear(SOUND, Hint())
    assert heard.text == "i put thee cathe tern"
    assert heard.second_ear is not None
    assert heard.second_ear[0] == "I put the catheter in"


def test_a_fetched_model_without_its_packages_says_how_to_get_them_or_do_without(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not by "--engine own": that is the ear that is in use."""
    monkeypatch.setattr(whisper_recogniser, "missing_packages", lambda: ["ctranslate2"])
    ears = open_ears(waits=True)
    assert isinstance(ears, SecondPass)
    assert ears.hear(SOUND, Hint()).second_ear is None
    assert str(ears.trouble).startswith("There was no second ear for sentences in your own words")
    assert "[second-ear]" in str(ears.trouble) and "second-ear no" in str(ears.trouble)
    assert "--engine" not in str(ears.trouble)


@pytest.mark.parametrize("name", ["vosk", "whisper"])
def test_engines_that_hear_free_sentences_have_none_behind_them(name: str, small: Path) -> None:
    assert not isinstance(open_ears(name), SecondPass)


def test_it_can_be_switched_off_and_is_left_out_where_it_is_absent(small: Path) -> None:
    assert not isinstance(open_ears(second=False), SecondPass)
    shutil.rmtree(small)
    assert not isinstance(open_ears(), SecondPass)


@pytest.mark.parametrize("content", [b"wrong", b"cut"], ids=["another file", "cut short"])
def test_a_damaged_one_is_refused_by_its_hash_and_the_first_ear_goes_on(
    content: bytes, small: Path
) -> None:
    (small / "model.bin").write_bytes(content)
    ears = open_ears(waits=True)
    assert isinstance(ears, SecondPass)
    assert ears.hear(SOUND, Hint()).second_ear is None
    assert "coach models fetch small" in str(ears.trouble)


def test_as_the_only_ear_a_damaged_model_is_refused(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.undo()
    monkeypatch.setenv("COACH_MODELS", str(small.parent))
    small.rename(small.parent / "whisper-tiny")
    with pytest.raises(MissingError, match=r"damaged .*coach models fetch whisper-tiny"):
        open_recogniser("whisper")


def test_the_second_ear_of_the_manifest_is_whisper_tiny() -> None:
    assert second_ear().name == "whisper-tiny"
