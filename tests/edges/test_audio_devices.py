"""Streams are given up even when the sound system does not let go of them."""

from __future__ import annotations

import sys
import threading

import pytest
from rig import running_rig

from coach.core.errors import MissingError
from coach.edges import audio_devices
from coach.edges.audio_devices import (
    Direction,
    devices,
    look_again,
    stream_opened,
    stream_released,
)

pytestmark = pytest.mark.live


class Stream:
    """A stream whose abort returns only when it is let."""

    def __init__(self) -> None:
        self.let_go = threading.Event()
        self.closed = threading.Event()

    def start(self) -> None:
        """Runs."""

    def abort(self, ignore_errors: bool) -> None:
        """Hangs as PortAudio does."""
        self.let_go.wait(30.0)

    def close(self, ignore_errors: bool) -> None:
        """Closed at last."""
        self.closed.set()


def test_a_stream_that_hangs_is_left_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(audio_devices, "RELEASE_S", 0.05)
    stream = Stream()
    stream_opened(stream)
    stream_released(stream)
    assert not stream.closed.is_set()
    stream.let_go.set()
    assert stream.closed.wait(10.0)


def test_devices_that_come_later_are_found() -> None:
    with running_rig() as rig:
        rig.unplug()
        look_again()
        assert "pulse" not in [device.name for device in devices(Direction.IN)]
        rig.plug()
        look_again()
        assert "pulse" in [device.name for device in devices(Direction.IN)]
        assert sum(device.standard for device in devices(Direction.OUT)) == 1


def test_without_the_sound_library_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    # What the sounddevice module raises on import where PortAudio is missing.
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(MissingError, match="libportaudio2"):
        devices(Direction.IN)
