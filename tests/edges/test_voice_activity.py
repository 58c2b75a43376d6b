"""The network must find people speaking, and nothing else, in real recordings."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import numpy as np
import pytest

from coach.core.errors import MissingError
from coach.core.sound import Samples
from coach.edges.voice_activity import SHA256, WINDOW_SAMPLES, VoiceActivity, model_path
from coach.edges.wave_file import read_recording
from coach.hearing.endpointer import Cut, Endpointer, Utterance

RECORDINGS = Path(__file__).parents[3] / "shared" / "speech" / "words"

needs_recordings = pytest.mark.skipif(
    not RECORDINGS.is_dir(), reason="the recordings of real words are not on this machine"
)


def in_quiet_room(samples: Samples) -> Samples:
    """Half a second before and a second after, with a little noise: silence was never recorded."""
    rng = np.random.default_rng(7)
    padded = np.concatenate([np.zeros(8_000), samples, np.zeros(16_000)])
    return np.asarray(padded + rng.normal(0, 20 / 32768, len(padded)), dtype=np.float32)


def turns(activity: VoiceActivity, samples: Samples) -> int:
    activity.reset()
    endpointer = Endpointer()
    cuts: list[Cut] = []
    for begin in range(0, len(samples) - WINDOW_SAMPLES + 1, WINDOW_SAMPLES):
        window = samples[begin : begin + WINDOW_SAMPLES]
        cuts += endpointer.feed(window, activity.probability(window))
    return sum(isinstance(cut, Utterance) for cut in cuts)


def test_the_network_is_the_one_its_card_names() -> None:
    card = (model_path().parent / "README.md").read_text(encoding="utf-8")
    named = re.search(r"[0-9a-f]{64}", card)
    assert named is not None
    assert named[0] == SHA256
    assert hashlib.sha256(model_path().read_bytes()).hexdigest() == named[0]


@needs_recordings
@pytest.mark.parametrize("word", ["yes", "no", "stop", "go", "on", "off"])
def test_real_words_are_one_turn_each(word: str) -> None:
    # Speech Commands v0.02, test files (Pete Warden / Google, CC BY 4.0): words of many people.
    activity = VoiceActivity()
    files = sorted((RECORDINGS / word).glob("*.wav"))[:30]
    found = [turns(activity, in_quiet_room(read_recording(file))) for file in files]
    assert sum(count == 1 for count in found) >= 0.9 * len(files)
    assert max(found) == 1


@needs_recordings
def test_noise_of_rooms_is_no_turn() -> None:
    # Speech Commands v0.02, background noise: running water, a cat, pink noise and the like.
    activity = VoiceActivity()
    files = sorted((RECORDINGS / "silence").glob("*.wav"))[:40]
    assert sum(turns(activity, in_quiet_room(read_recording(file))) for file in files) == 0


@pytest.mark.parametrize("level", [0.0, 0.001, 0.1])
def test_neither_silence_nor_hiss_is_speech(level: float) -> None:
    hiss = np.random.default_rng(3).normal(0, 1, 10 * 16_000).clip(-3, 3) * level / 3
    assert turns(VoiceActivity(), np.asarray(hiss, dtype=np.float32)) == 0


def test_forgetting_makes_two_runs_equal() -> None:
    activity = VoiceActivity()
    sound = np.asarray(np.random.default_rng(5).normal(0, 0.1, 4 * WINDOW_SAMPLES), np.float32)
    windows = sound.reshape(-1, WINDOW_SAMPLES)
    first = [activity.probability(window) for window in windows]
    activity.reset()
    assert [activity.probability(window) for window in windows] == first


def test_a_window_of_another_length_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="512 wanted"):
        VoiceActivity().probability(np.zeros(480, dtype=np.float32))


@pytest.mark.parametrize("content", [None, b"", b"not a network"])
def test_a_missing_or_damaged_network(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "silero_vad.onnx"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(MissingError, match=r"silero_vad\.onnx.*type instead of speaking"):
        VoiceActivity(path)


def test_one_changed_byte_is_refused_by_its_hash(tmp_path: Path) -> None:
    content = bytearray(model_path().read_bytes())
    content[len(content) // 2] ^= 1
    path = tmp_path / "silero_vad.onnx"
    path.write_bytes(bytes(content))
    with pytest.raises(MissingError, match="SHA-256"):
        VoiceActivity(path)
