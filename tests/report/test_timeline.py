"""What stands where on the picture of an attempt."""

from __future__ import annotations

from dataclasses import replace

from attempts import NOT_YET, STIR

from coach.report.attempt import Spoken
from coach.report.timeline import SILENCE_S, WORDS_A_SECOND, Stretch, timeline_of

QUIET = replace(NOT_YET, spoken=(), steps=(), numbers=(), failures=(), limit_s=0.0, seconds=60.0)


def test_steps_done_lie_on_a_path_in_time_and_rows_in_their_order() -> None:
    timeline = timeline_of(NOT_YET)
    assert [row.number for row in timeline.rows] == list(range(1, 10))
    seconds = [second for second, _ in timeline.path]
    assert seconds == sorted(seconds)
    # The valve (row 4) was opened before the gauge (row 3) was read.
    assert [row for _, row in timeline.path] == [0, 1, 4, 3, 5, 6, 8]


def test_the_learners_talk_ends_where_it_was_heard() -> None:
    words = " ".join(["word"] * 10)
    spoken = (Spoken(5.0, False, words), Spoken(6.0, False, words), Spoken(30.0, False, words))
    assert timeline_of(replace(QUIET, spoken=spoken)).learner == (
        Stretch(5.0 - 10 / WORDS_A_SECOND, 5.0),
        Stretch(5.0, 6.0),
        Stretch(30.0 - 10 / WORDS_A_SECOND, 30.0),
    )


def test_the_coachs_talk_begins_where_it_was_said_and_stops_for_the_next() -> None:
    words = " ".join(["word"] * 10)
    spoken = (
        Spoken(5.0, True, words),
        Spoken(6.0, True, "Go on."),
        Spoken(6.0, True, "Now the lid."),
        Spoken(59.0, True, words),
    )
    assert timeline_of(replace(QUIET, spoken=spoken)).coach == (
        Stretch(5.0, 6.0),
        Stretch(6.0, 6.0 + 5 / WORDS_A_SECOND),
        Stretch(59.0, 60.0),
    )


def test_what_was_said_before_the_beginning_is_left_out() -> None:
    before = (Spoken(-3.0, False, "I am ready"), Spoken(-9.0, True, "Are you ready?"))
    timeline = timeline_of(replace(QUIET, spoken=before))
    assert (timeline.learner, timeline.coach) == ((), ())


def test_silence_is_where_neither_speaks_for_long() -> None:
    spoken = (
        Spoken(20.0, True, "a b c d e"),
        Spoken(31.0, False, "yes"),
        Spoken(55.0, False, "no"),
    )
    assert timeline_of(replace(QUIET, spoken=spoken)).silences == (
        Stretch(0.0, 20.0),
        Stretch(31.0, 54.6),
    )
    assert timeline_of(replace(QUIET, seconds=SILENCE_S - 1)).silences == ()


def test_the_limit_is_on_the_picture_where_it_came_near() -> None:
    assert timeline_of(NOT_YET).limit_s == 240.0
    assert timeline_of(replace(QUIET, limit_s=70.0)).limit_s == 70.0
    assert timeline_of(replace(QUIET, limit_s=600.0)).limit_s is None
    over = timeline_of(replace(QUIET, limit_s=30.0))
    assert (over.limit_s, over.end_s) == (30.0, 60.0)


def test_all_that_happened_lies_within_the_picture() -> None:
    late = replace(NOT_YET, seconds=10.0)
    timeline = timeline_of(late)
    assert timeline.end_s >= max(row.done_s for row in timeline.rows if row.done_s is not None)
    assert timeline.over_s == 10.0


def test_a_step_with_begin_and_end_is_under_way_between_them() -> None:
    [row] = timeline_of(replace(QUIET, steps=(STIR,))).rows
    assert row.under_way == (Stretch(121.0, 135.0),)


def test_a_bare_count_says_what_it_counts() -> None:
    texts = [reading.text for row in timeline_of(NOT_YET).rows for reading in row.readings]
    assert texts == ["1700 psi", "15 L/min", "sips 3"]
