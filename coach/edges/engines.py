"""Which recognisers there are, and opening one by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from coach.core.errors import InputError, MissingError
from coach.edges.model_store import (
    ModelEntry,
    State,
    model_state,
    models_folder,
    read_manifest,
    whole_model,
)
from coach.edges.second_pass import SecondPass
from coach.session.ports import Recogniser

if TYPE_CHECKING:
    from coach.edges.embedded_recogniser import EmbeddedRecogniser

AUTO = "auto"
OWN = frozenset({AUTO, "own"})
"""The names of the recogniser that comes with the program."""


@dataclass(frozen=True, slots=True)
class Engine:
    """A recogniser by the name of `--engine`; `about` is one sentence on what it is good for."""

    name: str
    about: str
    open: Callable[[Path | None], Recogniser]


def _own(model: Path | None) -> EmbeddedRecogniser:
    from coach.edges.embedded_recogniser import EmbeddedRecogniser

    return EmbeddedRecogniser(model)


def _vosk(model: Path | None) -> Recogniser:
    from coach.edges.embedded_recogniser import read_lexicon
    from coach.edges.vosk_recogniser import VoskRecogniser

    return VoskRecogniser(model or _fetched("vosk"), read_lexicon())


def _whisper(model: Path | None) -> Recogniser:
    from coach.edges.whisper_recogniser import WhisperRecogniser

    return WhisperRecogniser(model or _fetched("whisper"))


ENGINES = (
    Engine(AUTO, "the best that works without fetching anything: own", _own),
    Engine("own", "comes with the program; commands, numbers, short phrases; fast", _own),
    Engine("vosk", "a Vosk model of your own or fetched; free speech or a grammar", _vosk),
    Engine("whisper", "a fetched Whisper model; free speech; slower", _whisper),
)


def known_engines() -> tuple[Engine, ...]:
    """The recognisers there are, the default first."""
    return ENGINES


def engine_named(name: str) -> Engine:
    """The engine of that name; InputError lists the names there are."""
    for engine in ENGINES:
        if engine.name == name:
            return engine
    names = ", ".join(engine.name for engine in ENGINES)
    raise InputError(f"There is no recogniser named {name}: use one of {names}.")


def open_recogniser(name: str = AUTO, model: Path | None = None) -> Recogniser:
    """Load a recogniser, with the model in `model` (a file or folder) or the one it has here.

    InputError for an unknown name; MissingError when its model or package is missing or broken.
    """
    return engine_named(name).open(model)


def open_ears(
    name: str = AUTO, model: Path | None = None, second: bool = True, waits: bool = False
) -> Recogniser:
    """A recogniser, with the second ear behind it where that is wanted and its model is here.

    Only the program's own recogniser has one behind it: the others hear free speech themselves.
    `waits` as in SecondPass. Raises as `open_recogniser`, never for the second ear.
    """
    entry = second_ear()
    if name not in OWN or not second or model_state(entry) is State.ABSENT:
        return open_recogniser(name, model)
    first = _own(model)
    return SecondPass(first, first.words, lambda: _behind(entry), waits)


def _behind(entry: ModelEntry) -> Recogniser:
    from coach.edges.whisper_recogniser import missing_packages

    if missing := missing_packages():
        raise MissingError(
            f"There was no second ear for sentences in your own words, for {' and '.join(missing)} "
            'must be installed: pip install "hands-free-skill-coach[second-ear]", or switch it off '
            "by: coach settings set second-ear no"
        )
    return _whisper(whole_model(entry))


def second_ear() -> ModelEntry:
    """The model that hears free sentences behind the program's own recogniser."""
    return next(entry for entry in read_manifest() if entry.engine == "whisper")


def _fetched(engine: str) -> Path:
    """The first fetched model of an engine; MissingError says how to get one or to mend it."""
    entries = [entry for entry in read_manifest() if entry.engine == engine]
    for entry in entries:
        if model_state(entry) is not State.ABSENT:
            return whole_model(entry)
    names = " or ".join(f"coach models fetch {entry.name}" for entry in entries)
    raise MissingError(
        f"There is no {engine} model in {models_folder()}: run {names}, give the folder of one "
        "with --model, or use --engine own, which needs nothing."
    )
