"""Whisper through CTranslate2 as a recogniser: free speech, about a third of a second an utterance.

Made for short turns, as measured on two CPU threads: the encoder sees 8 s (shorter contexts make
the decoder loop, 30 s cost 0.8 s), repetition is penalised, and no text is given in advance, for
that would make it hear numbers in noise.
"""

from __future__ import annotations

import importlib
import importlib.util
import math
import re
from pathlib import Path
from typing import Any

import numpy as np

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.hearing.features import BANDS, HOP, levelled, log_mel, parts
from coach.hearing.hypothesis import Hint, Hypothesis

CONTEXT_S = 8.0
REPETITION_PENALTY = 1.3
LONGEST_REPLY_TOKENS = 96
NO_SPEECH = 0.6
"""Above this probability of no speech the reply counts as silence (as in Radford et al. 2022)."""

LEAST_LOUDNESS = 1e-4
PACKAGES = ("ctranslate2", "tokenizers")
FILES = ("model.bin", "config.json", "tokenizer.json")
START = ("<|startoftranscript|>", "<|notimestamps|>")
LANGUAGE = ("<|en|>", "<|transcribe|>")
"""Said between the START tokens to a model of many languages."""

MANY_LANGUAGES_TOKENS = 51_865
"""Size of the vocabulary of Whisper's models of many languages (OpenAI's tokenizer)."""

_NOT_SAID = re.compile(r"[\[(*<][^\])*>]*[\])*>]")
_PUNCTUATION = re.compile(r"[^a-z0-9'.% ]")
_SPELLINGS = {
    "litre": "liter",
    "litres": "liters",
    "metre": "meter",
    "metres": "meters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "colour": "color",
    "ok": "okay",
    "l/min": "liters per minute",
    "%": "percent",
    "mm": "millimeters",
}


class WhisperRecogniser:
    """Hears with a Whisper model in CTranslate2's form; several threads may use it."""

    name = "whisper"

    def __init__(self, model: Path, threads: int = 2) -> None:
        """Load the model in the folder `model`.

        MissingError when a file or one of the packages of the extra `second-ear` is missing.
        """
        absent = [name for name in FILES if not (model / name).is_file()]
        if absent:
            raise MissingError(
                f"{model} holds no Whisper model ({', '.join(absent)} missing): "
                "run: coach models fetch whisper-tiny"
            )
        self._ctranslate2 = _package("ctranslate2")
        tokenizers = _package("tokenizers")
        try:
            self._tokens = tokenizers.Tokenizer.from_file(str(model / "tokenizer.json"))
            self._model = self._ctranslate2.models.Whisper(
                str(model), device="cpu", compute_type="int8", intra_threads=threads
            )
        except Exception as why:  # both packages raise bare RuntimeError and Exception
            raise MissingError(
                f"The Whisper model in {model} cannot be loaded ({why}): "
                "fetch it again with: coach models fetch whisper-tiny"
            ) from why
        names: tuple[str, ...] = START
        if self._tokens.get_vocab_size() >= MANY_LANGUAGES_TOKENS:
            names = (START[0], *LANGUAGE, START[1])
        self._prompt = [self._tokens.token_to_id(name) for name in names]

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words of one utterance; the hint is not used, for what is awaited would be heard."""
        del hint
        texts: list[str] = []
        confidences: list[float] = []
        for part in parts(samples, longest_s=CONTEXT_S - 0.5):
            text, confidence = self._hear_part(part)
            if text:
                texts.append(text)
                confidences.append(confidence)
        return Hypothesis(
            " ".join(texts),
            min(confidences, default=0.0),
            lasted_s=len(samples) / SAMPLE_RATE_HZ,
        )

    def _hear_part(self, samples: Samples) -> tuple[str, float]:
        if not len(samples) or float(np.abs(samples).max()) < LEAST_LOUDNESS:
            return "", 0.0
        window = np.zeros(int(CONTEXT_S * SAMPLE_RATE_HZ), np.float32)
        lead = (len(window) - len(samples)) // 4
        window[lead : lead + len(samples)] = levelled(samples)
        features = log_mel(window)[None]
        assert features.shape == (1, BANDS, len(window) // HOP)
        view = self._ctranslate2.StorageView.from_array(np.ascontiguousarray(features))
        result = self._model.generate(
            view,
            [self._prompt],
            beam_size=1,
            repetition_penalty=REPETITION_PENALTY,
            max_length=LONGEST_REPLY_TOKENS,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_blank=True,
        )[0]
        if result.no_speech_prob > NO_SPEECH:
            return "", 0.0
        text = our_spelling(without_loops(self._tokens.decode(result.sequences_ids[0])))
        return text, math.exp(min(0.0, result.scores[0])) * (1.0 - result.no_speech_prob)


def without_loops(text: str) -> str:
    """A row of words said three times or more on end becomes one; a loop runs to the end."""
    words = text.split()
    for length in range(1, 9):
        at = 0
        while at + 3 * length <= len(words):
            piece = words[at : at + length]
            times = 1
            while words[at + times * length : at + (times + 1) * length] == piece:
                times += 1
            if times >= 3 and not _number(piece):
                del words[at + length : at + times * length]
            at += 1
    return " ".join(words)


def _number(piece: list[str]) -> bool:
    """Whether it is figures: "0 0 0" is a reading, not a loop."""
    return all(re.fullmatch(r"[\d.,]+", word) for word in piece)


def our_spelling(text: str) -> str:
    """Lower case, no punctuation, US spelling; numbers stay as they were written ("1700")."""
    text = _NOT_SAID.sub(" ", text.lower().replace("\u2019", "'"))
    text = re.sub(r"(?<=\d),(?=\d{3}\b)", "", text)
    text = re.sub(r"(\d)\s*%", r"\1 percent", text).replace("l/min", "liters per minute")
    text = re.sub(r"\.(?!\d)", " ", _PUNCTUATION.sub(" ", text))
    return " ".join(_SPELLINGS.get(word, word) for word in text.split())


def missing_packages() -> list[str]:
    """The Python packages it needs that are not installed here."""
    return [name for name in PACKAGES if importlib.util.find_spec(name) is None]


def _package(name: str) -> Any:
    try:
        return importlib.import_module(name)
    except (ImportError, OSError) as why:
        raise MissingError(
            f"The Whisper engine needs the Python package {name}: "
            'pip install "hands-free-skill-coach[second-ear]", or use --engine own.'
        ) from why
