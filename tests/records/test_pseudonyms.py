"""An export without names tells what was done and not by whom."""

from __future__ import annotations

from dataclasses import replace

from coach.records.pseudonyms import COLUMNS, StepRow, pseudonymous

DAY_S = 86_400.0
ANA, BEN = "a" * 32, "b" * 32
FIRST = StepRow(
    ANA,
    "1" * 32,
    1.7e9,
    "suction",
    "recall",
    "ready",
    0.9,
    1,
    200.0,
    "gloves",
    "done",
    "done",
    0,
    4.0,
)
ROWS = (
    FIRST,
    replace(FIRST, step="seal", mark="missed", at_s=None),
    replace(FIRST, attempt="2" * 32, started_s=1.7e9 + 1.5 * DAY_S),
    replace(FIRST, learner=BEN, attempt="3" * 32, started_s=1.7e9 + 40 * DAY_S),
)


def test_who_is_one_stays_one_and_days_are_counted_from_the_first() -> None:
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in pseudonymous(ROWS, b"secret")]
    assert sorted(row["day"] for row in rows) == ["0", "0", "0", "1"]
    by_learner: dict[str, list[str]] = {}
    for row in rows:
        by_learner.setdefault(row["learner"], []).append(row["attempt"])
    assert sorted(len(set(attempts)) for attempts in by_learner.values()) == [1, 2]
    assert {row["at-s"] for row in rows} == {"4.0", ""}


def test_nothing_in_it_leads_back() -> None:
    text = str(list(pseudonymous(ROWS, b"secret")))
    assert not any(one in text for one in (ANA, BEN, "1" * 32, "2" * 32, "1700000000"))


def test_another_secret_gives_other_numbers() -> None:
    rows = [
        replace(FIRST, learner=f"{n:032x}", attempt=f"{n:032x}", share=n / 99) for n in range(99)
    ]
    one, other = (list(pseudonymous(rows, secret)) for secret in (b"one", b"other"))
    assert one == list(pseudonymous(rows, b"one")) and one != other
    assert [row[6] for row in one] != sorted(row[6] for row in one)
