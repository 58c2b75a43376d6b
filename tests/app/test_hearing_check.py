"""The hearing check over made-up sound: who is heard when, and what is left out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from fakes import FakeVoice, SlowVoice

from coach.app import hearing_check
from coach.app.hearing_check import PROMPTS, Listening, ask_all, live_blocks, take_all
from coach.core.errors import MissingError
from coach.core.sound import Samples
from coach.edges.settings import Settings
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.session.ports import EarReported

RATE_HZ = 16_000
WORDS = tuple(prompt.say.lower() for prompt in PROMPTS)


class LoudIsSpeech:
    """Takes everything that is not faint for speech."""

    def probability(self, window: Samples) -> float:
        return 1.0 if np.sqrt(np.mean(window**2)) > 0.05 else 0.0

    def reset(self) -> None:
        pass


class ByLevel:
    """Knows which word it hears by how loud it is: 0.10 for the first, 0.12 for the second."""

    name = "by level"

    def __init__(self, confidence: float = 1.0) -> None:
        self._confidence = confidence

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        number = round((float(np.abs(samples).max()) - 0.1) / 0.02)
        if not 0 <= number < len(WORDS):
            return Hypothesis("", 0.0)
        return Hypothesis(WORDS[number], self._confidence)


def tone(number: int) -> Samples:
    return np.full(RATE_HZ // 2, 0.1 + 0.02 * number, np.float32)


def quiet(seconds: float) -> Samples:
    return np.full(round(RATE_HZ * seconds), 0.001, np.float32)


def blocks(*parts: Samples) -> Iterator[Samples]:
    samples = np.concatenate(parts)
    for begin in range(0, len(samples), 480):
        yield samples[begin : begin + 480]


def test_ten_phrases_are_asked_for_and_heard() -> None:
    voice, captions = FakeVoice(), list[str]()
    sound = blocks(*(part for n in range(10) for part in (quiet(0.5), tone(n), quiet(0.6))))
    listening = Listening(sound, LoudIsSpeech())
    check = ask_all(listening, ByLevel(), voice, captions.append, 6.0)
    assert check.understood == 10
    assert [phrase.heard for phrase in check.phrases] == list(WORDS)
    assert voice.lines[0] == "Say: yes." and "1 of 10" in captions[0] and len(captions) == 10
    assert check.levels.noise_dbfs == pytest.approx(-60.0, abs=0.1)


def test_what_the_coach_says_itself_is_not_heard() -> None:
    line = (np.full(RATE_HZ, 0.28, np.float32), quiet(0.6))  # it would be "I'm ready"
    parts = [part for n in range(10) for part in (*line, tone(n), quiet(1.05))]
    listening = Listening(blocks(*parts), LoudIsSpeech())
    check = ask_all(listening, ByLevel(), SlowVoice(looks=46), lambda _line: None, 6.0)
    assert [phrase.heard for phrase in check.phrases] == list(WORDS)


def test_who_says_nothing_in_time_is_asked_for_the_next() -> None:
    sound = blocks(quiet(6.5), *(part for n in range(1, 10) for part in (tone(n), quiet(1.0))))
    check = ask_all(Listening(sound, LoudIsSpeech()), ByLevel(), FakeVoice(), print, 6.0)
    assert [phrase.say for phrase in check.phrases if not phrase.understood] == ["yes"]


def test_where_nothing_is_heard_it_soon_gives_up() -> None:
    voice = FakeVoice()
    listening = Listening(blocks(quiet(65.0)), LoudIsSpeech())
    check = ask_all(listening, ByLevel(), voice, lambda _line: None, 6.0)
    assert len(voice.lines) == 3 and len(check.phrases) == 10
    assert check.understood == 0
    assert all(phrase.heard is None for phrase in check.phrases)
    assert check.levels.level_dbfs is None


def test_a_cough_is_no_answer() -> None:
    cough = np.full(RATE_HZ // 4, 0.9, np.float32)
    listening = Listening(blocks(quiet(0.5), cough, quiet(0.6), tone(0), quiet(60)), LoudIsSpeech())
    check = ask_all(listening, ByLevel(), FakeVoice(), lambda _line: None, 6.0)
    assert check.phrases[0].heard == "yes"
    assert check.levels.level_dbfs == pytest.approx(-20.0, abs=0.2)


def test_where_it_never_rests_it_comes_to_an_end_all_the_same() -> None:
    # Loud and faint by turns, never faint for as long as a hangover: no turn has words.
    din = np.concatenate([np.full(RATE_HZ // 4, level, np.float32) for level in (0.9, 0.06)] * 300)
    endless = (block for _ in range(20) for block in blocks(din))
    voice = FakeVoice()
    check = ask_all(Listening(endless, LoudIsSpeech()), ByLevel(), voice, lambda _line: None, 6.0)
    assert check.understood == 0
    assert len(voice.lines) == 3
    assert next(endless, None) is not None, "it went on to the end of the sound"


def test_what_is_heard_unsurely_is_not_understood() -> None:
    sound = blocks(*(part for n in range(10) for part in (quiet(0.5), tone(n), quiet(0.6))))
    check = take_all(Listening(sound, LoudIsSpeech()), ByLevel(confidence=0.2))
    understood = [phrase.say for phrase in check.phrases if phrase.understood]
    # "No" and "stop" are obeyed even when faint.
    assert understood == ["no", "stop"]
    assert all(phrase.margin < 0 for phrase in check.phrases)


def test_a_phrase_missing_in_a_recording_leaves_the_others_in_place() -> None:
    sound = blocks(
        *(part for n in range(10) if n != 2 for part in (quiet(0.5), tone(n), quiet(0.6)))
    )
    check = take_all(Listening(sound, LoudIsSpeech()), ByLevel())
    assert [phrase.say for phrase in check.phrases if not phrase.understood] == ["stop"]


class Gone:
    """A microphone that is unplugged after one block."""

    def __init__(self) -> None:
        self._left: list[Samples | EarReported | None] = [quiet(0.03), None, EarReported("Gone.")]

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        return self._left.pop(0)


def test_a_microphone_that_goes_ends_the_check() -> None:
    with pytest.raises(MissingError, match="plug it in again"):
        list(live_blocks(Gone()))


class Scripted:
    """A microphone in front of which all ten phrases are said."""

    def __init__(self, _wanted: str | None) -> None:
        parts = (part for n in range(10) for part in (quiet(0.5), tone(n), quiet(0.6)))
        self._blocks = blocks(*parts)

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        return next(self._blocks, EarReported("Gone."))

    def close(self) -> None:
        pass


def test_without_a_voice_the_captions_do(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_voice(*_wanted: object) -> None:
        raise MissingError("There is no voice here: install one.")

    parts = {
        "Microphone": Scripted,
        "VoiceActivity": LoudIsSpeech,
        "coachs_synthesiser": no_voice,
        "open_recogniser": lambda *_wanted: ByLevel(),
    }
    for name, part in parts.items():
        monkeypatch.setattr(hearing_check, name, part)
    captions: list[str] = []
    check = hearing_check.check_hearing(Settings(), None, captions.append)
    assert check.understood == 10
    assert "install one" in captions[0]
    assert [line for line in captions if line.startswith("10 of 10")]
