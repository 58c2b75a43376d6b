"""Plays lines: through a loudspeaker, into a recording, or both."""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from coach.core.errors import InputError, MissingError
from coach.core.sound import Samples
from coach.edges.audio_devices import (
    Device,
    Direction,
    choose_device,
    open_stream,
    quietly,
    sound_library,
)
from coach.edges.convert import convert

BLOCK_S = 0.02
LATENCY_S = 0.1
"""With less a busy machine drops sound; cutting off does not wait for what is buffered."""
LOOK_S = 0.01
"""How often the end of a line is looked for."""
HUNG_S = 5.0
"""A line that takes this much longer than it lasts is not being played."""
RECORDED_RATE_HZ = 22_050
RECORDED_GAP_S = 0.4


class Speaker(Protocol):
    """Plays one line at a time."""

    def play(self, samples: Samples, rate_hz: int, cut: threading.Event) -> None:
        """Play mono samples in -1..1; returns at the end, or at once when `cut` is set.

        Raises MissingError when the device is gone.
        """

    def close(self) -> None:
        """Release what is held."""


class LineRecording:
    """Keeps everything said as one WAV file: each line as far as it was played, short gaps between.

    InputError when the file cannot be written, or is there already. Where that fails later (a full
    disk) the coach goes on speaking, nothing more is kept, and `close` tells it.
    """

    def __init__(self, path: Path) -> None:
        import soundfile

        self._path = path
        self._failed = ""
        if path.is_file() or path.is_symlink():
            raise InputError(f"{path} is there already: move it away or choose another name.")
        try:
            self._file: Any = soundfile.SoundFile(
                str(path), "w", RECORDED_RATE_HZ, 1, subtype="PCM_16", format="WAV"
            )
        except (OSError, RuntimeError) as error:
            raise InputError(f"{path} cannot be written: choose another place.") from error

    def add(self, samples: Samples, rate_hz: int) -> None:
        """Append one line."""
        if self._failed:
            return
        gap = np.zeros(round(RECORDED_GAP_S * RECORDED_RATE_HZ), dtype=np.float32)
        try:
            self._file.write(np.concatenate([convert(samples, rate_hz, RECORDED_RATE_HZ), gap]))
            self._file.flush()
        except (OSError, RuntimeError) as error:
            self._failed = str(error)

    def close(self) -> None:
        """Finish the file; MissingError, once, if not all that was said could be kept."""
        failed, self._failed = self._failed, ""
        try:
            self._file.close()
        except (OSError, RuntimeError) as error:
            failed = failed or str(error)
        # Whatever else is on its way weighs more.
        if failed and sys.exception() is None:
            raise MissingError(
                f"{self._path} does not hold all that was said ({failed}): free some space, or "
                "choose another place."
            )


class VirtualSpeaker:
    """Plays into a recording only, for machines without a loudspeaker.

    In real time a line takes as long as it lasts; otherwise it is over at once.
    """

    def __init__(self, recording: LineRecording | None = None, real_time: bool = False) -> None:
        self._recording = recording
        self._real_time = real_time

    def play(self, samples: Samples, rate_hz: int, cut: threading.Event) -> None:
        """Record one line; see Speaker."""
        played = len(samples)
        if self._real_time:
            began_s = time.monotonic()
            if cut.wait(len(samples) / rate_hz):
                played = round((time.monotonic() - began_s) * rate_hz)
        if self._recording is not None:
            self._recording.add(samples[:played], rate_hz)

    def close(self) -> None:
        """Finish the recording."""
        if self._recording is not None:
            self._recording.close()


class Loudspeaker:
    """A loudspeaker or headset: one stream a line, given up at once when the line is cut off.

    `wanted` is a device's number or part of its name, None for the system's choice. MissingError
    when there is none. With `recording`, what was played is kept, too.
    """

    def __init__(self, wanted: str | None = None, recording: LineRecording | None = None) -> None:
        self._wanted = wanted
        self._recording = recording
        self._shape: tuple[int, int] | None = None
        choose_device(Direction.OUT, wanted)

    def play(self, samples: Samples, rate_hz: int, cut: threading.Event) -> None:
        """Play one line; see Speaker."""
        library = sound_library()
        try:
            line = self._opened(library, samples, rate_hz, cut)
            with open_stream(line.stream):
                line.wait(cut)
        except library.PortAudioError as error:
            raise gone(error) from error
        if self._recording is not None:
            self._recording.add(line.played(cut.is_set()), line.rate_hz)
        if not line.complete and not cut.is_set():
            raise gone("it stopped in the middle of a line")

    def close(self) -> None:
        """Finish the recording."""
        if self._recording is not None:
            self._recording.close()

    def _opened(self, library: Any, samples: Samples, rate_hz: int, cut: threading.Event) -> _Line:
        device = choose_device(Direction.OUT, self._wanted)
        for rate, channels in self._shapes(device, rate_hz):
            line = _Line(convert(samples, rate_hz, rate), rate)
            try:
                with quietly():
                    line.open(library, device, channels, cut)
            except library.PortAudioError:
                self._shape = None
                continue
            self._shape = (rate, channels)
            return line
        raise gone(f"{device.name} takes no sound")

    def _shapes(self, device: Device, rate_hz: int) -> list[tuple[int, int]]:
        """Rates and channels to try: as the line is, else as the device runs by itself."""
        known = [] if self._shape is None else [self._shape]
        rates = [rate_hz, device.rate_hz, 48_000, 44_100]
        return known + [(rate, channels) for rate in rates for channels in (1, 2)]


class _Line:
    """One line on its way to the device; the callback only copies."""

    def __init__(self, samples: Samples, rate_hz: int) -> None:
        self.rate_hz = rate_hz
        self.stream: Any = None
        self._samples = samples
        self._at = 0
        self._buffered = round(LATENCY_S * rate_hz)
        self._finished = threading.Event()

    @property
    def complete(self) -> bool:
        """Whether every sample was handed over."""
        return self._at >= len(self._samples)

    def played(self, cut: bool) -> Samples:
        """The samples that were heard: a line that was cut off never left the buffer whole."""
        whole = self.complete and not cut
        return self._samples if whole else self._samples[: max(0, self._at - self._buffered)]

    def open(self, library: Any, device: Device, channels: int, cut: threading.Event) -> None:
        """Make the stream; PortAudioError when the device does not run this way."""

        def fill(out: Any, frames: int, _time: Any, _status: Any) -> None:
            if cut.is_set():
                out[:] = 0.0
                raise library.CallbackAbort
            part = self._samples[self._at : self._at + frames]
            out[: len(part)] = part[:, np.newaxis]
            out[len(part) :] = 0.0
            self._at += frames
            # Silence pushes the end of the line out of the buffer before the stream is released.
            if self._at >= len(self._samples) + self._buffered:
                raise library.CallbackStop

        self.stream = library.OutputStream(
            samplerate=self.rate_hz,
            blocksize=round(BLOCK_S * self.rate_hz),
            device=device.index,
            channels=channels,
            dtype="float32",
            latency=LATENCY_S,
            callback=fill,
            finished_callback=self._finished.set,
        )
        # Two blocks more than PortAudio says: with less the last 20 ms of some lines were lost.
        self._buffered = round((self.stream.latency + 3 * BLOCK_S) * self.rate_hz)

    def wait(self, cut: threading.Event) -> None:
        """Wait for the end of the line, for `cut`, or for the device to be gone."""
        deadline = time.monotonic() + len(self._samples) / self.rate_hz + HUNG_S
        while not cut.wait(LOOK_S):
            if self._finished.is_set() or time.monotonic() > deadline:
                return


def gone(reason: object) -> MissingError:
    """What to tell when the loudspeaker does not work."""
    return MissingError(
        f"The loudspeaker does not work ({reason}): plug it in again or choose another "
        "(`coach devices`)."
    )
