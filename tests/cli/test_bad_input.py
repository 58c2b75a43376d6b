"""Wrong input of every kind: a clear sentence, the right exit code, and never a traceback."""

from __future__ import annotations

import contextlib
import io
import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from coach.cli.main import main
from coach.edges.wave_file import write_recording

ROOT = Path(__file__).parents[2]
PROCEDURES = ROOT / "procedures"
SOUND = ("sounddevice", "soundfile", "soxr", "onnxruntime", "pyttsx3", "vosk", "ctranslate2")
DEVICES_AND_MODELS = ("sounddevice", "onnxruntime", "pyttsx3", "vosk", "ctranslate2")
DONE, WRONG, MISSING, INTERRUPTED = 0, 1, 2, 130

WITHOUT = """
import sys
class Missing:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in sys.argv[1].split(","):
            raise ImportError(f"{name} must not be loaded")
sys.meta_path.insert(0, Missing())
from coach.cli.main import main
sys.exit(main(sys.argv[2:]))
"""
"""Runs the program where some libraries cannot be imported."""


@pytest.fixture(autouse=True)
def _no_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())


def run(*arguments: str, **options: Any) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, with nothing to read unless `input` is given."""
    options.setdefault("input", "")
    ran = subprocess.run(
        [sys.executable, "-m", "coach", *arguments],
        capture_output=True, encoding="utf-8", timeout=60, check=False, **options,
    )  # fmt: skip
    assert "Traceback" not in ran.stderr
    return ran


def run_without(libraries: tuple[str, ...], *arguments: str) -> subprocess.CompletedProcess[str]:
    """The program where `libraries` cannot be imported, with nothing to read."""
    return subprocess.run(
        [sys.executable, "-c", WITHOUT, ",".join(libraries), *arguments],
        capture_output=True, text=True, input="", timeout=60, check=False,
    )  # fmt: skip


def refused(
    capsys: pytest.CaptureFixture[str], *arguments: str, code: int = WRONG, silent: bool = True
) -> str:
    """What the program says on standard error when it refuses; it must say nothing else."""
    assert main(arguments) == code
    captured = capsys.readouterr()
    assert captured.out == "" or not silent
    assert "Traceback" not in captured.err
    assert captured.err.strip()
    return captured.err


USAGE = [
    ("practise", "did you mean 'practice'?"),
    ("skils", "did you mean 'skills'?"),
    ("dance", "There is no command 'dance': the commands are practice, "),
    ("--nope", "--nope"),
    ("practice", "SKILL"),
    ("practice oral-airway suction", "suction"),
    ("practice oral-airway --nope", "--nope"),
    ("practice oral-airway --set", "--set"),
    ("practice oral-airway --seed x", "'x' is not a valid integer"),
    ("practice oral-airway --seed 1.5", "'1.5' is not a valid integer"),
    ("practice oral-airway --typed --from a.wav", "--typed and --from exclude each other"),
    ("practice oral-airway --typed --learner a.yaml", "--typed and --learner exclude each other"),
    ("practice oral-airway --from a.wav --learner a.yaml", "--from and --learner exclude"),
    ("practice oral-airway --spoken", "need a --learner FILE.yaml"),
    ("practice oral-airway --typed --first", "need a --learner FILE.yaml"),
    ("practice oral-airway --named x", "need a --learner FILE.yaml"),
    ("practice oral-airway --typed --keep a.wav", "--keep keeps sound"),
    ("practice oral-airway --learner a.yaml --set patient=adult", "leave them out"),
    ("practice oral-airway --learner a.yaml --seed 0", "leave them out"),
    ("practice oral-airway --learner a.yaml --cylinder E", "leave them out"),
    ("skills extra", "extra"),
    ("check --json", "--json"),
    ("hear --skill suction", "FILE"),
    ("hear a.wav", "--skill"),
    ("models fetch", "NAME"),
    ("settings --set x", "--set"),
]


@pytest.mark.parametrize(("line", "told"), USAGE)
def test_wrong_usage_is_exit_code_one(
    line: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told in refused(capsys, *line.split())


VALUES = [
    ("practice nosuch", "There is no skill 'nosuch': `coach skills` lists the "),
    ("practice oral-airwey --typed", "did you mean 'oral-airway'?"),
    ("practice airway --typed", "There is no skill 'airway'"),
    ("practice oral-airway --from missing.wav", "missing.wav does not exist"),
    ("practice oral-airway --from .", ". is a folder"),
    ("practice oral-airway --set patient=alien", "no option 'alien': the options are adult, "),
    ("practice oral-airway --set patent=adult", "did you mean 'patient'?"),
    ("practice oral-airway --set nonsense", "--set 'nonsense' is not name=value"),
    ("practice oral-airway --set =adult", "--set '=adult' is not name=value"),
    ("practice oral-airway --set patient=", "--set 'patient=' is not name=value"),
    ("practice oral-airway --set patient=adult --set patient=small-child", "'patient' twice"),
    ("practice oral-airway --cylinder Q", '--cylinder: There is no US cylinder "Q": known are A,'),
    ("practice oral-airway --reserve banana", '"banana" is not a pressure'),
    ("practice oral-airway --reserve 200", "--reserve"),
    ("practice oral-airway --region moon", '"moon" is not known: use us, uk or anz'),
    ("practice oral-airway --rate fast", "--rate"),
    ("practice oral-airway --engine ears", '"ears" is not known: use auto, own, '),
    ("practice oral-airway --keep nowhere/a.wav", "nowhere/a.wav is not a file in a folder"),
    ("practice oral-airway --keep .", "--keep . is not a file in a folder"),
    ("practice oral-airway --learner missing.yaml", "missing.yaml does not exist"),
    ("practice oral-airway --learner missing.yaml --spoken", "missing.yaml does not exist"),
    ("hear a.wav --skill nope", "There is no skill 'nope'"),
    ("hear a.wav --skill suction --step nope", "no step 'nope'"),
    ("models fetch whisper-huge", "whisper-huge"),
]


@pytest.mark.parametrize(("line", "told"), VALUES)
def test_wrong_values_are_told_plainly(
    line: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told in refused(capsys, *line.split())


@pytest.mark.parametrize(
    "line",
    [
        "practice nosuch",
        "practice oral-airway --from missing.wav",
        "practice oral-airway --set patient=alien",
        "practice oral-airway --set nonsense",
        "practice oral-airway --cylinder Q",
        "practice oral-airway --reserve banana",
        "practice oral-airway --keep nowhere/a.wav",
        "practice oral-airway --learner missing.yaml --spoken",
        "hear x.wav --skill nope",
    ],
)
def test_input_is_checked_before_a_device_or_model_is_loaded(line: str) -> None:
    ran = run_without(DEVICES_AND_MODELS, *line.split())
    assert (ran.returncode, ran.stdout) == (WRONG, "")
    assert "must not be loaded" not in ran.stderr


@pytest.mark.parametrize("data", ["taken/below", "taken"])
def test_a_live_session_that_cannot_be_recorded_opens_no_device(
    data: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "taken").write_text("a file, where the folder should be")
    monkeypatch.setenv("COACH_DATA", str(tmp_path / data))
    ran = run_without(DEVICES_AND_MODELS, "practice", "oral-airway")
    assert ran.returncode == WRONG
    assert "Sessions cannot be recorded in the folder" in ran.stderr
    assert "COACH_DATA" in ran.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["skills"],
        ["check"],
        ["oxygen", "--cylinder", "D", "--pressure", "1700 psi", "--flow", "15"],
        ["understand", "no leaks", "--skill", "oxygen-cylinder"],
        ["practice", "oral-airway", "--typed"],
        ["settings"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_what_makes_no_sound_needs_no_sound_library(arguments: list[str]) -> None:
    ran = run_without((*SOUND, "numpy"), *arguments)
    assert (ran.returncode, ran.stderr) == (DONE, "")
    assert ran.stdout


# Skill files given as a path.

BAD_SKILLS = {
    "words.yaml": (b"just words\n", "words.yaml:1: the file must be keys with values"),
    "open.yaml": (b"id: open\nsteps: [\n", "open.yaml:"),
    "empty.yaml": (b"", "empty.yaml:1: the file is empty"),
    "bytes.yaml": (bytes(range(256)), "bytes.yaml:"),
    "latin.yaml": ("id: caf\u00e9\n".encode("latin-1"), "latin.yaml:1: the file is not UTF-8"),
    "zeros.yaml": (b"id: a\0b\n", "zeros.yaml:1"),
    "large.yaml": (b"# much\n" * 200_000, "large.yaml has 1,400,000 bytes"),
}


@pytest.mark.parametrize("name", BAD_SKILLS)
def test_a_broken_skill_file_is_told_with_its_line(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content, told = BAD_SKILLS[name]
    (tmp_path / name).write_bytes(content)
    assert told in refused(capsys, "practice", name, "--typed")
    assert told in refused(capsys, "understand", "yes", "--skill", name)
    assert main(["check", name]) == WRONG
    assert name in capsys.readouterr().out


def test_a_path_that_is_no_file_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "folder").mkdir()
    assert "folder is a folder: name a file in it." in refused(
        capsys, "practice", "./folder", "--typed"
    )
    assert "nowhere does not exist" in refused(capsys, "practice", "./nowhere", "--typed")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_in_place_of_a_file_does_not_hang(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    told = "is not an ordinary file"
    assert told in refused(capsys, "practice", "pipe.yaml", "--typed")
    assert told in refused(capsys, "practice", "oral-airway", "--learner", "pipe.yaml")


# Files of scripted learners.

SCRIPT = "- name: short\n  turns:\n    - learner: my gloves are on\n"
BAD_LEARNERS = {
    "keys.yaml": ("name: short\n", "keys.yaml:1: the file must be a list"),
    "words.yaml": ("hello\n", "words.yaml:1: "),
    "empty.yaml": ("", "empty.yaml:1: the file is empty"),
    "step.yaml": (f"{SCRIPT}      step: dance\n", "step.yaml:4: the skill has no step 'dance'"),
    "key.yaml": (SCRIPT.replace("turns", "turn"), "did you mean 'turns'?"),
    "turn.yaml": (SCRIPT.replace("learner:", "lerner:"), "turn.yaml:3: "),
    "none.yaml": ("- name: short\n  turns: []\n", "none.yaml:2: 'turns' of dialogue 'short'"),
    "alien.yaml": (
        SCRIPT.replace("  turns", "  settings: {patient: alien}\n  turns"),
        "alien.yaml:2: setting 'patient' has no option 'alien'",
    ),
    "letter.yaml": (
        SCRIPT.replace("  turns", "  cylinder: Q\n  turns"),
        'letter.yaml:2: There is no US cylinder "Q"',
    ),
}


@pytest.mark.parametrize("name", BAD_LEARNERS)
def test_a_broken_learner_file_is_told_with_its_line(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content, told = BAD_LEARNERS[name]
    (tmp_path / name).write_text(content, "utf-8")
    assert told in refused(capsys, "practice", "oral-airway", "--learner", name)


def test_every_mistake_of_a_learner_file_is_told_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "two.yaml").write_text(
        f"{SCRIPT}      step: dance\n- name: second\n  cylinder: Q\n  turns:\n    - learner: hi\n"
    )
    told = refused(capsys, "practice", "oral-airway", "--learner", "two.yaml")
    assert "two.yaml has 2 problems" in told
    assert "two.yaml:4: " in told and "two.yaml:6: " in told


def test_a_name_that_no_script_has_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "one.yaml").write_text(SCRIPT, "utf-8")
    told = refused(capsys, "practice", "oral-airway", "--learner", "one.yaml", "--named", "long")
    assert "one.yaml has no script named 'long'" in told


def test_sound_of_several_scripts_is_not_written_over_itself(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "two.yaml").write_text(SCRIPT + SCRIPT.replace("short", "other"), "utf-8")
    line = "practice oral-airway --learner two.yaml --spoken --keep a.wav"
    assert "--named or --first" in refused(capsys, *line.split())


def test_a_recording_is_not_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.wav").write_bytes(b"precious")
    line = "practice oral-airway --from a.wav --keep ./a.wav"
    assert "would overwrite the recording" in refused(capsys, *line.split())
    assert (tmp_path / "a.wav").read_bytes() == b"precious"


# The user's folders and settings.


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="this system has no /proc")
def test_a_folder_in_which_nothing_can_be_made_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COACH_DATA", "/proc/nowhere")
    told = refused(capsys, "practice", "oral-airway", "--typed")
    assert "/proc/nowhere" in told and "COACH_DATA" in told


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("region: us\nrate: [1\n", "config.yaml:2: "),
        ("region: us\nreigon: uk\n", "config.yaml:2: "),
        ("rate: fast\nreserve: banana\n", 'config.yaml:2: reserve "banana"'),
    ],
)
@pytest.mark.parametrize(
    "line", ["practice oral-airway --typed", "practice oral-airway", "settings", ""]
)
def test_a_broken_settings_file_is_told_with_its_line(
    content: str,
    told: str,
    line: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "config.yaml").write_text(content, "utf-8")
    monkeypatch.setenv("COACH_CONFIG", str(tmp_path / "config.yaml"))
    assert told in refused(capsys, *line.split(), silent=bool(line))


def test_a_cylinder_that_there_is_not_is_told_with_its_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Which there are, the local program may say: the settings are shown, nothing is practised."""
    (tmp_path / "config.yaml").write_text("region: us\n\ncylinder: Q\n", "utf-8")
    monkeypatch.setenv("COACH_CONFIG", str(tmp_path / "config.yaml"))
    told = "config.yaml:3: There is no US cylinder"
    assert told in refused(capsys, "practice", "oral-airway", "--typed")
    assert main(("settings",)) == 0
    assert told in capsys.readouterr().err


def test_variables_that_name_nothing_are_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COACH_CONFIG", "nowhere.yaml")
    assert "COACH_CONFIG" in refused(capsys, "practice", "oral-airway", "--typed")
    monkeypatch.setenv("COACH_CONFIG", os.devnull)
    monkeypatch.setenv("COACH_PROCEDURES", "nowhere")
    assert "COACH_PROCEDURES" in refused(capsys, "practice", "oral-airway", "--typed")
    monkeypatch.delenv("COACH_PROCEDURES")
    monkeypatch.setenv("COACH_RATE", "fast")
    assert "COACH_RATE" in refused(capsys, "practice", "oral-airway", "--typed")


# What comes through standard input.

GLOVES = b"my gloves and goggles are on"
ODD_INPUTS = {
    "nothing": (b"", []),
    "blank lines": (b"\n\r\n  \n\n", []),
    "plain": (GLOVES + b"\n", ["gloves"]),
    "no line break": (GLOVES, ["gloves"]),
    "carriage returns": (GLOVES + b"\r\nstop\r\nyes\r\n", ["gloves"]),
    "byte order mark": (b"\xef\xbb\xbf" + GLOVES + b"\n", ["gloves"]),
    "not UTF-8": (b"\xff\xfe\xc3\x28\n\x80" + GLOVES + b"\xff\n", ["gloves"]),
    "zeros": (b"\0\0\n" + GLOVES + b"\0\n", ["gloves"]),
    "controls": (b"\x1b[31m\x07\x08\n" + GLOVES + b"\x1b[0m\n", ["gloves"]),
    "emoji": (GLOVES + " \U0001f44d\U0001f3fd\n\U0001f600\n".encode(), ["gloves"]),
    "a long line": (b"gloves " * 15_000 + b"\n" + GLOVES + b"\n", ["gloves"]),
    "long without breaks": (b"x" * 1_000_000, []),
    "numbers without end": (b"9" * 1_500 + b"\n" + GLOVES + b"\n", ["gloves"]),
    "hostile": (b"'; DROP TABLE steps; --\n{{7*7}} %s %n ${HOME} ../../etc\n", []),
}


@pytest.mark.parametrize("name", ODD_INPUTS)
def test_odd_input_ends_a_typed_session_like_stop(name: str) -> None:
    given, done = ODD_INPUTS[name]
    ran = subprocess.run(
        [sys.executable, "-m", "coach", "practice", "oral-airway", "--typed", "--json"],
        input=given,
        capture_output=True,
        timeout=60,
        # As on a system whose standard input refuses what is not UTF-8.
        env={**os.environ, "PYTHONIOENCODING": "utf-8:strict"},
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (DONE, b"")
    rows = [json.loads(line) for line in ran.stdout.decode("utf-8").splitlines()]
    assert rows[-1]["type"] == "summary"
    assert rows[-1]["done"] == done


def test_a_line_that_is_too_long_is_told_of() -> None:
    ran = run("practice", "oral-airway", "--typed", input="gloves " * 15_000)
    assert ran.returncode == DONE
    assert "too long" in ran.stdout


def test_letters_that_the_terminal_lacks_become_question_marks(tmp_path: Path) -> None:
    western = {**os.environ, "PYTHONIOENCODING": "latin-1"}
    ran = run("practice", "caf\u2192", env=western)
    assert ran.returncode == WRONG
    assert "There is no skill 'caf?'" in ran.stderr
    (tmp_path / "one.yaml").write_text(SCRIPT.replace("short", "caf\u2192"), "utf-8")
    ran = run("practice", "oral-airway", "--learner", "one.yaml", env=western)
    assert ran.returncode == DONE
    assert "--- caf?" in ran.stdout


@pytest.mark.skipif(os.name != "posix", reason="closes standard streams as a POSIX shell does")
def test_closed_standard_streams_are_no_trouble() -> None:
    python = f'"{sys.executable}" -m coach'
    for line, code in (
        (f"{python} practice oral-airway --typed <&-", DONE),
        (f"{python} skills >&-", DONE),
        (f"{python} practice nosuch 2>&-", WRONG),
    ):
        ran = subprocess.run(line, shell=True, capture_output=True, timeout=30, check=False)
        assert (ran.returncode, ran.stderr) == (code, b""), line


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("line", ["skills", "practice oral-airway --typed", "settings --json"])
def test_output_that_cannot_be_written_is_told(line: str) -> None:
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "coach", *line.split()],
            stdin=subprocess.DEVNULL, stdout=full, stderr=subprocess.PIPE, text=True, timeout=30,
            check=False,
        )  # fmt: skip
    assert ran.returncode == MISSING
    assert ran.stderr.count("\n") == 1
    assert "could not be read or written" in ran.stderr


@pytest.mark.parametrize("line", ["skills", "practice oral-airway --typed --json", "--help"])
def test_a_reader_that_has_had_enough_is_no_trouble(line: str) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "coach", *line.split()],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as child:  # fmt: skip
        assert child.stdout is not None and child.stdin is not None and child.stderr is not None
        child.stdout.close()
        with contextlib.suppress(BrokenPipeError):
            child.stdin.write(b"what is left\n" * 50)
            child.stdin.close()
        told = child.stderr.read()
    assert (child.returncode, told) == (DONE, b"")


# Interrupted.


@pytest.mark.skipif(os.name != "posix", reason="sends SIGINT to another process")
@pytest.mark.parametrize("times", [1, 2, 20])
def test_interrupted_it_ends_at_once_and_without_a_traceback(times: int) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "coach", "practice", "oral-airway", "--typed"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    ) as child:  # fmt: skip
        assert child.stdout is not None and child.stderr is not None
        assert child.stdout.readline().startswith("Coach:")
        for _ in range(times):
            child.send_signal(signal.SIGINT)
        child.wait(30)
        told = child.stderr.read()
    # The second one may end the process while it ends anyway: a shell shows 130 for that as well.
    assert child.returncode in ((INTERRUPTED,) if times == 1 else (INTERRUPTED, -signal.SIGINT))
    assert told.split() in (["Stopped."], [])
    assert told.strip() or times > 1


# What is missing on this machine.


def test_a_missing_library_or_model_is_exit_code_two(capsys: pytest.CaptureFixture[str]) -> None:
    line = "practice oral-airway --engine vosk --model nowhere"
    assert "nowhere" in refused(capsys, *line.split(), code=MISSING)


@pytest.mark.parametrize("way", ["--from", "--learner"])
def test_a_missing_voice_is_exit_code_two(
    way: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if way == "--from":
        write_recording(tmp_path / "a.wav", np.zeros(16_000, np.float32), 16_000)
        given = ["--from", "a.wav", "--keep", "kept.wav"]
    else:
        script = PROCEDURES / "oral-airway.dialogues.yaml"
        given = ["--learner", str(script), "--first", "--spoken"]
    line = ["practice", "oral-airway", "--voice", "nobody-at-all", *given]
    told = refused(capsys, *line, code=MISSING, silent=False)
    assert "nobody-at-all" in told or "speech" in told
