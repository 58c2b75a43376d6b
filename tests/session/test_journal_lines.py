"""Every event comes back from its journal line as it was; no damaged line does."""

from __future__ import annotations

import binascii
import json
import typing
import zlib
from dataclasses import fields, is_dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.meaning import (
    Command,
    CylinderTold,
    Doubt,
    DoubtedStep,
    Kind,
    Meaning,
    Outlook,
    Part,
    Reading,
    StepMention,
)
from coach.core.units import Quantity, Unit
from coach.dialogue import events
from coach.session.journal_lines import (
    RECORDS,
    VERSION,
    JournalClosed,
    JournalOpened,
    LineError,
    NewerLineError,
    Record,
    decode,
    encode,
)
from coach.session.student_events import (
    ShownMistake,
    StudentActed,
    StudentDrillOver,
    StudentDrillStarted,
    WatcherSpoke,
)

FULL_MEANING = Meaning(
    text="seal's good 1700 l'été \u2028 \U0001f600 \n \\ \"",
    kind=Kind.READING,
    command=Command.LEFT,
    answer="no",
    steps=(
        StepMention("seal"),
        StepMention("suction", denied=True, part=Part.CLOCK_END, choice="soft"),
    ),
    readings=(
        Reading(
            Quantity.PRESSURE,
            (1700.0,),
            Unit.PSI,
            unit_said=True,
            doubt=Doubt.SOUND_ALIKE,
            alternatives=(1770.0,),
            outlook=Outlook.INTENDED,
            could_be_in=("P S I", "bar"),
        ),
        Reading(Quantity.BLOOD_PRESSURE, (118.0, 76.0), Unit.MILLIMETRES_OF_MERCURY),
    ),
    likely=("gauge", "flow"),
    done_said=True,
    idle=True,
    confidence=0.1 + 0.2,
    cylinder=CylinderTold.TRAINING,
    doubted=(DoubtedStep("seal", ("good", "enough")),),
)

SAMPLES: tuple[Record, ...] = (
    JournalOpened("oral-airway", "2026-03-04T19:05:00+01:00", "0.1.0"),
    JournalOpened("cpr", "2026-03-04T19:05:00+01:00", "0.1.0", "a" * 32, "0f" * 32, "{}"),
    JournalClosed("2026-03-04T19:15:00+01:00"),
    events.SessionStarted(0.0, "oral-airway"),
    events.SessionStarted(
        0.0,
        "cpr",
        way="assessed",
        learner="b" * 32,
        limit_seconds=300.0,
        hint_seconds=8.0,
        scenario="riverside-path",
        happenings=("gauge-low",),
        safety_ends=True,
        pressure_unit=Unit.BAR,
        training_cylinder=True,
        ends_as_told=True,
        conversation=2,
    ),
    events.SessionStarted(
        0.25,
        "oxygen-mask",
        choices={"device": "nasal-cannula", "patient": "child"},
        complications=("mask-refused",),
        region="uk",
        cylinder="CD",
        factor_litres_per_psi=0.138,
        reserve_psi=290.075476,
        reserve_unit=Unit.BAR,
        highest_psi=3335.8680,
        overfill_percent=5.0,
        nudge_seconds=15.0,
        program="Riverside evening course, 2026-09-01",
    ),
    events.Heard(1.5, Meaning("")),
    events.Heard(1.75, FULL_MEANING),
    events.SpeechStarted(2.0),
    events.SpeechEnded(1e-9),
    events.LineEnded(12345.678901234567),
    events.TimerFired(3.0, "nudge"),
    events.KeyPressed(4.0, "next"),
    events.DeviceReported(5.0, "The microphone is gone. Plug it in again."),
    events.SessionResumed(6.0),
    events.NextLearnerCalled(12.0),
    StudentDrillStarted(0.5, "cpr", 7, 3, "b" * 32, {"patient": "adult"}),
    StudentActed(3.5, "gloves on", (ShownMistake("too early", "mount", "it", "so", "why"),)),
    WatcherSpoke(5.0, "stop", 0.8),
    StudentDrillOver(9.0, ("so",), ("this",), 1),
    events.InputEnded(7.0),
)


def with_checksum(data: dict[str, object]) -> str:
    """A line as another program could write it, its checksum made without ours."""
    body = json.dumps(data, separators=(",", ":"))[:-1]
    return f'{body},"crc":"{binascii.crc32(body.encode()):08x}"}}'


@pytest.mark.parametrize("record", SAMPLES, ids=lambda record: type(record).__name__)
def test_a_record_comes_back_as_it_was(record: Record) -> None:
    line = encode(record, 7)
    assert decode(line) == (7, record)
    assert line.isascii()
    assert len(line.splitlines()) == 1


def test_the_checksum_is_the_published_crc_32() -> None:
    """The check value of CRC-32/ISO-HDLC in the RevEng catalogue of CRC algorithms."""
    assert zlib.crc32(b"123456789") == 0xCBF43926


def test_a_line_is_what_the_format_says() -> None:
    data = {"v": 1, "n": 3, "event": "TimerFired", "at_s": 2.5, "name": "nudge"}
    assert encode(events.TimerFired(2.5, "nudge"), 3) == with_checksum(data)


def test_every_event_class_has_a_sample() -> None:
    """A new event without a sample here, or left out of the union, fails."""
    declared = {
        kind.__name__
        for kind in vars(events).values()
        if isinstance(kind, type) and is_dataclass(kind) and kind.__module__ == events.__name__
    }
    assert declared == {kind.__name__ for kind in typing.get_args(events.Event)}
    assert {type(sample).__name__ for sample in SAMPLES} == set(RECORDS)
    assert declared < set(RECORDS)


def test_every_field_has_a_sample_that_is_not_its_default() -> None:
    """A field that a sample leaves at its default could be dropped without anyone seeing it."""
    for kind in RECORDS.values():
        samples = [sample for sample in SAMPLES if type(sample) is kind]
        for field in fields(kind):
            assert any(getattr(sample, field.name) != field.default for sample in samples), field
    for field in fields(Meaning):
        assert getattr(FULL_MEANING, field.name) != field.default


def test_no_field_has_a_name_of_the_line_itself() -> None:
    names = {field.name for kind in RECORDS.values() for field in fields(kind)}
    assert names.isdisjoint({"v", "n", "event", "crc"})


@given(st.text(), st.floats(allow_nan=False, allow_infinity=False), st.integers(0, 10**9))
def test_any_words_and_numbers_come_back(text: str, at_s: float, sequence: int) -> None:
    heard = events.Heard(at_s, Meaning(text, likely=(text,)))
    line = encode(heard, sequence)
    assert decode(line) == (sequence, heard)
    assert line.isascii() and "\n" not in line


def test_undecodable_typed_bytes_come_back() -> None:
    """A terminal hands bytes that are not UTF-8 over as lone surrogates (PEP 383)."""
    text = b"no \xff leaks".decode("utf-8", "surrogateescape")
    heard = events.Heard(1.0, Meaning(text))
    assert decode(encode(heard, 1)) == (1, heard)


def test_a_line_cut_anywhere_is_refused() -> None:
    line = encode(events.Heard(1.0, FULL_MEANING), 12)
    for length in range(len(line)):
        with pytest.raises(LineError):
            decode(line[:length])


def test_a_line_with_any_one_character_changed_is_refused() -> None:
    line = encode(events.Heard(1.0, FULL_MEANING), 12)
    for place, old in enumerate(line):
        for new in "0 x}":
            if new != old:
                with pytest.raises(LineError):
                    decode(line[:place] + new + line[place + 1 :])


def test_a_newer_version_is_named_whatever_its_checksum() -> None:
    with pytest.raises(NewerLineError, match=r"newer version.*version 2"):
        decode(json.dumps({"v": VERSION + 1, "n": 0, "sum": "another way"}))


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        ({"event": "Sneezed"}, "'Sneezed' is not known to this version"),
        ({"event": ["Heard"]}, "is not known"),
        ({"loudness": 3}, "'loudness', which this version of the program does not know"),
        ({"v": 0}, "0 is not a journal version"),
        ({"v": "1"}, "'1' is not a journal version"),
        ({"v": True}, "True is not a journal version"),
        ({"n": -1}, "-1 is not the number of a line"),
        ({"n": 1.0}, "1.0 is not the number of a line"),
        ({"at_s": "2.5"}, "TimerFired.at_s: '2.5' is not of type float"),
        ({"at_s": True}, "TimerFired.at_s: True is not of type float"),
        ({"name": None}, "TimerFired.name: None is not of type str"),
    ],
)
def test_a_line_that_does_not_fit_its_class_is_refused(
    change: dict[str, object], wrong: str
) -> None:
    good = {"v": 1, "n": 3, "event": "TimerFired", "at_s": 2.5, "name": "nudge"}
    decode(with_checksum(good))
    with pytest.raises(LineError, match=wrong):
        decode(with_checksum(good | change))


@pytest.mark.parametrize(
    ("meaning", "wrong"),
    [
        ({"text": "x", "kind": "shout"}, r"meaning\.kind: 'shout' is not one of reading, answer"),
        ({"kind": "none"}, "meaning lacks the field 'text'"),
        ({"text": "x", "likely": "seal"}, r"meaning\.likely: 'seal' is not a list"),
        ({"text": "x", "steps": [{"step": 3}]}, r"meaning\.steps\[0\]\.step: 3 is not of type str"),
        ({"text": "x", "steps": ["seal"]}, r"meaning\.steps\[0\]: 'seal' is not an object"),
        ({"text": "x", "done_said": 1}, r"meaning\.done_said: 1 is not of type bool"),
        (None, r"Heard\.meaning: None is not an object"),
    ],
)
def test_what_is_wrong_inside_is_named_with_its_place(meaning: object, wrong: str) -> None:
    with pytest.raises(LineError, match=wrong):
        decode(with_checksum({"v": 1, "n": 1, "event": "Heard", "at_s": 1, "meaning": meaning}))


def test_a_line_from_before_a_field_existed_takes_its_default() -> None:
    line = with_checksum({"v": 1, "n": 1, "event": "SessionStarted", "at_s": 0, "skill": "s"})
    assert decode(line) == (1, events.SessionStarted(0.0, "s"))


@pytest.mark.parametrize("line", ["", "null", "[1]", "3", "{}", "{", "[" * 100_000])
def test_other_text_is_refused(line: str) -> None:
    with pytest.raises(LineError):
        decode(line)


@pytest.mark.parametrize(
    "wrong",
    [
        events.LineEnded(float("nan")),
        events.LineEnded(float("inf")),
        events.LineEnded(typing.cast(float, "1")),
        events.SessionStarted(0.0, "s", complications=typing.cast(tuple[str, ...], ["a"])),
        events.TimerFired(0.0, typing.cast(str, None)),
    ],
)
def test_a_record_of_wrong_types_is_never_written(wrong: Record) -> None:
    with pytest.raises((ValueError, TypeError)):
        encode(wrong, 1)
