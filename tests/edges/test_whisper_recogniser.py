"""Whisper: spelling and loops of its replies, and a real model where one was fetched."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ
from coach.edges import whisper_recogniser
from coach.edges.convert import convert
from coach.edges.model_store import State, find_model, model_path, model_state
from coach.edges.whisper_recogniser import WhisperRecogniser, our_spelling, without_loops
from coach.hearing.hypothesis import Hint


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("The gauge reads 1,700 PSI.", "the gauge reads 1700 psi"),
        ("15 litres, please!", "15 liters please"),
        ("94% on room air", "94 percent on room air"),
        ("It\u2019s 2.5 L/min.", "it's 2.5 liters per minute"),
        ("[BLANK_AUDIO]", ""),
        ("(sighs) Yes.", "yes"),
        ("OK.", "okay"),
        ("  ", ""),
    ],
)
def test_replies_are_brought_to_our_spelling(written: str, text: str) -> None:
    assert our_spelling(written) == text


@pytest.mark.parametrize(
    ("looped", "text"),
    [
        ("go go go go go", "go"),
        ("i checked for leaks i checked for leaks i checked for leaks", "i checked for leaks"),
        ("no no", "no no"),
        ("1 7 0 0", "1 7 0 0"),
        ("0 0 0 0", "0 0 0 0"),
        ("the mask the mask the mask is on", "the mask is on"),
        ("", ""),
    ],
)
def test_loops_are_cut_and_numbers_are_not(looped: str, text: str) -> None:
    assert without_loops(looped) == text


def test_a_folder_without_a_model_says_how_to_get_one(tmp_path: Path) -> None:
    (tmp_path / "config.json").write_text("{}")
    with pytest.raises(MissingError, match=r"model\.bin, tokenizer\.json missing.*coach models"):
        WhisperRecogniser(tmp_path)


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in whisper_recogniser.FILES:
        (tmp_path / name).write_text("{}")
    monkeypatch.setitem(sys.modules, "ctranslate2", None)
    with pytest.raises(MissingError, match="second-ear"):
        WhisperRecogniser(tmp_path)


def test_a_broken_model_is_told_of(tmp_path: Path) -> None:
    pytest.importorskip("ctranslate2")
    pytest.importorskip("tokenizers")
    for name in whisper_recogniser.FILES:
        (tmp_path / name).write_text("{}")
    with pytest.raises(MissingError, match="cannot be loaded"):
        WhisperRecogniser(tmp_path)


@pytest.fixture(scope="module")
def recogniser() -> WhisperRecogniser:
    pytest.importorskip("ctranslate2")
    pytest.importorskip("tokenizers")
    entry = find_model("whisper-tiny")
    if model_state(entry) is not State.FETCHED:
        pytest.skip("no Whisper model here: coach models fetch whisper-tiny")
    return WhisperRecogniser(model_path(entry))


def test_silence_is_an_empty_text(recogniser: WhisperRecogniser) -> None:
    for seconds in (0, 1, 20):
        heard = recogniser.hear(np.zeros(seconds * SAMPLE_RATE_HZ, np.float32), Hint())
        assert (heard.text, heard.confidence) == ("", 0.0)


def test_a_free_sentence_is_heard_whole(recogniser: WhisperRecogniser) -> None:
    import soundfile

    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("espeak-ng is not installed: no synthetic speech to hear")
    run = [program, "-v", "en-us+m3", "-s", "150", "--stdout", "I checked the oxygen for leaks."]
    frames, rate_hz = soundfile.read(
        io.BytesIO(subprocess.run(run, capture_output=True, check=True).stdout), dtype="float32"
    )
    heard = recogniser.hear(convert(frames, rate_hz), Hint())
    assert "oxygen" in heard.text
    assert heard.text == heard.text.lower()
    assert 0.2 < heard.confidence <= 1.0
