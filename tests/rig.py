"""A private PulseAudio with a virtual microphone and loudspeaker: no sound card is needed.

    with running_rig() as rig:
        rig.speak(samples)                  # into the microphone, returns when it is over
        with rig.recording() as heard:      # what the loudspeaker plays
            ...
        heard.samples

`rig.hiss()` gives the microphone a noise of its own: one of digital silence is told of as such.
`rig.unplug()` kills the server under every open stream, `rig.plug()` starts it again.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.wave_file import write_recording

PROGRAMS = ("pulseaudio", "pactl", "paplay", "parec")
START_TIMEOUT_S = 10.0
HISS_S, HISS_LEVEL = 900, 5 / 32768

SERVER_OPTIONS = (
    "--daemonize=no --exit-idle-time=-1 --disallow-exit=yes --use-pid-file=no --realtime=no "
    "--high-priority=no --disable-shm=yes --log-target=stderr --log-level=error"
).split()
RECORDER_OPTIONS = "--format=s16le --channels=1 --latency-msec=10 --raw".split()

SETUP = """\
load-module module-null-sink sink_name=spk rate=48000 format=s16le channels=1 \
channel_map=mono norewinds=1
load-module module-null-sink sink_name=micfeed rate={microphone_rate_hz} format=s16le channels=1 \
channel_map=mono norewinds=1
load-module module-remap-source source_name=mic master=micfeed.monitor channels=1 channel_map=mono
set-default-sink spk
set-default-source mic
load-module module-native-protocol-unix auth-anonymous=1 auth-cookie-enabled=0 \
socket={folder}/native
"""
"""Without `norewinds` the beginning of a file played into the microphone is lost now and then."""


def skip_without_rig() -> None:
    """Skip the test, saying why, where a rig cannot run."""
    missing = [program for program in PROGRAMS if shutil.which(program) is None]
    if missing:
        pytest.skip(f"no virtual sound devices: {', '.join(missing)} not installed")
    try:
        import sounddevice  # noqa: F401 - only whether it can be imported
    except OSError:
        pytest.skip("no virtual sound devices: PortAudio is not installed")


@contextlib.contextmanager
def running_rig(microphone_rate_hz: int = SAMPLE_RATE_HZ) -> Iterator[SoundRig]:
    """A rig that this process and its children use as their sound system; skips without one."""
    skip_without_rig()
    # Paths of sockets are limited to about a hundred letters: not under pytest's own folder.
    with tempfile.TemporaryDirectory(prefix="coach-rig-") as name:
        rig = SoundRig(Path(name), microphone_rate_hz)
        before = {variable: os.environ.get(variable) for variable in rig.environment}
        os.environ.update(rig.environment)
        try:
            rig.plug()
            relist_devices()
            yield rig
        finally:
            rig.unplug()
            for variable, value in before.items():
                if value is None:
                    del os.environ[variable]
                else:
                    os.environ[variable] = value


def relist_devices() -> None:
    """Let PortAudio see the devices there are now."""
    from coach.edges.audio_devices import look_again

    look_again()


class Heard:
    """What the loudspeaker played; `samples` grow until the recording ends."""

    def __init__(self) -> None:
        self.data = bytearray()

    @property
    def samples(self) -> Samples:
        """Mono samples in -1..1 at SAMPLE_RATE_HZ."""
        whole = bytes(self.data[: len(self.data) // 2 * 2])
        return (np.frombuffer(whole, np.int16) / 32768).astype(np.float32)


class SoundRig:
    """A running server in a folder of its own."""

    def __init__(self, folder: Path, microphone_rate_hz: int) -> None:
        self._folder = folder
        self._microphone_rate_hz = microphone_rate_hz
        self._server: subprocess.Popen[bytes] | None = None
        self._hiss: subprocess.Popen[bytes] | None = None
        self.environment = {
            "PULSE_RUNTIME_PATH": str(folder),
            "PULSE_STATE_PATH": str(folder),
            "PULSE_SERVER": f"unix:{folder}/native",
            "PULSE_COOKIE": str(folder / "cookie"),
        }

    def plug(self) -> None:
        """Start the server and wait until it answers."""
        setup = self._folder / "setup.pa"
        setup.write_text(
            SETUP.format(folder=self._folder, microphone_rate_hz=self._microphone_rate_hz)
        )
        (self._folder / "native").unlink(missing_ok=True)
        self._server = subprocess.Popen(
            ["pulseaudio", "-n", "-F", str(setup), *SERVER_OPTIONS],
            stderr=subprocess.DEVNULL,
        )
        deadline = time.monotonic() + START_TIMEOUT_S
        while self._pactl("info").returncode != 0:
            if time.monotonic() > deadline:
                self.unplug()
                pytest.skip("no virtual sound devices: pulseaudio does not start here")
            time.sleep(0.05)

    def unplug(self) -> None:
        """Kill the server: every stream on it dies."""
        if self._hiss is not None:
            self._hiss.kill()
            self._hiss.wait()
            self._hiss = None
        if self._server is not None:
            self._server.kill()
            self._server.wait()
            self._server = None

    def echo(self) -> None:
        """From now on the microphone hears the loudspeaker, as in a room."""
        self._pactl(
            "load-module",
            "module-loopback",
            "source=spk.monitor",
            "sink=micfeed",
            "latency_msec=50",
        )

    def hiss(self) -> None:
        """From now on the microphone has a converter's own noise, as every real one."""
        file = self._folder / "hiss.wav"
        noise = np.random.default_rng(4).normal(0.0, HISS_LEVEL, HISS_S * SAMPLE_RATE_HZ)
        write_recording(file, noise.astype(np.float32), SAMPLE_RATE_HZ)
        self._hiss = subprocess.Popen(
            ["paplay", "--device=micfeed", str(file)], stderr=subprocess.DEVNULL
        )

    def speak(self, samples: Samples, rate_hz: int = SAMPLE_RATE_HZ) -> None:
        """Say something into the microphone; returns when it is over."""
        file = self._folder / f"speech-{threading.get_ident()}.wav"
        write_recording(file, samples, rate_hz)
        subprocess.run(
            ["paplay", "--device=micfeed", "--latency-msec=50", str(file)], check=True, timeout=60
        )

    @contextlib.contextmanager
    def recording(self) -> Iterator[Heard]:
        """Record what the loudspeaker plays, beginning and ending with the block."""
        heard = Heard()
        recorder = subprocess.Popen(
            ["parec", "-d", "spk.monitor", f"--rate={SAMPLE_RATE_HZ}", *RECORDER_OPTIONS],
            stdout=subprocess.PIPE,
        )
        reader = threading.Thread(target=_read_all, args=(recorder, heard), daemon=True)
        reader.start()
        try:
            _wait_until(lambda: len(heard.data) > 0)
            yield heard
            # What was played a moment ago is still on its way.
            time.sleep(0.2)
        finally:
            recorder.terminate()
            recorder.wait()
            reader.join(timeout=5.0)

    def _pactl(self, *arguments: str) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(["pactl", *arguments], capture_output=True, timeout=10, check=False)


def _read_all(recorder: subprocess.Popen[bytes], heard: Heard) -> None:
    assert recorder.stdout is not None
    while part := os.read(recorder.stdout.fileno(), 4096):
        heard.data += part


def _wait_until(holds: object, timeout_s: float = 5.0) -> None:
    assert callable(holds)
    deadline = time.monotonic() + timeout_s
    while not holds() and time.monotonic() < deadline:
        time.sleep(0.005)
