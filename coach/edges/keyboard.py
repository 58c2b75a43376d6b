"""Keys and pedals: a page turner or foot pedal sends the same keys as a keyboard."""

from __future__ import annotations

import atexit
import os
import sys
import threading
from collections.abc import Callable

YES, NEXT, REPEAT = "yes", "next", "repeat"
POLL_S = 0.1

KEYS = {
    " ": YES,
    "\r": YES,
    "\n": YES,
    "\x1b[6~": YES,  # page down: what most pedals send
    "y": YES,
    "n": NEXT,
    "\x1b[C": NEXT,
    "\x1bOC": NEXT,
    "r": REPEAT,
    "\x1b[D": REPEAT,
    "\x1bOD": REPEAT,
    "\x1b[5~": REPEAT,  # page up
}
"""What a terminal sends, and what it means."""

WINDOWS_KEYS = {"Q": "\x1b[6~", "I": "\x1b[5~", "M": "\x1b[C", "K": "\x1b[D"}
"""The second character of special keys on Windows, as a terminal elsewhere sends them."""


def meanings(typed: str) -> list[str]:
    """What the typed characters mean, in order; unknown keys mean nothing."""
    found: list[str] = []
    while typed:
        key = next((key for key in KEYS if len(key) > 1 and typed.startswith(key)), "")
        if not key and typed[0] == "\x1b":
            key = _unknown_sequence(typed)
        key = key or typed[0]
        meaning = KEYS.get(key) or KEYS.get(key.lower())
        if meaning is not None:
            found.append(meaning)
        typed = typed[len(key) :]
    return found


def _unknown_sequence(typed: str) -> str:
    """An escape sequence up to its last character, so that its letters are not taken for keys."""
    if typed[1:2] not in ("[", "O"):
        return typed[:1]
    end = next((at for at, char in enumerate(typed[2:], 2) if char.isalpha() or char == "~"), None)
    return typed if end is None else typed[: end + 1]


class Keyboard:
    """Reads single keys from the terminal in the background.

    Does nothing when the standard input is not a terminal. The terminal is put back as it was by
    `close`, or when the program ends. Ctrl-C keeps its meaning.
    """

    def __init__(self) -> None:
        self._closing = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, post: Callable[[str], None]) -> None:
        """Call `post` (from another thread) with "yes", "next" or "repeat" for each such key."""
        if self._thread is not None or not (sys.stdin and sys.stdin.isatty()):
            return
        self._thread = threading.Thread(
            target=self._read, args=(post,), name="reading keys", daemon=True
        )
        # A thread's own `finally` does not run when the program ends.
        atexit.register(self.close)
        self._thread.start()

    def close(self) -> None:
        """Stop reading and put the terminal back as it was."""
        self._closing.set()
        if self._thread is not None:
            self._thread.join(timeout=1.0)
            self._thread = None
            atexit.unregister(self.close)

    if sys.platform == "win32":

        def _read(self, post: Callable[[str], None]) -> None:
            import msvcrt

            while not self._closing.wait(POLL_S):
                while msvcrt.kbhit():
                    typed = msvcrt.getwch()
                    if typed in ("\x00", "\xe0"):
                        typed = WINDOWS_KEYS.get(msvcrt.getwch(), "")
                    for meaning in meanings(typed):
                        post(meaning)

    else:

        def _read(self, post: Callable[[str], None]) -> None:
            import select
            import termios
            import tty

            terminal = sys.stdin.fileno()
            before = termios.tcgetattr(terminal)
            try:
                tty.setcbreak(terminal)
                while not self._closing.is_set():
                    if not select.select([terminal], [], [], POLL_S)[0]:
                        continue
                    typed = os.read(terminal, 64)
                    if not typed:
                        return
                    for meaning in meanings(typed.decode(errors="ignore")):
                        post(meaning)
            finally:
                termios.tcsetattr(terminal, termios.TCSADRAIN, before)
