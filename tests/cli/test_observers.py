"""What is printed as a practice goes on, for people and for programs."""

from __future__ import annotations

import json
from typing import Any

import pytest

from coach.cli.observers import JsonObserver, TextObserver
from coach.core.meaning import YES_NO, Command, Kind, Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.session.journal_contents import TORN


def rows(capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    captured = capsys.readouterr()
    assert captured.err == ""
    return [json.loads(line) for line in captured.out.splitlines()]


def test_each_thing_that_happens_is_one_json_object_a_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    observer = JsonObserver()
    observer.said("Höre zu, 90 %.")
    observer.listening("gauge", Quantity.PRESSURE)
    observer.listening(None, YES_NO)
    observer.listening("gauge", None)
    observer.noted("step-done", {"step": "gloves", "early": False})
    assert rows(capsys) == [
        {"type": "said", "text": "Höre zu, 90 %."},
        {"type": "listening", "step": "gauge", "expect": "pressure"},
        {"type": "listening", "step": None, "expect": "yes-no"},
        {"type": "listening", "step": "gauge", "expect": None},
        {"type": "event", "name": "step-done", "step": "gloves", "early": False},
    ]


def test_what_was_noted_cannot_pass_for_another_kind_of_row(
    capsys: pytest.CaptureFixture[str],
) -> None:
    JsonObserver().noted("odd", {"type": "summary", "name": "other", "more": [1]})
    assert rows(capsys) == [{"type": "event", "name": "odd", "more": [1]}]


def test_what_was_heard_has_the_fields_of_a_meaning(capsys: pytest.CaptureFixture[str]) -> None:
    arm = Reading(Quantity.BLOOD_PRESSURE, (120.0, 80.0), Unit.MILLIMETRES_OF_MERCURY)
    JsonObserver().heard(Meaning("one twenty over eighty", Kind.READING, readings=(arm,)))
    [row] = rows(capsys)
    assert (row["type"], row["kind"], row["value"]) == ("heard", "reading", [120, 80])
    assert row["unit"] == "mmHg"
    JsonObserver().heard(Meaning("next", Kind.COMMAND, command=Command.NEXT))
    [row] = rows(capsys)
    assert (row["command"], row["steps"], row["value"]) == ("next", None, None)


def test_people_see_a_conversation_and_nothing_of_the_rest(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for show in (True, False):
        observer = TextObserver(show_learner=show)
        observer.said("Put on your gloves.")
        observer.listening("gloves", None)
        observer.heard(Meaning("my gloves are on"))
        observer.noted("step-done", {"step": "gloves"})
    captured = capsys.readouterr()
    assert captured.out.splitlines() == [
        "Coach: Put on your gloves.",
        "You:   my gloves are on",
        "Coach: Put on your gloves.",
    ]
    assert captured.err == ""


def test_people_are_told_of_the_record_on_standard_error(
    capsys: pytest.CaptureFixture[str],
) -> None:
    observer = TextObserver(show_learner=False)
    observer.noted("torn-line-dropped", {"file": "a.jsonl"})
    observer.noted("earlier-session-unreadable", {"message": "a.jsonl:3: damaged."})
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.splitlines() == [f"coach: {TORN}", "coach: a.jsonl:3: damaged."]


def test_help_shows_the_words_of_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    observer = TextObserver(show_learner=False)
    observer.noted("help", {"words": {"next": ["what's next", "go ahead"], "odd": None}})
    observer.noted("help", {"words": None})
    assert capsys.readouterr().out.splitlines() == [
        "  next     what's next; go ahead",
        "  odd      ",
    ]
