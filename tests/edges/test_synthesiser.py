"""The system's voice, through the real library and espeak-ng where they are installed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import wave
from contextlib import closing, suppress
from pathlib import Path

import numpy as np
import pytest
from disk import full_disk

from coach.core.errors import MissingError
from coach.core.sound import Samples
from coach.edges.synthesiser import (
    PEAK,
    SystemSynthesiser,
    SystemVoice,
    choose_voice,
    trim_silence,
)

LINE = "Check the gauge and read the pressure aloud."

needs_speech = pytest.mark.skipif(
    sys.platform.startswith("linux") and shutil.which("espeak-ng") is None,
    reason="espeak-ng is not installed",
)
needs_espeak = pytest.mark.skipif(
    shutil.which("espeak-ng") is None, reason="espeak-ng is not installed"
)


def espeak(text: str, words_per_minute: int, folder: Path) -> tuple[Samples, int]:
    """The same line by the program espeak-ng itself."""
    file = folder / "espeak.wav"
    command = ["espeak-ng", "-v", "en-us", "-s", str(words_per_minute), "-w", str(file), text]
    subprocess.run(command, check=True, timeout=30)
    with wave.open(str(file)) as sound:
        frames = sound.readframes(sound.getnframes())
        return (np.frombuffer(frames, np.int16) / 32768).astype(np.float32), sound.getframerate()


@needs_espeak
@pytest.mark.parametrize(("rate", "words_per_minute"), [(1.0, 170), (1.5, 255), (0.7, 119)])
def test_lines_are_as_long_as_by_espeak_itself(
    tmp_path: Path, rate: float, words_per_minute: int
) -> None:
    synthesiser = SystemSynthesiser()
    samples, rate_hz = synthesiser.render(LINE, rate)
    synthesiser.close()
    expected, expected_rate_hz = espeak(LINE, words_per_minute, tmp_path)
    assert rate_hz == expected_rate_hz
    assert len(samples) == pytest.approx(len(trim_silence(expected, rate_hz)), rel=0.02)


@needs_speech
def test_many_lines_each_whole_and_trimmed() -> None:
    synthesiser = SystemSynthesiser()
    lines = [f"Step {number}. Turn the valve." for number in range(1, 13)]
    for line in lines:
        samples, rate_hz = synthesiser.render(line)
        assert len(samples) > rate_hz
        assert np.abs(samples).max() == pytest.approx(PEAK, abs=0.001)
        assert np.abs(samples[: round(0.01 * rate_hz)]).max() > 0.003
        assert np.abs(samples[-round(0.06 * rate_hz) :]).max() > 0.003
    synthesiser.close()


@needs_speech
def test_nothing_to_say_is_no_sound() -> None:
    synthesiser = SystemSynthesiser()
    samples, _ = synthesiser.render("...")
    synthesiser.close()
    assert len(samples) == 0


@needs_speech
@pytest.mark.parametrize("size_divisor", [2, 400, 10**9])
def test_a_rendered_line_is_kept_and_outlives_the_process(
    tmp_path: Path, size_divisor: int
) -> None:
    first = SystemSynthesiser(cache_folder=tmp_path / "lines")
    samples, rate_hz = first.render(LINE)
    again, _ = first.render(LINE)
    assert again is samples
    first.close()
    (file,) = (tmp_path / "lines").iterdir()
    os.truncate(file, file.stat().st_size // size_divisor)
    second = SystemSynthesiser(cache_folder=tmp_path / "lines")
    repaired, repaired_rate_hz = second.render(LINE)
    second.close()
    assert repaired_rate_hz == rate_hz
    assert len(repaired) == pytest.approx(len(samples), rel=0.02)
    third = SystemSynthesiser(cache_folder=tmp_path / "lines")
    kept, _ = third.render(LINE)
    third.close()
    assert kept == pytest.approx(repaired, abs=1 / 16384)


@needs_speech
def test_no_file_and_no_process_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    synthesiser = SystemSynthesiser()
    synthesiser.render(LINE)
    worker = synthesiser._worker
    assert worker is not None
    assert worker.folder.parent == tmp_path
    synthesiser.close()
    assert not worker.alive
    assert list(tmp_path.iterdir()) == []


@needs_speech
def test_a_full_disk_costs_the_cache_and_no_line(tmp_path: Path) -> None:
    """Half a line that did not fit is taken away again, and what fits later is kept."""
    lines = tmp_path / "lines"
    with closing(SystemSynthesiser(cache_folder=lines)) as synthesiser:
        whole, _ = synthesiser.render("Is the whole line here?")
        # Before the limit, so that its own process has room.
        assert synthesiser._worker is not None
        with full_disk(5_000):
            samples, rate_hz = synthesiser.render(LINE)
        assert len(samples) > rate_hz
        (kept,) = lines.iterdir()
        assert synthesiser.render("And now?")[0].any()
        assert len(list(lines.iterdir())) == 2 and kept.suffix == ".flac" and len(whole)


@needs_speech
def test_a_full_disk_for_the_voice_itself_is_told_and_no_silence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library says nothing of it, and gives a file without sound or hangs."""
    resource = pytest.importorskip("resource", reason="only POSIX limits the size of a file")
    if not hasattr(resource, "prlimit"):
        pytest.skip("only Linux limits the files of another process")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with closing(SystemSynthesiser()) as synthesiser:
        synthesiser.voice()
        assert synthesiser._worker is not None
        its = (synthesiser._worker._process.pid, resource.RLIMIT_FSIZE)
        before = resource.prlimit(*its, (20_000, resource.RLIM_INFINITY))
        told = pytest.raises(MissingError, match=r"no room for its lines.*TMPDIR")
        with full_disk(20_000), monkeypatch.context() as sooner, told:
            sooner.setattr("coach.edges.synthesiser.RENDER_TIMEOUT_S", 2.0)
            synthesiser.render(LINE)
        # Where the library hung its process was ended.
        with suppress(ProcessLookupError):
            resource.prlimit(*its, before)
        assert len(synthesiser.render(LINE)[0]) > 0


@needs_speech
def test_a_process_that_died_is_started_again() -> None:
    synthesiser = SystemSynthesiser()
    synthesiser.render("One.")
    worker = synthesiser._worker
    assert worker is not None
    worker.close()
    assert len(synthesiser.render("Two.")[0]) > 0
    synthesiser.close()


@needs_speech
def test_a_child_whose_parent_is_killed_removes_its_folder(tmp_path: Path) -> None:
    folder = tmp_path / "lines"
    folder.mkdir()
    child = subprocess.Popen(
        [sys.executable, "-m", "coach.edges.synthesiser_worker", str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    assert child.stdin is not None
    assert child.stdout is not None
    assert child.stdout.readline() == b"{}\n"
    child.stdin.close()
    assert child.wait(timeout=30) == 0
    child.stdout.close()
    assert not folder.exists()


def test_a_system_without_speech_is_told_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "pyttsx3.py").write_text("raise OSError('libespeak-ng.so.1 not found')\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    monkeypatch.setattr(sys, "path", [str(tmp_path), *sys.path])
    worker = tmp_path / "worker.py"
    worker.write_text(
        "import sys; sys.path.insert(0, sys.argv[0].rpartition('/')[0])\n"
        "from coach.edges.synthesiser_worker import *\nmain(Path(sys.argv[1]))\n"
    )
    monkeypatch.setattr("coach.edges.synthesiser.WORKER", [str(worker)])
    with pytest.raises(MissingError, match="libespeak-ng") as caught:
        SystemSynthesiser().render(LINE)
    if sys.platform.startswith("linux"):
        assert "apt install espeak-ng" in str(caught.value)


VOICES = [
    SystemVoice("gmw/en", "English (Great Britain)"),
    SystemVoice("gmw/en-us-nyc", "English (America, New York City)"),
    SystemVoice("gmw/en-us", "English (America)"),
    SystemVoice("gmw/de", "German"),
]


@pytest.mark.parametrize(
    ("wanted", "chosen"),
    [
        (None, "gmw/en-us"),
        ("gmw/de", "gmw/de"),
        ("german", "gmw/de"),
        ("new york", "gmw/en-us-nyc"),
        ("en-us", "gmw/en-us"),
    ],
)
def test_the_voice_is_american_english_or_as_asked(wanted: str | None, chosen: str) -> None:
    assert choose_voice(VOICES, wanted).id == chosen


def test_an_unknown_voice_is_refused_with_those_there_are() -> None:
    with pytest.raises(MissingError, match=r"'Klingon'.*English \(America\)"):
        choose_voice(VOICES, "Klingon")
    with pytest.raises(MissingError, match="no English voice"):
        choose_voice([SystemVoice("zle/ru", "Russian")])


def test_trimming_keeps_a_little_on_both_sides() -> None:
    samples = np.zeros(22_050, dtype=np.float32)
    samples[10_000:12_000] = 0.5
    trimmed = trim_silence(samples, 22_050)
    assert 2_000 < len(trimmed) < 3_100
    assert np.count_nonzero(trimmed) == 2_000
