"""Recordings are read, or refused with the file's name and what to do."""

from __future__ import annotations

import os
import struct
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr

from coach.core.errors import InputError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.wave_file import (
    BLOCK_FRAMES,
    blocks_of_recording,
    read_recording,
    write_recording,
)


def tone(seconds: float = 1.0, rate_hz: int = SAMPLE_RATE_HZ) -> Samples:
    at = np.arange(round(seconds * rate_hz)) / rate_hz
    return np.asarray(0.4 * np.sin(2 * np.pi * 300 * at), dtype=np.float32)


def refusal(path: Path, longest_s: float = 600.0) -> str:
    with pytest.raises(InputError) as caught:
        read_recording(path, longest_s)
    message = str(caught.value)
    assert str(path) in message
    assert message.endswith(".")
    return message


def test_what_is_written_is_read(tmp_path: Path) -> None:
    path = tmp_path / "one.wav"
    write_recording(path, tone(), SAMPLE_RATE_HZ)
    assert read_recording(path) == pytest.approx(tone(), abs=1 / 32768)


def test_pythons_own_reader_reads_what_we_write(tmp_path: Path) -> None:
    path = tmp_path / "one.wav"
    write_recording(path, tone(0.5, 22_050), 22_050)
    with wave.open(str(path)) as file:
        shape = (file.getframerate(), file.getnchannels(), file.getsampwidth(), file.getnframes())
    assert shape == (22_050, 1, 2, 11_025)


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "ULAW"])
@pytest.mark.parametrize("rate_hz", [8_000, 44_100, 48_000])
def test_every_width_and_rate_in_stereo(tmp_path: Path, subtype: str, rate_hz: int) -> None:
    path = tmp_path / "two.wav"
    mono = tone(1.0, rate_hz)
    soundfile.write(path, np.stack([mono, mono], axis=1), rate_hz, subtype=subtype)
    samples = read_recording(path)
    assert samples.dtype == np.float32
    assert samples.shape == pytest.approx((SAMPLE_RATE_HZ,), abs=2)
    inside = slice(500, 15_000)
    assert samples[inside] == pytest.approx(tone()[inside], abs=0.03)


@pytest.mark.parametrize("name", ["one.flac", "one.ogg", "one.mp3"])
def test_other_kinds_of_file(tmp_path: Path, name: str) -> None:
    soundfile.write(tmp_path / name, tone(), SAMPLE_RATE_HZ)
    assert len(read_recording(tmp_path / name)) == pytest.approx(SAMPLE_RATE_HZ, abs=2500)


def test_a_missing_file(tmp_path: Path) -> None:
    assert "does not exist" in refusal(tmp_path / "none.wav")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path)


def test_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "empty.wav"
    path.touch()
    assert "is empty" in refusal(path)


def test_a_header_without_sound(tmp_path: Path) -> None:
    path = tmp_path / "none.wav"
    write_recording(path, tone(0.0), SAMPLE_RATE_HZ)
    assert "no sound" in refusal(path)


@pytest.mark.parametrize("name", ["cut.wav", "cut.flac"])
def test_a_file_that_was_cut_short(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    rng = np.random.default_rng(1)
    soundfile.write(path, rng.uniform(-0.5, 0.5, 32_000), SAMPLE_RATE_HZ)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    message = refusal(path)
    assert "cut short" in message or "not sound this program can read" in message


@pytest.mark.parametrize("promised", [100_000, 0x7FFFFFFF, 0xFFFFFFFF])
def test_a_header_that_promises_more_than_there_is(tmp_path: Path, promised: int) -> None:
    path = tmp_path / "more.wav"
    write_recording(path, tone(), SAMPLE_RATE_HZ)
    whole = bytearray(path.read_bytes())
    at = whole.index(b"data") + 4
    whole[at : at + 4] = struct.pack("<I", promised)
    path.write_bytes(bytes(whole))
    assert "cut short" in refusal(path)


def test_only_half_a_header(tmp_path: Path) -> None:
    path = tmp_path / "half.wav"
    write_recording(path, tone(), SAMPLE_RATE_HZ)
    path.write_bytes(path.read_bytes()[:20])
    assert path.name in refusal(path)


def test_text_is_not_sound(tmp_path: Path) -> None:
    path = tmp_path / "notes.wav"
    path.write_text("I measured the airway.\n" * 50)
    message = refusal(path)
    assert "not sound" in message
    assert "WAV" in message


def test_values_that_are_no_numbers(tmp_path: Path) -> None:
    path = tmp_path / "nan.wav"
    samples = tone()
    samples[100] = np.nan
    soundfile.write(path, samples, SAMPLE_RATE_HZ, subtype="FLOAT")
    assert "not numbers" in refusal(path)


def test_longer_than_allowed_is_refused_with_both_lengths(tmp_path: Path) -> None:
    path = tmp_path / "long.wav"
    write_recording(path, tone(180.0), SAMPLE_RATE_HZ)
    message = refusal(path, longest_s=120.0)
    assert "3.0 minutes" in message
    assert "2 allowed" in message
    assert len(read_recording(path, longest_s=180.0)) == 180 * SAMPLE_RATE_HZ


def test_ten_minutes_are_the_ordinary_limit(tmp_path: Path) -> None:
    path = tmp_path / "long.wav"
    write_recording(path, np.zeros(601 * 8_000, dtype=np.float32), 8_000)
    assert "10 allowed" in refusal(path)


@pytest.mark.parametrize("rate_hz", [4_000, 384_000])
def test_a_rate_that_cannot_be_used(tmp_path: Path, rate_hz: int) -> None:
    path = tmp_path / "odd.wav"
    soundfile.write(path, tone(), rate_hz)
    assert f"{rate_hz} Hz" in refusal(path)


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything"
)
def test_a_file_without_permission(tmp_path: Path) -> None:
    path = tmp_path / "locked.wav"
    write_recording(path, tone(), SAMPLE_RATE_HZ)
    path.chmod(0)
    assert "permission" in refusal(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_refused_instead_of_waiting_for_ever(tmp_path: Path) -> None:
    path = tmp_path / "pipe.wav"
    os.mkfifo(path)
    assert "not an ordinary file" in refusal(path)


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    path = tmp_path / "none" / "one.wav"
    with pytest.raises(InputError, match="cannot be written"):
        write_recording(path, tone(), SAMPLE_RATE_HZ)


@pytest.mark.parametrize(("rate_hz", "channels"), [(16_000, 1), (44_100, 2), (8_000, 1)])
def test_a_long_recording_comes_in_blocks_that_are_the_whole(
    tmp_path: Path, rate_hz: int, channels: int
) -> None:
    """Against soxr's own resampling of all of it at once, bit for bit."""
    path = tmp_path / "long.wav"
    seconds = 3.3 * BLOCK_FRAMES / rate_hz
    frames = np.random.default_rng(4).normal(0, 0.1, (round(seconds * rate_hz), channels))
    soundfile.write(path, frames, rate_hz)
    blocks = [*blocks_of_recording(path)]
    assert len(blocks) == 4
    read, _ = soundfile.read(path, dtype="float32", always_2d=True)
    whole = read.mean(axis=1)
    if rate_hz != SAMPLE_RATE_HZ:
        whole = soxr.resample(whole, rate_hz, SAMPLE_RATE_HZ)
    assert np.array_equal(np.concatenate(blocks), np.clip(whole, -1.0, 1.0).astype(np.float32))
