"""Takes sound from a microphone, and survives its being unplugged."""

from __future__ import annotations

import contextlib
import queue
import threading
import time
from typing import Any

import numpy as np

from coach.core.errors import CoachError, MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.audio_devices import (
    Device,
    Direction,
    choose_device,
    look_again,
    quietly,
    sound_library,
    stream_opened,
    stream_released,
)
from coach.edges.convert import StreamConverter
from coach.session.ports import EarReported

BLOCK_S = 0.03
WAITING_BLOCKS = 2_000
"""A minute of sound; what comes while even that waits is dropped."""
SILENT_S = 2.0
"""No block for this long means the device is gone, whatever it says."""
RETRY_S = 1.0
GONE = "The microphone is gone. Plug it in again, or use the keys."
BACK = "The microphone is back."


class Microphone:
    """A source of sample blocks from a device.

    `wanted` is a device's number or part of its name, None for the system's choice. It runs at
    16 kHz where it can, else at its own rate, converted. The callback only copies and enqueues;
    blocks come in bursts, so only their samples tell the time.

    Raises MissingError when there is no microphone at the start. One that goes later is reported
    and looked for every second until it is back.
    """

    def __init__(self, wanted: str | None = None) -> None:
        self._wanted = wanted
        self._blocks: queue.Queue[bytes] = queue.Queue(WAITING_BLOCKS)
        self._finished = threading.Event()
        self._stream: Any = None
        self._converter = StreamConverter(SAMPLE_RATE_HZ)
        self._channels = 1
        self.name = ""
        """The device's name."""
        self._newest_s = self._next_try_s = time.monotonic()
        self._open()

    def read(self, timeout_s: float) -> Samples | EarReported | None:
        """The next block (mono float32 at 16 kHz), or that the device went or came back.

        Waits at most `timeout_s`; None when nothing came. Blocks may be empty.
        """
        if self._stream is None:
            return self._try_again(timeout_s)
        try:
            frames = self._blocks.get(timeout=timeout_s)
        except queue.Empty:
            if not self._finished.is_set() and time.monotonic() - self._newest_s < SILENT_S:
                return None
            self._release()
            return EarReported(GONE)
        self._newest_s = time.monotonic()
        return self._converter.feed(np.frombuffer(frames, np.int16).reshape(-1, self._channels))

    def waiting_s(self) -> float:
        """Seconds of sound that came in and were not read yet."""
        return self._blocks.qsize() * BLOCK_S

    def close(self) -> None:
        """Release the device."""
        self._release()

    def _try_again(self, timeout_s: float) -> EarReported | None:
        wait_s = self._next_try_s - time.monotonic()
        if wait_s > 0:
            time.sleep(min(wait_s, timeout_s))
            return None
        self._next_try_s = time.monotonic() + RETRY_S
        with contextlib.suppress(CoachError):
            look_again()
            self._open()
            return EarReported(BACK)
        return None

    def _open(self) -> None:
        library = sound_library()
        device = choose_device(Direction.IN, self._wanted)
        reason: object = "no rate fits"
        for rate_hz in (SAMPLE_RATE_HZ, device.rate_hz, 48_000, 44_100):
            for channels in (1, 2):
                try:
                    with quietly():
                        self._start(library, device, rate_hz, channels)
                except library.PortAudioError as error:
                    reason = error
                else:
                    self.name = device.name
                    return
        raise MissingError(
            f"The microphone {device.name} cannot be opened ({reason}): see that no other "
            "program holds it and that it is allowed, or choose another (`coach devices`)."
        )

    def _start(self, library: Any, device: Device, rate_hz: int, channels: int) -> None:
        blocks: queue.Queue[bytes] = queue.Queue(WAITING_BLOCKS)
        finished = threading.Event()

        def take(frames: Any, _count: int, _time: Any, _status: Any) -> None:
            with contextlib.suppress(queue.Full):
                blocks.put_nowait(bytes(frames))

        stream = library.RawInputStream(
            samplerate=rate_hz,
            blocksize=round(BLOCK_S * rate_hz),
            device=device.index,
            channels=channels,
            dtype="int16",
            latency="low",
            callback=take,
            finished_callback=finished.set,
        )
        stream_opened(stream)
        self._stream, self._blocks, self._finished = stream, blocks, finished
        self._converter, self._channels = StreamConverter(rate_hz), channels
        self._newest_s = time.monotonic()

    def _release(self) -> None:
        if self._stream is not None:
            stream_released(self._stream)
            self._stream = None
            self._next_try_s = time.monotonic() + RETRY_S
