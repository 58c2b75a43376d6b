"""A progress bar is seen on a terminal that does not know its size."""

from __future__ import annotations

import os
import sys

import pytest
from tqdm import tqdm

from coach.cli.bar_shape import bar_shape


@pytest.mark.skipif(os.name != "posix", reason="opens a pseudo terminal")
def test_on_a_terminal_without_a_size_there_is_a_bar_nevertheless(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A new pseudo terminal has none (0 by 0), as a serial line has; tqdm draws nothing then."""
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.delenv("LINES", raising=False)
    controller, terminal = os.openpty()
    with os.fdopen(controller, "rb"), os.fdopen(terminal, "w", encoding="utf-8") as seen:
        monkeypatch.setattr(sys, "stderr", seen)
        assert tuple(os.get_terminal_size(seen.fileno())) == (0, 0)
        shape = bar_shape()
        assert shape == {"ncols": 80, "nrows": 24}
        with tqdm(total=2, disable=None, file=seen, mininterval=0, **shape) as bar:
            bar.update(1)
        assert b"50%" in os.read(controller, 4096)


def test_a_terminal_that_knows_its_size_is_followed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "get_terminal_size", lambda _handle: os.terminal_size((100, 24)))
    assert bar_shape() == {"ncols": None, "nrows": None}
