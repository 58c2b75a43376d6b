"""Keys and pedals, through a real pseudo-terminal."""

from __future__ import annotations

import io
import os
import sys
import time

import pytest

from coach.edges.keyboard import Keyboard, meanings


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        (" ", ["yes"]),
        ("\r", ["yes"]),
        ("\n", ["yes"]),
        ("\x1b[6~", ["yes"]),
        ("n", ["next"]),
        ("N", ["next"]),
        ("\x1b[C", ["next"]),
        ("r", ["repeat"]),
        ("\x1b[D", ["repeat"]),
        ("\x1b[5~", ["repeat"]),
        (" n\x1b[5~\x1b[6~", ["yes", "next", "repeat", "yes"]),
        ("\x1b[3~", []),
        ("\x1b[1;5C", []),
        ("\x1bOP", []),
        ("\x1b", []),
        ("xq7", []),
        ("", []),
    ],
)
def test_what_a_terminal_sends(typed: str, expected: list[str]) -> None:
    assert meanings(typed) == expected


def test_without_a_terminal_nothing_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("n\n"))
    keyboard = Keyboard()
    keys: list[str] = []
    keyboard.start(keys.append)
    keyboard.close()
    assert keys == []
    assert sys.stdin.read() == "n\n"


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals here")
def test_keys_arrive_singly_and_the_terminal_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    import termios

    outer, inner = os.openpty()
    monkeypatch.setattr(sys, "stdin", os.fdopen(inner, encoding="utf-8"))
    before = termios.tcgetattr(inner)
    keyboard = Keyboard()
    keys: list[str] = []
    keyboard.start(keys.append)
    deadline = time.monotonic() + 10
    while termios.tcgetattr(inner)[3] == before[3] and time.monotonic() < deadline:
        time.sleep(0.01)
    os.write(outer, b" n\x1b[5~")
    while len(keys) < 3 and time.monotonic() < deadline:
        time.sleep(0.01)
    keyboard.close()
    assert keys == ["yes", "next", "repeat"]
    assert termios.tcgetattr(inner) == before
    os.close(outer)
