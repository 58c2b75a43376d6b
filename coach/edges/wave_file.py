"""Recordings on disk: read into the program's own form with a clear word on every failure."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from coach.core.errors import InputError, MissingError
from coach.core.sound import Samples
from coach.edges.convert import HIGHEST_RATE_HZ, LOWEST_RATE_HZ, StreamConverter

LONGEST_RECORDING_S = 600.0
KINDS = "WAV, FLAC, OGG or MP3"
RIFF_HEADER_BYTES = 12

BLOCK_FRAMES = 65_536
"""Frames read at a time: 4 s at 16 kHz, 1 MB of stereo at most."""


def read_recording(path: Path, longest_s: float = LONGEST_RECORDING_S) -> Samples:
    """The sound of a file as mono float32 at 16 kHz.

    InputError as `blocks_of_recording` raises it.
    """
    return np.concatenate([*blocks_of_recording(path, longest_s)])


def blocks_of_recording(path: Path, longest_s: float = LONGEST_RECORDING_S) -> Iterator[Samples]:
    """The sound of a file as mono float32 at 16 kHz, a block at a time, however long it is.

    InputError names the file and what to do when it is missing, a folder, empty, cut short,
    not sound, longer than `longest_s` seconds or holds values that are no sound.
    """
    path = Path(path)
    _check_file(path)
    soundfile = _soundfile()
    try:
        with soundfile.SoundFile(str(path)) as sound:
            rate_hz, promised = int(sound.samplerate), int(sound.frames)
            _check_length(path, rate_hz, promised, longest_s)
            converter, read = StreamConverter(rate_hz, "HQ"), 0
            frames = sound.read(BLOCK_FRAMES, dtype="float32", always_2d=True)
            while len(frames):
                if not np.isfinite(frames).all():
                    raise InputError(
                        f"{path} holds values that are not numbers, so it is damaged: export it "
                        "again as WAV."
                    )
                read += len(frames)
                later = sound.read(BLOCK_FRAMES, dtype="float32", always_2d=True)
                yield converter.feed(frames, last=not len(later))
                frames = later
    except soundfile.SoundFileError as error:
        raise InputError(
            f"{path} is not sound this program can read ({_reason(error)}): "
            f"use a recording in {KINDS}."
        ) from error
    if read < promised:
        raise InputError(
            f"{path} is cut short: it promises {promised / rate_hz:.1f} s of sound and "
            f"{read / rate_hz:.1f} s can be read. Copy or record it again."
        )
    if not read:
        raise InputError(f"{path} holds no sound: record it again.")


def write_recording(path: Path, samples: Samples, rate_hz: int) -> None:
    """Write mono samples in -1..1 as a 16-bit WAV file; InputError when the place is no good."""
    try:
        _soundfile().write(str(path), np.clip(samples, -1.0, 1.0), rate_hz, subtype="PCM_16")
    except (OSError, RuntimeError) as error:
        raise InputError(
            f"{path} cannot be written ({_reason(error)}): choose another place."
        ) from error


def _check_file(path: Path) -> None:
    try:
        if path.is_dir():
            raise InputError(f"{path} is a folder: name one recording in it.")
        if not path.exists():
            raise InputError(f"{path} does not exist: check the name of the recording.")
        if not path.is_file():
            raise InputError(f"{path} is not an ordinary file: name a recording ({KINDS}).")
        size = path.stat().st_size
        with path.open("rb") as file:
            head = file.read(RIFF_HEADER_BYTES)
            promised = _promised_bytes(file, head)
    except (OSError, ValueError) as error:
        raise InputError(
            f"{path} cannot be read ({_reason(error)}): check the name and the permissions."
        ) from error
    if size == 0:
        raise InputError(f"{path} is empty: record it again.")
    if promised is not None and promised > size:
        raise InputError(
            f"{path} is cut short: its header promises {promised} bytes and there are {size}. "
            "Copy or record it again."
        )


def _promised_bytes(file: Any, head: bytes) -> int | None:
    """Where the sound of a WAV file ends by its own header; None for other files.

    The sound library takes the shorter of both without a word, so it is looked up here.
    """
    if head[:4] != b"RIFF" or head[8:12] != b"WAVE":
        return None
    while len(header := file.read(8)) == 8:
        length = int.from_bytes(header[4:8], "little")
        begin: int = file.tell()
        if header[:4] == b"data":
            return begin + length
        # Chunks begin at even places.
        file.seek(begin + length + length % 2)
    return None


def _check_length(path: Path, rate_hz: int, frames: int, longest_s: float) -> None:
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise InputError(
            f"{path} has a sample rate of {rate_hz} Hz: "
            f"record at {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} Hz, 16000 is best."
        )
    if frames > longest_s * rate_hz:
        raise InputError(
            f"{path} lasts {frames / rate_hz / 60:.1f} minutes, more than the "
            f"{longest_s / 60:g} allowed: cut it into shorter recordings."
        )


def _soundfile() -> Any:
    try:
        import soundfile
    except (ImportError, OSError) as error:
        raise MissingError(
            "The library that reads recordings is missing: install libsndfile "
            "(Debian, Ubuntu: apt install libsndfile1)."
        ) from error
    return soundfile


def _reason(error: BaseException) -> str:
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error).rsplit(": ", 1)[-1].strip().rstrip(".") or type(error).__name__
