"""Vosk as a recogniser: streams, takes a grammar of what may be said now, gives confidences."""

from __future__ import annotations

import importlib
import json
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from rapidfuzz import fuzz

from coach.core.errors import MissingError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import Lexicon
from coach.hearing.moment_grammar import in_words, moment_grammar

UNKNOWN = "[unk]"
"""Vosk's word for anything outside the grammar; without it a wrong word comes back as certain."""

BLOCK = SAMPLE_RATE_HZ // 10
MOST_SURE = 0.9
"""Where Vosk is certain (1.0). Over a grammar it compares the sound with little else, so it is
certain too often; a number of 0.95 would stand by silence (`coach/session/costs.py`). Reasoned, not
fitted: no English model could be had. With it every number needs the learner's yes."""

UNSURE = 0.5
"""Factor on free text, heard where the grammar knew no words for it: as unsure as the free text of
the own recogniser, which never passes 0.5."""

ALIKE_PERCENT = 60.0
"""Likeness of letters from which a free pass counts as having heard the same; judgement."""

ABSENT = -1


@dataclass(frozen=True, slots=True)
class _Result:
    """Words of one pass and their confidences, 0 to 1 (1 where Vosk gives none)."""

    words: tuple[str, ...]
    confidences: tuple[float, ...]

    def hypothesis(self, factor: float = 1.0) -> tuple[str, float]:
        """Text without UNKNOWN, and how sure it is on the scale of the own recogniser."""
        if not self.words:
            return "", 0.0
        text = " ".join(word for word in self.words if word != UNKNOWN)
        return text, sureness(self.confidences) * factor


class VoskRecogniser:
    """Hears with a Vosk model in a folder of the user's; not safe for several threads at once."""

    name = "vosk"

    def __init__(
        self,
        model: Path,
        lexicon: Lexicon | None = None,
        on_partial: Callable[[str], None] | None = None,
    ) -> None:
        """Load the model in the folder `model`; never goes to the network.

        `on_partial` is called with the text so far whenever it changes while an utterance is fed.
        MissingError when there is no Vosk or no model in the folder.
        """
        _check_folder(model)
        vosk = _vosk()
        vosk.SetLogLevel(-1)
        try:
            self._model = vosk.Model(str(model))
            self._free = vosk.KaldiRecognizer(self._model, SAMPLE_RATE_HZ)
        except Exception as why:  # Vosk raises the bare class
            raise MissingError(
                f"The Vosk model in {model} cannot be loaded: unpack it again."
            ) from why
        self._free.SetWords(True)
        self._vosk = vosk
        self._known: dict[str, bool] = {}
        self._knows_unknown = self._knows(UNKNOWN)
        self._lexicon = lexicon or Lexicon()
        self._on_partial = on_partial
        self._grammar: tuple[str, ...] = ()
        self._bound: Any = None

    def hear(self, samples: Samples, hint: Hint) -> Hypothesis:
        """The words of one utterance, over the words of the moment first, freely if they fail.

        A model that has no UNKNOWN takes every sound for a word of the moment; what the free pass
        heard decides there.
        """
        lasted_s = len(samples) / SAMPLE_RATE_HZ
        grammar = self._words_of(hint)
        bound = self._feed(self._recogniser(grammar), samples) if grammar else _Result((), ())
        if grammar and self._knows_unknown and UNKNOWN not in bound.words:
            return Hypothesis(*bound.hypothesis(), lasted_s=lasted_s)
        free = self._feed(self._free, samples)
        if grammar and not self._knows_unknown and _alike(bound, free):
            return Hypothesis(*bound.hypothesis(), lasted_s=lasted_s)
        return Hypothesis(*free.hypothesis(UNSURE if grammar else 1.0), lasted_s=lasted_s)

    def _knows(self, word: str) -> bool:
        if word not in self._known:
            self._known[word] = int(self._model.vosk_model_find_word(word)) != ABSENT
        return self._known[word]

    def missing_words(self, phrases: Iterable[str]) -> tuple[str, ...]:
        """Words of phrases that the model can never hear, sorted; Vosk itself only logs them."""
        words = {word for phrase in phrases for word in in_words(phrase).split()}
        return tuple(sorted(word for word in words if not self._knows(word)))

    def _words_of(self, hint: Hint) -> tuple[str, ...]:
        """What may be said at the moment, as far as the model knows all its words."""
        wanted = moment_grammar(hint, self._lexicon)
        return tuple(p for p in wanted if all(self._knows(word) for word in p.split()))

    def _recogniser(self, grammar: tuple[str, ...]) -> Any:
        """The recogniser bound to a grammar; only ever called between utterances."""
        if self._bound is None:
            self._bound = self._vosk.KaldiRecognizer(
                self._model, SAMPLE_RATE_HZ, self._written(grammar)
            )
            self._bound.SetWords(True)
        elif grammar != self._grammar:
            # In the middle of an utterance this would end the process.
            self._bound.Reset()
            self._bound.SetGrammar(self._written(grammar))
        self._grammar = grammar
        return self._bound

    def _written(self, grammar: tuple[str, ...]) -> str:
        """The grammar as Vosk reads it: its own reader knows no escaped letters."""
        entries = [*grammar, UNKNOWN] if self._knows_unknown else [*grammar]
        return json.dumps(entries, ensure_ascii=False)

    def _feed(self, recogniser: Any, samples: Samples) -> _Result:
        """Feed an utterance block by block; the recogniser is ready for the next one after it."""
        sound = (np.clip(samples, -1.0, 1.0) * 32767.0).astype("<i2")
        results, last = [], ""
        for start in range(0, len(sound), BLOCK):
            if recogniser.AcceptWaveform(sound[start : start + BLOCK].tobytes()):
                results.append(json.loads(recogniser.Result()))
            elif self._on_partial is not None:
                partial = json.loads(recogniser.PartialResult()).get("partial", "")
                if partial != last:
                    self._on_partial(partial)
                last = partial
        results.append(json.loads(recogniser.FinalResult()))
        recogniser.Reset()
        return _collected(results)


def sureness(confidences: Sequence[float]) -> float:
    """Vosk's confidences of the words of a text as one on the own recogniser's scale.

    Theirs are chances that the word at that place is right, ours that all of the text is: a text
    is as sure as its least sure word, and never surer than MOST_SURE.
    """
    if not all(math.isfinite(confidence) for confidence in confidences):
        return 0.0
    return MOST_SURE * min(1.0, max(0.0, min(confidences, default=0.0)))


def _alike(bound: _Result, free: _Result) -> bool:
    """Whether a grammar without UNKNOWN was right to take the sound for one of its own."""
    return fuzz.ratio("".join(bound.words), "".join(free.words)) >= ALIKE_PERCENT


def _collected(results: list[dict[str, Any]]) -> _Result:
    words: list[str] = []
    confidences: list[float] = []
    for result in results:
        spoken = str(result.get("text", "")).split()
        details = result.get("result", [])
        words += spoken
        confidences += (
            [float(word.get("conf", 1.0)) for word in details]
            if len(details) == len(spoken)
            else [1.0] * len(spoken)
        )
    return _Result(tuple(words), tuple(confidences))


def _check_folder(model: Path) -> None:
    """Vosk only says that it failed: look for what every model has before it is asked."""
    if not model.is_dir():
        raise MissingError(
            f"There is no folder {model}: give the folder of an unpacked Vosk model."
        )
    if not list(model.rglob("final.mdl")) or not list(model.rglob("mfcc.conf")):
        raise MissingError(
            f"{model} holds no Vosk model (no final.mdl and mfcc.conf in it): give the folder "
            "that the model was unpacked to."
        )


def _vosk() -> Any:
    try:
        return importlib.import_module("vosk")
    except (ImportError, OSError) as why:
        raise MissingError(
            "Vosk is not installed or does not run on this machine: use --engine own, or install "
            "the Python package vosk."
        ) from why
