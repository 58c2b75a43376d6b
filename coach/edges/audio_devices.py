"""Which microphones and loudspeakers there are, and who has one open."""

from __future__ import annotations

import contextlib
import os
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from coach.core.errors import InputError, MissingError


class Direction(StrEnum):
    """Which way the sound goes; the words are used in messages."""

    IN = "microphone"
    OUT = "loudspeaker"


@dataclass(frozen=True, slots=True)
class Device:
    """A sound device as PortAudio lists it; `rate_hz` is the rate it runs at by itself."""

    index: int
    name: str
    rate_hz: int
    standard: bool


RELEASE_S = 2.0
STDERR = 2

_open_streams = 0
_lock = threading.Lock()


def sound_library() -> Any:
    """The sounddevice module; MissingError when PortAudio is not installed."""
    try:
        import sounddevice
    # The module raises OSError when the library under it is missing.
    except (ImportError, OSError) as error:
        raise MissingError(
            "The sound library PortAudio is missing: install it "
            "(Debian, Ubuntu: apt install libportaudio2), or practise with --typed."
        ) from error
    return sounddevice


def devices(direction: Direction) -> list[Device]:
    """All devices of one direction; MissingError when PortAudio is missing or broken."""
    library = sound_library()
    side, slot = ("input", 0) if direction is Direction.IN else ("output", 1)
    try:
        listed = list(library.query_devices())
        standard = library.default.device[slot]
    except library.PortAudioError as error:
        raise MissingError(f"The sound system does not answer ({error}): restart it.") from error
    return [
        Device(number, str(each["name"]), round(each["default_samplerate"]), number == standard)
        for number, each in enumerate(listed)
        if each[f"max_{side}_channels"] > 0
    ]


def choose_device(direction: Direction, wanted: str | None = None) -> Device:
    """The device of that number or with that text in its name; the standard one for None.

    MissingError when there is no device at all, InputError when none is the wanted one.
    """
    found = devices(direction)
    if not found:
        raise MissingError(
            f"There is no {direction}: plug one in and look at `coach devices`, "
            f"or practise with --typed. {_hint()}".strip()
        )
    if wanted is None:
        return next((device for device in found if device.standard), found[0])
    fitting = [
        device
        for device in found
        if str(device.index) == wanted.strip() or wanted.strip().lower() in device.name.lower()
    ]
    if not fitting:
        names = ", ".join(f"{device.index} {device.name}" for device in found)
        raise InputError(f"There is no {direction} {wanted!r}: choose one of {names}.")
    exact = [device for device in fitting if str(device.index) == wanted.strip()]
    return (exact or fitting)[0]


@contextlib.contextmanager
def open_stream(stream: Any) -> Iterator[Any]:
    """Start a stream and release it at the end without waiting for what is still buffered."""
    stream_opened(stream)
    try:
        yield stream
    finally:
        stream_released(stream)


@contextlib.contextmanager
def quietly() -> Iterator[None]:
    """Keep what the sound system's own libraries print on failure off the terminal."""
    if sys.stderr is None or sys.platform == "win32":
        yield
        return
    kept = os.dup(STDERR)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, STDERR)
        yield
    finally:
        os.dup2(kept, STDERR)
        os.close(kept)
        os.close(nowhere)


def stream_opened(stream: Any) -> None:
    """Start a stream that was made, and count it; it is closed when it will not start."""
    global _open_streams
    with _lock:
        try:
            stream.start()
        except BaseException:
            stream.close(ignore_errors=True)
            raise
        _open_streams += 1


def stream_released(stream: Any) -> None:
    """Give a stream up, dead or alive, without waiting for what is still buffered.

    Giving up a stream whose device went in the very moment it was opened never returns (seen
    with PulseAudio): such a stream is left behind after RELEASE_S.
    """
    worker = threading.Thread(target=_release, args=(stream,), name="releasing", daemon=True)
    worker.start()
    worker.join(timeout=RELEASE_S)


def _release(stream: Any) -> None:
    global _open_streams
    stream.abort(ignore_errors=True)
    stream.close(ignore_errors=True)
    with _lock:
        _open_streams -= 1


def look_again() -> None:
    """Let PortAudio find devices that came since; does nothing while any stream is open.

    PortAudio lists devices once, and can only list them anew when it is closed as a whole.
    """
    library = sound_library()
    with _lock, quietly(), contextlib.suppress(library.PortAudioError):
        if _open_streams == 0:
            library._terminate()
            library._initialize()


def _hint() -> str:
    if not sys.platform.startswith("linux"):
        return "Programs may need leave to use it: see the privacy settings."
    return "On Linux, PulseAudio or PipeWire must run (libasound2-plugins joins them to PortAudio)."
