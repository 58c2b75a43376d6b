"""A pace is ended by a word, a key or its time, and never by counting along."""

from __future__ import annotations

import pytest
from fakes import FakeClock, FakeEar, FakeVoice
from num2words import num2words  # type: ignore[import-untyped]  # it ships no types

from coach.core.errors import InputError
from coach.core.units import Quantity
from coach.edges.shared_files import facts_for, program_facts
from coach.hearing.hypothesis import Hypothesis
from coach.procedure.paces import Age, Paced, pace_of
from coach.session.pacing import PaceEnd, ends_pace, run_pace
from coach.session.ports import EarEvent, KeyHit, TextHeard
from coach.trade.pacing import Pattern

BEATS = Pattern(110, 30, 2).beats(60)


def run(*heard: EarEvent | str | float) -> tuple[PaceEnd, FakeVoice, FakeEar]:
    voice, ear = FakeVoice(), FakeEar(*heard)
    return run_pace(BEATS, 60.0, ear, voice, FakeClock(), words=False), voice, ear


@pytest.mark.parametrize("word", ["stop", "okay stop", "wait", "hold on"])
def test_a_word_ends_it_at_once(word: str) -> None:
    end, voice, _ = run("one two three", word, "four")
    assert (end, voice.cuts, voice.paces) == (PaceEnd.STOPPED, 1, [BEATS])


def test_a_key_or_pedal_ends_it() -> None:
    assert run(KeyHit("yes"))[0] is PaceEnd.STOPPED


def test_this_is_real_silences_it() -> None:
    end, voice, _ = run("this is real")
    assert (end, voice.cuts, voice.lines) == (PaceEnd.REAL, 1, ["Call for help now."])


def test_its_time_ends_it() -> None:
    end, voice, _ = run("nine", 30.0, "ten", 31.0, "stop")
    assert (end, voice.cuts) == (PaceEnd.OVER, 0)


def test_the_ear_listens_for_numbers_so_that_they_are_not_heard_as_words() -> None:
    _, _, ear = run()
    assert ear.hints[0].expect is Quantity.COUNT


def test_no_number_ends_it_however_it_is_counted() -> None:
    # The words of numbers are those of an outside library.
    words = [num2words(number).replace("-", " ") for number in range(121)]
    rows = [" ".join(words[first : first + 10]) for first in range(1, 111, 10)]
    along = [
        "one and two and three and four",
        "and thirty, breathe, breathe",
        "push hard push fast",
    ]
    for text in (*words, *rows, *along):
        assert ends_pace(Hypothesis(text, 1.0)) is None, text


@pytest.mark.parametrize(("sure", "ends"), [(0.2, False), (0.7, True)])
def test_a_stop_must_be_sure(sure: float, ends: bool) -> None:
    assert (ends_pace(Hypothesis("stop", sure)) is not None) is ends
    end, _, _ = run(TextHeard(Hypothesis("stop", sure)))
    assert (end is PaceEnd.STOPPED) is ends


# Merck Manual and the guidelines of 2015 and 2020: 100 to 120, 30 to 2, 15 to 2 with two rescuers
# for a child; a breath every 6 s for an adult and every 2 to 3 s for a child.
@pytest.mark.parametrize(
    ("paced", "age", "rescuers", "row", "interval_s"),
    [
        ("compressions", "adult", 1, (30, 2), (0.5, 0.6)),
        ("compressions", "adult", 2, (30, 2), (0.5, 0.6)),
        ("compressions", "child", 1, (30, 2), (0.5, 0.6)),
        ("compressions", "child", 2, (15, 2), (0.5, 0.6)),
        ("compressions", "infant", 2, (15, 2), (0.5, 0.6)),
        ("ventilations", "adult", 1, (0, 1), (6, 6)),
        ("ventilations", "child", 1, (0, 1), (2, 3)),
        ("ventilations", "infant", 1, (0, 1), (2, 3)),
    ],
)
def test_the_pace_is_that_of_the_facts(
    paced: str, age: str, rescuers: int, row: tuple[int, int], interval_s: tuple[float, float]
) -> None:
    table = facts_for(program_facts().parent)
    pattern = pace_of(Paced(paced), Age(age), rescuers, None, table)
    assert (pattern.compressions, pattern.breaths) == row
    assert interval_s[0] <= pattern.interval_s <= interval_s[1]


def test_a_rate_outside_the_facts_is_refused() -> None:
    table = facts_for(program_facts().parent)
    assert pace_of(Paced.COMPRESSIONS, Age.ADULT, 1, 100, table).per_minute == 100
    with pytest.raises(InputError, match="--rate 90 is no pace for compressions: give 100 to 120"):
        pace_of(Paced.COMPRESSIONS, Age.ADULT, 1, 90, table)
