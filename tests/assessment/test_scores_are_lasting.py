"""The same journal gives the same score for ever, and no run, however odd, breaks the scoring.

`tests/data/lasting` holds an attempt as a station keeps it: its journal, the skill as it was
practised, under the SHA-256 of its content, and the bytes of the result. They were made once, from
the golden attempt NAME, by `PYTHONPATH=tests python tests/assessment/test_scores_are_lasting.py`,
and are not made anew when a skill, the rule or a phrase changes: only an intended change of how
attempts are scored, or of the JSON of a result, may change `result.json`, and says so.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from attempt_play import journal_of, played
from benchmarks.written_attempts import Written, written_attempts
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coach.app.judging import rule_in_force
from coach.app.reporting import gather
from coach.assessment.rule import rule_of_text, rule_text
from coach.assessment.scoring import score
from coach.edges.kept_skills import keep_skill, kept_skill
from coach.edges.records.journal_rows import read
from coach.edges.skill_files import load_skill
from coach.procedure.model import Step
from coach.procedure.skill_file import SkillFile
from coach.records.register import Register
from coach.report.attempt import Mark, Result, Tells, Verdict, Way, result_bytes
from coach.session.journal_contents import JournalContents, scan
from coach.session.journal_lines import JournalOpened, Record, encode

LASTING = Path(__file__).parents[1] / "data" / "lasting"
JOURNAL = LASTING / "attempt.journal.jsonl"
RESULT = LASTING / "result.json"
BEFORE = LASTING / "before_own_quantities"
"""Journals of the program that heard burned areas as saturations, and temperatures and weights not
as numbers at all; they cannot be made anew."""

NAME = "suction with the tip in too early, taken out and put in again"

ATTEMPTS = written_attempts()
SKILLS = (
    "oral-airway",
    "suction",
    "oxygen-delivery",
    "cpr",
    "choking",
    "epinephrine-auto-injector",
)


def lines_of(contents: JournalContents, opened: JournalOpened) -> bytes:
    """The lines of a journal, as its file has them."""
    closed = [contents.closed] if contents.closed else []
    records: list[Record] = [opened, *contents.events, *closed]
    return b"".join(f"{encode(record, n)}\n".encode("ascii") for n, record in enumerate(records))


def scored_from(journal: bytes, folder: Path) -> bytes:
    """The bytes of the result of a journal's lines, by the skill and the rule kept with it."""
    contents = scan("attempt", journal)
    assert contents.header is not None
    assert not contents.problems
    kept = kept_skill(folder, contents.header.skill_sha256)
    return result_bytes(score(contents, kept, rule_of_text(contents.header.rule)))


@pytest.mark.parametrize("written", ATTEMPTS[::4], ids=lambda written: written.name)
def test_the_same_journal_gives_the_same_bytes(written: Written) -> None:
    """Scored twice, and from its lines written and read again."""
    skill_file = load_skill(written.skill)
    contents = journal_of(written, skill_file)
    first = result_bytes(score(contents, skill_file, rule_in_force()))
    assert result_bytes(score(contents, skill_file, rule_in_force())) == first
    assert contents.header is not None
    again = scan("attempt", lines_of(contents, contents.header))
    assert (again.problems, again.torn) == ((), False)
    assert result_bytes(score(again, skill_file, rule_in_force())) == first


def test_a_kept_attempt_is_scored_to_the_bytes_kept_beside_it() -> None:
    """Years later, by whatever the skill and the rule have become since."""
    assert scored_from(JOURNAL.read_bytes(), LASTING) == RESULT.read_bytes()


@pytest.mark.parametrize("journal", sorted(BEFORE.glob("*.jsonl")), ids=lambda path: path.name)
def test_what_was_heard_as_another_quantity_scores_as_it_did(journal: Path) -> None:
    result = journal.with_name(journal.name.replace("journal.jsonl", "result.json"))
    assert scored_from(journal.read_bytes(), BEFORE) == result.read_bytes()


def test_the_skill_is_kept_under_its_own_hash() -> None:
    """SHA-256 as FIPS 180-4 has it, by the standard library, over the very bytes kept."""
    contents = scan("attempt", JOURNAL.read_bytes())
    assert contents.header is not None
    kept = LASTING / f"{contents.header.skill_sha256}.json"
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == contents.header.skill_sha256


# Random runs: plain phrases of a skill's steps in any order, silences, numbers, denials.

RUNS = settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
UNIT_WORDS = {
    "mm": "millimeters",
    "mmHg": "millimeters of mercury",
    "L/min": "liters a minute",
    "%": "percent",
    "psi": "psi",
    "Fr": "French",
    "mg": "milligrams",
    "/min": "a minute",
    "s": "seconds",
    "min": "minutes",
}
TALK = ("what's left", "help", "done", "scratch that", "nice weather out there", "wait", "go on")


@cache
def skill(name: str) -> SkillFile:
    """A skill, read once."""
    return load_skill(name)


def numbers_for(step: Step, wanted: float | None = None) -> list[str]:
    """A step's numbers as said, in the middle of their ranges or `wanted` times their highest."""
    said = []
    for spec in step.readings:
        value = (spec.low + spec.high) // 2 if wanted is None else round(spec.high * wanted)
        value = spec.low if spec.low == spec.high and wanted is None else value
        words = UNIT_WORDS.get(str(spec.unit), spec.name)
        said.append(f"{value:g} {words}")
    return said


def told(step: Step) -> list[str | float]:
    """What tells that a step was done as it should be, its clock and numbers included."""
    turns: list[str | float] = []
    if step.clock is not None:
        lasts = step.clock.least_s + 1 if step.clock.least_s else step.clock.limit_s - 1
        return [step.clock.start.phrases[0], float(lasts), step.clock.end.phrases[0]]
    if step.pace is not None:
        return [step.pace.start.phrases[0], float(step.pace.seconds + 1)]
    phrase = step.heard_as.phrases[0]
    if step.partner is not None:
        phrase = f"{step.partner.who} {phrase}"
    turns += [phrase, *numbers_for(step)]
    return turns


def spoken_of(result: Result) -> set[str]:
    """The steps that anything heard speaks of."""
    return {s.step for s in result.steps if any(p.tells is not Tells.HINT for p in s.evidence)}


def result_of(name: str, turns: list[str | float], way: str = "assessed") -> Result:
    """The result of typed turns."""
    return played(Written("random", name, turns, "", {}, "", way=way))


@st.composite
def runs(draw: st.DrawFn) -> tuple[str, list[str | float], str]:
    """A skill, turns that a person might say in it, lawful or not, and the way it is practised."""
    name = draw(st.sampled_from(SKILLS))
    steps = skill(name).chosen({}).steps
    one = st.one_of(
        st.sampled_from(steps).map(lambda step: told(step)),
        st.sampled_from(steps).map(lambda step: list(step.heard_as.phrases[:1])),
        st.sampled_from(steps).map(lambda step: [f"I did not do {step.name}"]),
        st.tuples(st.sampled_from(steps), st.sampled_from([0.0, 0.3, 1.0, 1.7, 40.0])).map(
            lambda pair: numbers_for(*pair)
        ),
        st.floats(0, 130).map(lambda seconds: [round(seconds, 1)]),
        st.sampled_from(TALK).map(lambda words: [words]),
    )
    parts = draw(st.lists(one, max_size=14))
    turns: list[str | float] = ["I'm ready", *(turn for part in parts for turn in part)]
    return name, turns, draw(st.sampled_from([Way.ASSESSED, Way.RECALL]))


@RUNS
@given(runs())
def test_any_run_is_scored_within_its_bounds(run: tuple[str, list[str | float], str]) -> None:
    """Points lie within what could be had, nothing that nobody spoke of is done, and an attempt
    is not ready while anything unsafe, missed or unclear hangs on a safety step."""
    result = result_of(*run)
    assert 0 <= result.points <= result.out_of
    assert len({step.step for step in result.steps}) == len(result.steps)
    for step in result.steps:
        assert 0 <= step.points <= step.out_of
        if step.mark in {Mark.DONE, Mark.LATE, Mark.OUT_OF_ORDER}:
            assert step.step in spoken_of(result), step
        else:
            assert step.points < step.out_of
    if result.verdict is Verdict.READY:
        assert all(failure.corrected for failure in result.failures)
        safety = [step for step in result.steps if step.safety]
        assert all(step.mark not in {Mark.MISSED, Mark.UNCLEAR} for step in safety)
        assert result.share >= result.passed_from


@RUNS
@given(runs())
def test_any_run_read_back_from_its_lines_scores_the_same(
    run: tuple[str, list[str | float], str],
) -> None:
    """Encoded to the lines of a journal and decoded again."""
    name, turns, way = run
    contents = journal_of(Written("random", name, turns, "", {}, "", way=way), skill(name))
    assert contents.header is not None
    again = scan("attempt", lines_of(contents, contents.header))
    assert again.events == contents.events
    scored = [score(each, skill(name), rule_in_force()) for each in (contents, again)]
    assert result_bytes(scored[0]) == result_bytes(scored[1])


@pytest.mark.parametrize("name", ["oral-airway", "suction", "oxygen-delivery", "nasal-airway"])
def test_a_run_in_the_suggested_order_is_ready(name: str) -> None:
    """Every step in its own first words, every number within its range."""
    steps = [step for step in skill(name).chosen({}).steps if not step.complication]
    turns: list[str | float] = ["I'm ready", *(turn for step in steps for turn in told(step))]
    result = result_of(name, turns)
    assert result.verdict is Verdict.READY, result.why
    assert not result.failures


@pytest.mark.parametrize("name", ["oral-airway", "suction", "oxygen-delivery", "nasal-airway"])
@RUNS
@given(data=st.data())
def test_a_step_left_out_of_it_is_missed(name: str, data: st.DataObject) -> None:
    """And where it is one of safety, the attempt is not ready."""
    steps = [step for step in skill(name).chosen({}).steps if not step.complication]
    left_out = data.draw(st.sampled_from(steps))
    turns: list[str | float] = ["I'm ready"]
    turns += [turn for step in steps if step is not left_out for turn in told(step)]
    result = result_of(name, turns)
    [mark] = [step for step in result.steps if step.step == left_out.id]
    assert mark.mark in {Mark.MISSED, Mark.UNCLEAR}
    assert not (mark.safety and result.verdict is Verdict.READY)


def make() -> None:
    """Write the files of `tests/data/lasting`; only for the first time, or an intended change."""
    [written] = [attempt for attempt in ATTEMPTS if attempt.name == NAME]
    skill_file = load_skill(written.skill)
    contents = journal_of(written, skill_file)
    assert contents.header is not None
    kept = keep_skill(LASTING, skill_file)
    opened = replace(contents.header, skill_sha256=kept, rule=rule_text(rule_in_force()))
    JOURNAL.write_bytes(lines_of(contents, opened))
    RESULT.write_bytes(scored_from(JOURNAL.read_bytes(), LASTING))


def test_a_journal_of_before_ids_has_one_id_wherever_it_is_asked_for(tmp_path: Path) -> None:
    """Its first line, as it stands in the file, gives it: today's program would write another."""
    whole = JOURNAL.read_bytes().split(b"\n", 1)
    opened = JournalOpened("suction", "2026-03-04T19:05:00+01:00", "0")
    fields = json.loads(encode(opened, 0))
    early = {k: v for k, v in fields.items() if k not in {"attempt", "skill_sha256", "rule", "crc"}}
    body = json.dumps(early, separators=(",", ":"))[:-1]
    first = f'{body},"crc":"{zlib.crc32(body.encode()):08x}"}}'.encode("ascii")
    contents = scan("attempt", b"\n".join((first, whole[1])))
    assert not contents.problems and contents.header == opened
    wanted = hashlib.sha256(first).hexdigest()[:32]
    result = score(contents, load_skill("suction"), rule_in_force())
    assert result.attempt == contents.attempt == wanted
    path = tmp_path / "one.journal.jsonl"
    path.write_bytes(b"\n".join((first, whole[1])))

    def scored(each: JournalContents, _marks: object) -> Result:
        return score(each, load_skill("suction"), rule_in_force())

    gathered = gather(path, tmp_path, Register(), scored)
    seen = read(path, Register(), {}, scored)
    assert gathered.result.attempt == seen.seen.attempt == wanted
    assert seen.rows is not None and seen.rows.attempt["id"] == wanted


if __name__ == "__main__":
    make()
