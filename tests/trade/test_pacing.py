"""When the beats of compressions and breaths fall."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.trade.pacing import Beat, BeatKind, Pattern, middle_rate

COMPRESSION, BREATH = BeatKind.COMPRESSION, BeatKind.BREATH


def test_beats_from_a_moment_on_keep_their_times() -> None:
    pattern = Pattern(110, 30, 2)
    whole, rest = pattern.beats(60), pattern.beats(60, 21.0)
    assert [(beat.kind, beat.number) for beat in rest] == [
        (beat.kind, beat.number) for beat in whole[-len(rest) :]
    ]
    assert rest[0].at_s + 21.0 == pytest.approx(whole[-len(rest)].at_s)
    assert whole[-len(rest) - 1].at_s < 21.0 <= whole[-len(rest)].at_s


def test_thirty_to_two_at_the_middle_of_100_to_120() -> None:
    # Rate and ratio of the guidelines of 2015 and 2020 (Merck Manual, table of CPR techniques).
    pattern = Pattern(middle_rate(100, 120), 30, 2, 1.0)
    row = pattern.beats(pattern.row_s)
    assert [beat.kind for beat in row] == [COMPRESSION] * 30 + [BREATH] * 2
    gaps = [later.at_s - beat.at_s for beat, later in pairwise(row[:30])]
    assert all(60 / 120 <= gap <= 60 / 100 for gap in gaps)
    # The same table: no pause of compressions above ten seconds.
    following = pattern.beats(2 * pattern.row_s)[32]
    assert following.kind is COMPRESSION and following.at_s - row[29].at_s < 10
    # Five rows of thirty to two are about two minutes (from memory: courses of 2015 and 2020).
    assert 5 * pattern.row_s == pytest.approx(120, rel=0.2)


@pytest.mark.parametrize(("per_minute", "seconds"), [(10, 6.0), (24, 2.5)])
def test_breaths_alone_come_evenly(per_minute: float, seconds: float) -> None:
    beats = Pattern(per_minute, breaths=1).beats(60)
    assert len(beats) == per_minute
    gaps = [later.at_s - b.at_s for b, later in pairwise(beats)]
    assert gaps == pytest.approx([seconds] * (len(beats) - 1))


def test_beats_are_counted_to_ten_and_again() -> None:
    beats = Pattern(110, 30).beats(60)
    assert [beat.spoken for beat in beats[:12]] == [*range(1, 11), 1, 2]
    assert Beat(0.0, BREATH, 2).spoken == 2


@given(
    st.floats(1, 300), st.integers(0, 60), st.integers(0, 5), st.floats(0.1, 5), st.floats(0, 200)
)
def test_beats_are_in_order_and_in_time(
    rate: float, compressions: int, breaths: int, breath_s: float, seconds: float
) -> None:
    if not compressions + breaths:
        with pytest.raises(ValueError):
            Pattern(rate, compressions, breaths, breath_s)
        return
    beats = Pattern(rate, compressions, breaths, breath_s).beats(seconds)
    assert all(beat.at_s < later.at_s for beat, later in pairwise(beats))
    assert all(0 <= beat.at_s < seconds for beat in beats)


@pytest.mark.parametrize("pattern", [(0, 1), (-1, 1), (100, -1, 2), (100, 1, 1, 0.0)])
def test_what_cannot_be_is_refused(pattern: tuple[float, ...]) -> None:
    with pytest.raises(ValueError):
        Pattern(*pattern)  # type: ignore[arg-type]
