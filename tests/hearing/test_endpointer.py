"""Cutting a stream into utterances: every time here is counted in samples."""

from __future__ import annotations

import numpy as np
import pytest

from coach.core.sound import SAMPLE_RATE_HZ
from coach.hearing.endpointer import (
    NUMBER_HANGOVER_S,
    Block,
    Cut,
    Endpointer,
    Limits,
    SpeechStart,
    TooLoud,
    Utterance,
)

WINDOW = 512
SPEECH, QUIET = 0.9, 0.05


def windows(seconds: float) -> int:
    return round(seconds * SAMPLE_RATE_HZ / WINDOW)


def feed(endpointer: Endpointer, seconds: float, probability: float, level: float) -> list[Cut]:
    cuts: list[Cut] = []
    for _ in range(windows(seconds)):
        cuts += endpointer.feed(np.full(WINDOW, level, dtype=np.float32), probability)
    return cuts


def syllables(endpointer: Endpointer, seconds: float, level: float, dip: float = 0.1) -> list[Cut]:
    """Talk without a pause: every third window is below the others, as between syllables.

    One voice has dips of 20 dB; of many at once little is left of them.
    """
    cuts: list[Cut] = []
    for number in range(windows(seconds)):
        loudness = level * dip if number % 3 == 2 else level
        cuts += endpointer.feed(np.full(WINDOW, loudness, dtype=np.float32), SPEECH)
    return cuts


def utterances(cuts: list[Cut]) -> list[Utterance]:
    return [cut for cut in cuts if isinstance(cut, Utterance)]


def test_a_turn_begins_and_ends_where_the_speech_does() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 1.024, QUIET, 0.01)
    cuts += feed(endpointer, 1.024, SPEECH, 0.1)
    cuts += feed(endpointer, 1.024, QUIET, 0.01)
    start, utterance = cuts
    assert start == SpeechStart(at_sample=32 * WINDOW)
    assert isinstance(utterance, Utterance)
    assert utterance.began_at_sample == 32 * WINDOW
    assert utterance.ended_at_sample == 64 * WINDOW
    assert utterance.lasted_s == pytest.approx(1.024)
    assert not utterance.capped


def test_the_lead_before_the_start_is_kept_and_no_more() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 2.048, QUIET, 0.01) + feed(endpointer, 0.512, SPEECH, 0.1)
    cuts += feed(endpointer, 1.024, QUIET, 0.02)
    (utterance,) = utterances(cuts)
    lead = int(np.flatnonzero(utterance.samples > 0.05)[0])
    assert Limits().lead_s * SAMPLE_RATE_HZ <= lead < Limits().lead_s * SAMPLE_RATE_HZ + WINDOW
    assert (utterance.samples[:lead] < 0.02).all()


def test_level_above_the_quiet_before() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 1.0, QUIET, 0.01) + feed(endpointer, 1.0, SPEECH, 0.1)
    (utterance,) = utterances(cuts + feed(endpointer, 1.0, QUIET, 0.01))
    # Ten times the amplitude is 20 dB by definition.
    assert utterance.signal_to_noise_db == pytest.approx(20.0, abs=0.1)
    # A square wave of full scale has 0 dBFS (ITU-T G.100.1: dBov), a hundredth of it -40.
    assert utterance.level_dbfs == pytest.approx(-20.0, abs=0.1)
    assert utterance.noise_dbfs == pytest.approx(-40.0, abs=0.1)


def test_no_level_when_nothing_came_before() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 1.0, SPEECH, 0.1) + feed(endpointer, 1.0, QUIET, 0.01)
    assert utterances(cuts)[0].signal_to_noise_db is None
    assert utterances(cuts)[0].noise_dbfs is None
    assert utterances(cuts)[0].level_dbfs == pytest.approx(-20.0, abs=0.1)


def test_a_click_is_no_speech() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 0.5, QUIET, 0.0)
    cuts += feed(endpointer, 0.064, SPEECH, 0.5) + feed(endpointer, 2.0, QUIET, 0.0)
    assert cuts == []


@pytest.mark.parametrize(("gap_s", "turns"), [(0.40, 1), (0.45, 1), (0.60, 2), (1.00, 2)])
def test_a_gap_of_half_a_second_parts_two_turns(gap_s: float, turns: int) -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 0.5, SPEECH, 0.1) + feed(endpointer, gap_s, QUIET, 0.0)
    cuts += feed(endpointer, 0.5, SPEECH, 0.1) + feed(endpointer, 1.5, QUIET, 0.0)
    assert len(utterances(cuts)) == turns


@pytest.mark.parametrize(("gap_s", "turns"), [(0.70, 1), (0.85, 1), (1.05, 2)])
def test_digits_read_one_by_one_stay_together(gap_s: float, turns: int) -> None:
    endpointer = Endpointer()
    endpointer.expect_number(True)
    cuts = feed(endpointer, 0.5, SPEECH, 0.1) + feed(endpointer, gap_s, QUIET, 0.0)
    cuts += feed(endpointer, 0.5, SPEECH, 0.1) + feed(endpointer, 1.5, QUIET, 0.0)
    assert len(utterances(cuts)) == turns
    endpointer.expect_number(False)
    cuts = feed(endpointer, 0.5, SPEECH, 0.1) + feed(endpointer, 0.65, QUIET, 0.0)
    assert NUMBER_HANGOVER_S > 0.65
    assert len(utterances(cuts)) == 1


def test_the_detectors_late_fall_in_noise_is_no_speech() -> None:
    # After speech in noise Silero's probability takes 0.3 s and more to fall (measured).
    endpointer = Endpointer()
    cuts = feed(endpointer, 2.0, QUIET, 0.02) + feed(endpointer, 1.0, SPEECH, 0.1)
    cuts += feed(endpointer, 0.4, 0.6, 0.02) + feed(endpointer, 0.2, QUIET, 0.02)
    (utterance,) = utterances(cuts)
    assert utterance.lasted_s == pytest.approx(1.0, abs=0.04)


def test_a_faint_end_that_is_surely_speech_is_kept() -> None:
    endpointer = Endpointer()
    cuts = feed(endpointer, 2.0, QUIET, 0.02) + feed(endpointer, 1.0, SPEECH, 0.1)
    cuts += feed(endpointer, 0.4, SPEECH, 0.02) + feed(endpointer, 1.0, QUIET, 0.02)
    (utterance,) = utterances(cuts)
    assert utterance.lasted_s == pytest.approx(1.4, abs=0.04)


def test_a_turn_over_a_din_of_talk_closes_where_the_louder_voice_ends() -> None:
    endpointer = Endpointer()
    many = 0.7
    syllables(endpointer, 7.0, 0.02, many)
    cuts = syllables(endpointer, 1.0, 0.1) + syllables(endpointer, 1.0, 0.02, many)
    (turn,) = utterances(cuts)
    assert turn.lasted_s == pytest.approx(1.0, abs=0.1)
    assert turn.noise_dbfs is not None
    # The din's lower part: 0.014 is -37 dBFS.
    assert turn.noise_dbfs == pytest.approx(-37.1, abs=0.2)


def test_what_is_known_of_the_room_counts_before_anything_was_heard() -> None:
    def lasted_s(noise_dbfs: float | None) -> float:
        endpointer = Endpointer(noise_dbfs=noise_dbfs)
        cuts = feed(endpointer, 1.0, SPEECH, 0.1) + feed(endpointer, 1.0, 0.6, 0.02)
        return utterances(cuts + feed(endpointer, 1.0, QUIET, 0.02))[0].lasted_s

    # 0.02 is -34 dBFS.
    assert lasted_s(-34.0) == pytest.approx(1.0, abs=0.04)
    assert lasted_s(None) == pytest.approx(2.0, abs=0.04)


def test_talk_without_a_pause_is_capped_without_losing_or_doubling_a_sample() -> None:
    endpointer = Endpointer()
    cuts: list[Cut] = []
    # Each window can be told by its first sample; levels as in syllables().
    sound = np.full((windows(30.0), WINDOW), 0.1, dtype=np.float32)
    sound[2::3] = 0.01
    sound[:, 0] = np.arange(len(sound)) / 1e5
    for window in sound:
        cuts += endpointer.feed(window, SPEECH)
    turns = utterances(cuts)
    assert len(turns) == 3
    assert all(turn.capped for turn in turns)
    heard = np.concatenate([turn.samples for turn in turns])
    assert np.array_equal(heard, sound.ravel()[: len(heard)])
    assert [turn.in_din for turn in turns] == [False, True, True]


def test_too_loud_is_told_once_for_a_din_and_seldom() -> None:
    endpointer = Endpointer()

    def told_s(seconds: float) -> list[float]:
        cuts = syllables(endpointer, seconds, 0.1)
        return [cut.at_sample / SAMPLE_RATE_HZ for cut in cuts if isinstance(cut, TooLoud)]

    assert told_s(60.0) == pytest.approx([16.0], abs=WINDOW / SAMPLE_RATE_HZ)
    feed(endpointer, 1.0, QUIET, 0.0)
    # Another one so soon is not told before two minutes have passed.
    assert told_s(300.0) == pytest.approx([136.0], abs=0.1)
    feed(endpointer, 1.0, QUIET, 0.0)
    assert told_s(60.0) == pytest.approx([61.0 + 301.0 + 16.0], abs=0.1)


def test_talk_with_pauses_is_not_too_loud() -> None:
    endpointer = Endpointer()
    cuts: list[Cut] = []
    for _ in range(4):
        cuts += syllables(endpointer, 9.0, 0.1) + feed(endpointer, 1.0, QUIET, 0.0)
    assert not any(isinstance(cut, TooLoud) for cut in cuts)
    assert not any(turn.in_din for turn in utterances(cuts))


def test_what_is_kept_is_bounded_however_long_talk_goes_on() -> None:
    endpointer = Endpointer()
    longest = round((Limits().longest_s + Limits().lead_s) * SAMPLE_RATE_HZ) + WINDOW
    for _ in range(180):
        syllables(endpointer, 1.0, 0.1)
        assert len(endpointer.recent(3600.0)) <= longest
    feed(endpointer, 60.0, QUIET, 0.01)
    assert len(endpointer.recent(3600.0)) <= Limits().lead_s * SAMPLE_RATE_HZ + WINDOW


def test_the_end_of_the_stream_closes_the_turn() -> None:
    endpointer = Endpointer()
    assert endpointer.finish() == ()
    feed(endpointer, 1.0, SPEECH, 0.1)
    (utterance,) = endpointer.finish()
    assert isinstance(utterance, Utterance)
    assert endpointer.finish() == ()


def test_blocks_of_any_length_give_the_same_turn() -> None:
    sound: Block = np.concatenate(
        [np.zeros(16000), np.full(16000, 0.1), np.zeros(16000)], dtype=np.float32
    )
    found = []
    for length in (160, 320, 1600):
        endpointer = Endpointer()
        cuts: list[Cut] = []
        for begin in range(0, len(sound), length):
            block = sound[begin : begin + length]
            cuts += endpointer.feed(block, SPEECH if block.any() else QUIET)
        (utterance,) = utterances(cuts)
        found.append((utterance.began_at_sample, utterance.ended_at_sample))
    assert found == [(16000, 32000)] * 3


def test_recent_gives_the_newest_samples_of_the_open_turn() -> None:
    endpointer = Endpointer()
    feed(endpointer, 1.0, SPEECH, 0.1)
    feed(endpointer, 0.512, SPEECH, 0.3)
    recent = endpointer.recent(0.512)
    assert len(recent) == 16 * WINDOW
    assert (recent == np.float32(0.3)).all()
