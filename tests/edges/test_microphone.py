"""A real PortAudio stream from a virtual microphone: nothing lost, and unplugging survived."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import numpy as np
import pytest
from rig import SoundRig, running_rig

from coach.core.errors import InputError, MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.audio_devices import Direction, choose_device, devices
from coach.edges.microphone import BACK, GONE, Microphone
from coach.session.ports import EarReported

pytestmark = pytest.mark.live

TIMEOUT_S = 30.0


def words(seconds: float = 3.0) -> Samples:
    """Noise that no two places of are alike, in whole 16-bit steps."""
    steps = np.random.default_rng(11).integers(-8_000, 8_000, round(seconds * SAMPLE_RATE_HZ))
    return np.asarray(steps / 32768, dtype=np.float32)


def hear_while(microphone: Microphone, speak: Callable[[], None]) -> Samples:
    """Everything that comes while somebody speaks, and a moment longer."""
    speaker = threading.Thread(target=speak)
    speaker.start()
    blocks = []
    end_s = time.monotonic() + TIMEOUT_S
    while time.monotonic() < end_s:
        got = microphone.read(0.1)
        assert not isinstance(got, EarReported)
        if got is not None:
            blocks.append(got)
        if speaker.is_alive():
            end_s = time.monotonic() + 0.5
    return np.concatenate(blocks)


def wait_for_report(microphone: Microphone) -> EarReported:
    end_s = time.monotonic() + TIMEOUT_S
    while time.monotonic() < end_s:
        got = microphone.read(0.1)
        if isinstance(got, EarReported):
            return got
    pytest.fail("nothing was reported")


def running_microphone() -> Microphone:
    """A microphone that has given its first block."""
    microphone = Microphone()
    end_s = time.monotonic() + TIMEOUT_S
    while microphone.read(0.1) is None:
        assert time.monotonic() < end_s
    return microphone


def speak_and_hear(rig: SoundRig, microphone: Microphone, said: Samples) -> Samples:
    return hear_while(microphone, lambda: rig.speak(said))


def test_what_is_said_arrives_bit_by_bit() -> None:
    with running_rig() as rig:
        microphone = Microphone()
        said = words()
        heard = speak_and_hear(rig, microphone, said)
        microphone.close()
    begin = int(np.flatnonzero(heard)[0])
    assert np.array_equal(heard[begin : begin + len(said)], said)


def test_a_microphone_at_another_rate_is_converted() -> None:
    at = np.arange(2 * SAMPLE_RATE_HZ) / SAMPLE_RATE_HZ
    tone = np.asarray(0.4 * np.sin(2 * np.pi * 500.0 * at), dtype=np.float32)
    with running_rig(microphone_rate_hz=48_000) as rig:
        microphone = Microphone()
        heard = speak_and_hear(rig, microphone, tone)
        microphone.close()
    loud = np.flatnonzero(np.abs(heard) > 0.01)
    assert loud[-1] - loud[0] == pytest.approx(len(tone), rel=0.02)
    assert np.abs(heard).max() == pytest.approx(0.4, abs=0.02)


def test_unplugging_is_reported_and_survived() -> None:
    with running_rig() as rig:
        microphone = running_microphone()
        rig.unplug()
        assert wait_for_report(microphone) == EarReported(GONE)
        assert microphone.read(0.1) is None
        rig.plug()
        assert wait_for_report(microphone) == EarReported(BACK)
        said = words(1.0)
        heard = speak_and_hear(rig, microphone, said)
        microphone.close()
    begin = int(np.flatnonzero(heard)[0])
    assert np.array_equal(heard[begin : begin + len(said)], said)


def test_closing_a_microphone_that_is_gone_does_not_hang() -> None:
    with running_rig() as rig:
        microphone = running_microphone()
        rig.unplug()
        wait_for_report(microphone)
        closing = threading.Thread(target=microphone.close, daemon=True)
        closing.start()
        closing.join(timeout=20.0)
        assert not closing.is_alive()


def test_a_device_is_chosen_by_number_or_part_of_its_name() -> None:
    with running_rig():
        found = devices(Direction.IN)
        last = found[-1]
        assert choose_device(Direction.IN, str(last.index)) == last
        assert choose_device(Direction.IN, last.name[1:].upper()) == last
        with pytest.raises(InputError, match=r"no microphone 'throat'.*choose one of"):
            Microphone("throat")


def test_a_machine_without_a_microphone_is_told_how_to_mend_it() -> None:
    with running_rig() as rig:
        rig.unplug()
        with pytest.raises(MissingError, match="coach devices"):
            Microphone()
