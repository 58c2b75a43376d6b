"""The benchmark of hearing: what counts as right, its arithmetic, its voices, and that it runs."""

from __future__ import annotations

import argparse
import ast
import json
import math
import random
import shutil
from pathlib import Path

import pytest

from benchmarks.hearing import wanted
from benchmarks.hearing.__main__ import Measured, as_json, measure, planned, row_names
from benchmarks.hearing.booth import Clip, Recorded
from benchmarks.hearing.clips import KINDS, Sizes, cast, spoken
from benchmarks.hearing.guard import recordings
from benchmarks.hearing.judged_clips import REFUSED, RIGHT, WRONG, outcome
from benchmarks.hearing.markdown import BEGIN, END, full_report, result_table, written
from benchmarks.hearing.moments import Heard, actions, mid_skill
from benchmarks.hearing.parts import merged, read_report
from benchmarks.hearing.rows import GROUPS, ROWS
from benchmarks.hearing.scores import calibration_error, hourly, loss, reliability, share
from benchmarks.hearing.wanted import Sentence
from coach.core.errors import InputError
from coach.hearing.hypothesis import Hypothesis
from coach.language.understand import understand
from coach.session.own_voice import UNKNOWN

ROOT = Path(__file__).parents[2]
NOTHING = {"short": True, "rows": None, "dialogues": 2, "minutes": 10, "jobs": 1, "plot": None}
SPEECH = recordings()

needs_sound = pytest.mark.skipif(
    SPEECH is None or not all(shutil.which(program) for program in ("espeak-ng", "flite")),
    reason="needs espeak-ng, flite and recordings in COACH_SPEECH",
)


def heard(text: str, *acts: str, sure: bool = False) -> Heard:
    done = frozenset(acts)
    numbers = frozenset(act for act in acts if act.startswith("pressure"))
    return Heard(
        Hypothesis(text, 0.9), done, done, False, numbers if sure else frozenset(), numbers, UNKNOWN
    )


def clip(action: str, *allowed: str) -> Clip:
    said = Sentence("test", "said", mid_skill(), action, frozenset(allowed))
    return Clip("test", "voice", said, Recorded((Path("none.wav"),)), None, 1)


@pytest.mark.parametrize(
    ("wanted_action", "turns", "verdict"),
    [
        ("command stop", (heard("stop", "command stop"),), RIGHT),
        ("command stop", (heard("up"),), REFUSED),
        ("command stop", (), REFUSED),
        ("command stop", (heard("yes", "answer yes"),), WRONG),
        ("command stop", (heard("stop", "command stop"), heard("no", "answer no")), WRONG),
        ("", (heard("left"),), REFUSED),
        ("", (heard("yes", "answer yes"),), WRONG),
        ("word on", (heard("on"),), RIGHT),
        ("word on", (heard("off"),), WRONG),
        ("word on", (heard("up"),), REFUSED),
        ("digits 1234", (heard("one two three four", "pressure 1234 psi"),), RIGHT),
        ("digits 1234", (heard("one two three", "pressure 123 psi"),), WRONG),
        ("digits 1234", (heard("one two three four"),), REFUSED),
    ],
)
def test_only_what_was_said_and_nothing_else_is_right(
    wanted_action: str, turns: tuple[Heard, ...], verdict: str
) -> None:
    assert outcome("own", clip(wanted_action), turns).verdict == verdict


def test_what_a_perfect_ear_would_lead_to_besides_is_allowed() -> None:
    both = (heard("fifteen and on", "pressure 15 psi", "on done"),)
    assert outcome("own", clip("on done", "pressure 15 psi"), both).verdict == RIGHT
    assert outcome("own", clip("on done"), both).verdict == WRONG


def test_a_wrong_number_is_told_from_one_that_silence_would_let_stand() -> None:
    faint = outcome("own", clip("pressure 15 psi"), (heard("fifty", "pressure 50 psi"),))
    sure = outcome("own", clip("pressure 15 psi"), (heard("fifty", "pressure 50 psi", sure=True),))
    assert (faint.wrong_reading, faint.wrong_sure) == (True, False)
    assert (sure.wrong_reading, sure.wrong_sure) == (True, True)


def test_intervals_are_those_of_the_textbook() -> None:
    """The binomial's normal approximation, and the rule of three (Hanley, JAMA 1983;249:1743)."""
    half = share(200, 400)
    width = 100 * 1.96 * math.sqrt(0.25 / 400)
    assert half.low == pytest.approx(50 - width, abs=0.6)
    assert half.high == pytest.approx(50 + width, abs=0.6)
    assert share(0, 300).high == pytest.approx(1.0, abs=0.01)
    assert share(300, 300).low == pytest.approx(99.0, abs=0.01)
    assert hourly([0] * 120, 1.0).high == pytest.approx(1.5, abs=0.01)
    assert hourly([1, 0, 1, 0], 15.0).value == 2.0
    behind = loss(80, 100, 90, 100)
    assert behind.value == pytest.approx(10.0)
    assert behind.low < 10.0 < behind.high


def test_calibration_error_is_the_mean_gap_of_its_bins() -> None:
    """Worked by hand: .9 and half right is .4 off for four of six, .2 and none right .2 for two."""
    sure, right = [0.9] * 4 + [0.2] * 2, [True, False, True, False, False, False]
    assert calibration_error(sure, right).value == pytest.approx((4 * 0.4 + 2 * 0.2) / 6)
    assert [one.count for one in reliability(sure, right)] == [2, 4]
    assert calibration_error([1.0] * 5, [True] * 5).value == 0.0


@pytest.mark.parametrize("kind", KINDS)
def test_a_perfect_ear_would_get_nearly_all_sentences_right(kind: str) -> None:
    said = list(KINDS[kind](60, random.Random(3)))
    right = [s for s in said if s.action in actions(understand(s.text, s.moment.context))]
    assert len(said) == 60
    assert len(right) >= 0.9 * len(said)


def test_every_teen_and_every_ten_is_said_and_means_its_number() -> None:
    said = list(wanted.kin(200, random.Random(4)))
    assert all(s.action in actions(understand(s.text, s.moment.context)) for s in said)
    words = {word for s in said for word in s.text.split()}
    assert {"thirteen", "fifteen", "nineteen", "thirty", "fifty", "ninety"} <= words


def _literal(path: Path, name: str) -> set[str]:
    """A tuple of names in a file that is read, not run: training needs a GPU's libraries."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == name:
            return set(ast.literal_eval(node.value))
    raise AssertionError(f"no {name} in {path}")


def test_no_voice_of_the_benchmark_was_trained_on() -> None:
    training = ROOT / "models" / "training"
    variants = _literal(training / "render_small_voices.py", "TRAIN_VARIANTS")
    ours = {voice.name for voice in cast() if voice.program == "espeak-ng"}
    assert ours and not ours & variants
    told = "\n".join(path.read_text("utf-8") for path in sorted(training.glob("*.py")))
    assert "slt" in told and '"slt"' not in told.split("TEST_FLITE")[0]
    for other in ("festival", "piper", "ked_diphone"):
        assert other not in told.lower()


@pytest.mark.skipif(SPEECH is None, reason="no recordings in COACH_SPEECH")
def test_no_noise_of_the_benchmark_was_trained_on() -> None:
    assert SPEECH is not None
    test, train = (
        {path.name for path in (SPEECH / "noise" / part).glob("*.flac")}
        for part in ("test", "train")
    )
    assert test and not test & train


def test_the_same_sentence_is_said_by_one_voice_at_every_noise() -> None:
    said = list(wanted.steps(3, random.Random(5)))
    clips = spoken("step", said, (None, 10.0), 5)
    assert [c.source for c in clips[::2]] == [c.source for c in clips[1::2]]
    assert [c.noise_db for c in clips] == [None, 10.0] * 3


@needs_sound
def test_a_few_clips_give_every_row_they_belong_to() -> None:
    assert SPEECH is not None
    plan = planned(argparse.Namespace(**NOTHING))
    assert plan.rows == GROUPS
    some = ("words", "others", "digits", "learner", "kin", "accents", "calibration")
    few = Sizes(sentences=1, kin=2, accents=3, digits=1, words=1)
    result = measure(
        type(plan)(some, few, plan.dialogues, plan.minutes, plan.timed, 1), ("own",), SPEECH
    )
    groups = {row.key for row in ROWS if row.group in some}
    assert set(result.figures["own"]) == groups
    report = as_json(result, plan)
    shown = full_report(report)
    assert shown.count("\n| ") > len(groups)
    assert f"Commit {report['commit']}" in shown
    again = measure(type(plan)(("kin",), few, 1, 10, 1, 1), ("own",), SPEECH)
    assert again.outcomes == [one for one in result.outcomes if one.row == "kin"]


def test_the_table_takes_the_place_between_the_marks() -> None:
    assert written(f"head\n{BEGIN}\nold\n{END}\ntail", "new") == f"head\n{BEGIN}\nnew\n{END}\ntail"
    with pytest.raises(ValueError, match="where the table belongs"):
        written("no marks", "new")
    readme = (ROOT / "README.md").read_text("utf-8")
    assert readme.count(BEGIN) == readme.count(END) == 1


def test_each_row_says_what_it_must_reach() -> None:
    report = {
        "rows": [
            {"figures": {"own": {"value": row.goal, "low": row.goal, "high": row.goal}}}
            for row in ROWS
        ],
        "left_out": {"vosk": "no model"},
        "plan": {"minutes": 10, "dialogues": 5, "rows": ["talk"]},
        "dialogues": None,
        **dict.fromkeys(("commit", "machine", "python", "onnxruntime"), "x"),
    }
    lines = result_table(report).splitlines()
    assert len([line for line in lines if line.count("**") == 2]) == len(ROWS)
    assert not any("†" in line for line in lines[: len(ROWS) + 2])
    assert lines[-1] == "No figures of vosk: no model."


def test_rows_measured_apart_come_together(tmp_path: Path) -> None:
    empty = {
        **as_json(Measured(), planned(argparse.Namespace(**NOTHING))),
        **dict.fromkeys(("commit", "machine", "python", "onnxruntime"), "x"),
    }
    reports = []
    for number, key in enumerate(("kin", "memory")):
        report = json.loads(json.dumps(empty))
        row = next(row for row in report["rows"] if row["key"] == key)
        row["figures"]["own"] = {"value": number, "low": 0, "high": 2, "count": 1, "of": 2}
        path = tmp_path / f"{key}.json"
        path.write_text(json.dumps(report))
        reports.append(read_report(path))
    found = {row["key"] for row in merged(reports)["rows"] if row["figures"]}
    assert found == {"kin", "memory"}
    with pytest.raises(InputError, match="more than one machine"):
        merged([reports[0], {**reports[1], "machine": "another"}])
    (tmp_path / "none.json").write_text("{}")
    with pytest.raises(InputError, match="no report of this benchmark"):
        read_report(tmp_path / "none.json")


def test_unknown_rows_are_named_with_those_there_are() -> None:
    with pytest.raises(argparse.ArgumentTypeError, match=r"no rows named wrds: use some of words"):
        row_names("words,wrds")
