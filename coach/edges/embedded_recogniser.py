"""The recogniser that comes with the program: our own small network and a search over words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import yaml

from coach.core.errors import InputError, MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.edges.acoustic_model import AcousticModel
from coach.edges.data_files import data_folder
from coach.edges.download import file_sha256
from coach.edges.model_store import State, find_model, model_path, model_state
from coach.hearing.calibration import Calibration, parse_calibration
from coach.hearing.decode import decode, joined
from coach.hearing.features import parts
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import Lexicon, parse_lexicon

MODEL = "commands"
"""Its name in models/manifest.yaml."""


def read_lexicon(path: Path | None = None) -> Lexicon:
    """The lexicon of the program, or of `path`; MissingError when ours is gone or damaged."""
    path = path or data_folder("models") / "lexicon.yaml"
    try:
        return parse_lexicon(yaml.safe_load(path.read_text(encoding="utf-8")), str(path))
    except (OSError, UnicodeDecodeError, yaml.YAMLError, InputError) as why:
        raise MissingError(
            f"The list of words {path} is missing or damaged ({why}): mend it, or install the "
            "program again."
        ) from why


def own_model() -> Path:
    """The network that comes with the program; MissingError when it is not the one it should be."""
    entry = find_model(MODEL)
    if model_state(entry, thorough=True) is not State.INSIDE:
        raise MissingError(
            f"The speech model in {model_path(entry)} is missing or damaged (its SHA-256 is not "
            "that of the manifest): install the program again, or type instead of speaking "
            "meanwhile."
        )
    return model_path(entry) / entry.files[0].name


def read_calibration(model: Path) -> Calibration:
    """The file calibration.yaml beside a network; MissingError unless it was fitted to it."""
    path = model.with_name("calibration.yaml")
    try:
        calibration = parse_calibration(yaml.safe_load(path.read_text(encoding="utf-8")), str(path))
    except (OSError, UnicodeDecodeError, yaml.YAMLError, InputError) as why:
        raise MissingError(
            f"The calibration {path} of the speech model is missing or damaged ({why}): install "
            "the program again, or fit one with `python -m tests.benchmarks.calibration fit`."
        ) from why
    if calibration.model != file_sha256(model):
        raise MissingError(
            f"{path} was fitted to another speech model than {model.name} beside it (its SHA-256 "
            "differs): install the program again, or fit it anew with `python -m "
            "tests.benchmarks.calibration fit`."
        )
    return calibration


class EmbeddedRecogniser:
    """Hears commands, numbers and short phrases in about 20 ms for 2 s of speech."""

    name = "own"

    def __init__(self, model: Path | None = None, lexicon: Lexicon | None = None) -> None:
        """Load the network that comes with the program, or the one in the ONNX file `model`.

        Beside it lies its calibration.
        """
        path = model or own_model()
        self._model = AcousticModel(path)
        self._calibration = read_calibration(path)
        self._lexicon = lexicon or read_lexicon()

    @property
    def words(self) -> frozenset[str]:
        """Every word it may put together without a hint."""
        return self._lexicon.all_words

    def spelt(self, samples: Samples) -> str:
        """How the sound is spelt, whatever that may mean; empty for silence."""
        return " ".join(text for part in parts(samples) if (text := self._model.text(part)))

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words of one utterance; sound longer than 11 s is cut at quiet places."""
        heard = joined(
            [
                decode(self._model.log_probabilities(part), hint, self._lexicon, self._calibration)
                for part in parts(samples)
            ]
        )
        return replace(heard, lasted_s=len(samples) / SAMPLE_RATE_HZ)
