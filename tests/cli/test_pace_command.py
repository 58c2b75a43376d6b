"""`coach pace`: ended by a typed word, or kept as a recording without any device."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import soundfile

from coach.cli.main import main


def test_a_typed_stop_ends_it_and_counting_does_not(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("one two three\nfour\nstop\n"))
    assert main(["pace", "compressions", "--age", "child", "--rescuers", "2", "--typed"]) == 0
    said = capsys.readouterr().out
    assert "Compressions at one hundred ten a minute, fifteen to two." in said
    assert "never patient care" in said
    assert said.endswith("Stopped.\n")


def test_this_is_real_ends_it_with_the_call_for_help(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("this is real\n"))
    assert main(["pace", "ventilations", "--typed"]) == 0
    said = capsys.readouterr().out
    assert "A breath every six seconds." in said
    assert said.endswith("Call for help now.\n")


def test_it_can_be_kept_as_a_recording(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "pace.wav"
    assert main(["pace", "compressions", "--minutes", "0.1", "--keep", str(file)]) in {0, 2}
    if "Kept in" not in capsys.readouterr().out:
        pytest.skip("the system has no voice to say what this is")
    assert soundfile.info(str(file)).duration > 6


def test_no_file_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "pace.wav"
    file.write_bytes(b"mine")
    code = main(["pace", "compressions", "--minutes", "0.1", "--keep", str(file)])
    assert file.read_bytes() == b"mine"
    if code == 2:
        pytest.skip("the system has no voice to say what this is")
    assert code == 1
    assert "pace.wav is there already: move it away" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["compressions", "--rate", "90"], "--rate 90 is no pace for compressions: give 100 to"),
        (["ventilations", "--rate", "20"], "--rate 20 is no pace for ventilations: give 10 a"),
        (["compressions", "--minutes", "0"], "--minutes 0 is no length: give up to 10."),
        (["compressions", "--minutes", "nan"], "--minutes nan is no length"),
        (["compressions", "--typed", "--keep", "a.wav"], "exclude each other"),
        (["breathing"], "is not one of 'compressions', 'ventilations'"),
    ],
)
def test_bad_input_is_told(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pace", *words]) == 1
    assert told in capsys.readouterr().err


def test_the_local_program_says_how_fast(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = tmp_path / "slow.local.yaml"
    rules.write_text(
        'program: Slow course\ndate: "2026-01-02"\napproved-by: nobody\nfacts:\n'
        "  breath-interval-adult: {value: 8, unit: s, because: so, weakens: No patient is near.}\n",
        encoding="utf-8",
    )
    paces = (["ventilations"], ["ventilations", "--age", "infant"], ["compressions"])
    said = []
    for pace in paces:
        monkeypatch.setattr("sys.stdin", io.StringIO("stop\n"))
        assert main(["pace", *pace, "--typed", "--program", str(rules)]) == 0
        said.append(capsys.readouterr().out)
    own, infant, compressions = said
    assert own.startswith("A breath every eight seconds. By the rules of Slow course, of January 2")
    assert "Weaker than published" in own
    assert "No patient is near. Practice only, never patient care" in own
    assert "rules of" not in infant + compressions
